"""Kits as they are assembled, judged by general libraries: for tests of the whole kit."""

from collections.abc import Sequence
from itertools import combinations, product

import manifold3d
import numpy as np
import shapely
import trimesh

from halfbat.building import Building, building_from_plan
from halfbat.kit import Kit, make_kit, smallest_face_m
from halfbat.parts.masses import MassStack, PlanRing
from halfbat.parts.part import Part
from halfbat.settings import Settings, with_value

#: Solids may touch; more in common than this is an overlap.
TOUCHING_MM3 = 1e-6


def settings_with(**values: object) -> Settings:
    """Settings with some values changed, named ``group__key``."""
    settings = Settings()
    for name, value in values.items():
        group, key = name.split("__")
        settings = with_value(settings, group, key, value)
    return settings


def building_of(plan: Sequence[Sequence[float]], height_m: float = 3.0, base_m: float = 0.0) -> Building:
    """Walls on a counter-clockwise plan in metres."""
    return building_from_plan(np.array(plan, dtype=np.float64), base_m, height_m)


def kit_of(plan: Sequence[Sequence[float]], height_m: float = 3.0, base_m: float = 0.0, **values: object) -> Kit:
    """A kit of walls on a counter-clockwise plan in metres."""
    return make_kit(building_of(plan, height_m, base_m), settings_with(**values), checked=False)


def shortest_m(building: Building) -> float:
    return min(wall.length_m for wall in building.walls)


def long_enough(building: Building, settings: Settings) -> bool:
    """Whether no wall would have been left out on the way from a mesh."""
    return shortest_m(building) >= smallest_face_m(settings)


def parts_of(kit: Kit, kind: str) -> list[Part]:
    return [part for part in kit.parts if part.kind == kind]


def placed(part: Part) -> np.ndarray:
    """Vertices of a part where it stands in the building, mm."""
    return part.solid.vertices @ part.place[:3, :3].T + part.place[:3, 3]


def mesh(part: Part) -> trimesh.Trimesh:
    """A part as printed."""
    return trimesh.Trimesh(part.solid.vertices, part.solid.triangles, process=False)


def manifold(part: Part, move: Sequence[float] = (0.0, 0.0, 0.0)) -> manifold3d.Manifold:
    """A part in its place, without the tab that is cut off before it is glued on."""
    vertices = placed(part) + np.asarray(move)
    body = manifold3d.Manifold(
        manifold3d.Mesh64(
            vert_properties=np.ascontiguousarray(vertices), tri_verts=part.solid.triangles.astype(np.uint64)
        )
    )
    assert body.status() == manifold3d.Error.NoError
    return body


def common_mm3(a: manifold3d.Manifold, b: manifold3d.Manifold) -> float:
    return (a ^ b).volume()


def overlaps(kit: Kit) -> list[tuple[str, str, float]]:
    """Pairs of parts that share space when the kit is assembled."""
    bodies = {part.number: manifold(part) for part in kit.parts}
    found = []
    for one, other in combinations(bodies, 2):
        volume = _near_mm3(bodies[one], bodies[other])
        if volume > TOUCHING_MM3:
            found.append((one, other, volume))
    return found


#: Parts that lift off with a roof, and the heights at which they must be clear on their way, mm.
ROOF = ("former", "lid", "roof skin", "ridge", "fascia", "barge board", "roof light", "gutter", "chimney", "pot")
LIFTS_MM = (0.05, 0.3, 0.8, 1.5, 2.2, 3.0, 4.0, 6.0, 9.0)


def lift_fouls(kit: Kit) -> list[tuple[str, str, float]]:
    """Pairs of a part of the roof and one that stays which share space on the way up, and how much at most."""
    kinds = {part.number: part.kind for part in kit.parts}
    bodies = {part.number: manifold(part) for part in kit.parts}
    found: dict[tuple[str, str], float] = {}
    for lift, one, other in product(LIFTS_MM, bodies, bodies):
        if kinds[one] in ROOF and kinds[other] not in ROOF:
            volume = _near_mm3(bodies[one].translate((0.0, 0.0, lift)), bodies[other])
            if volume > TOUCHING_MM3:
                found[one, other] = max(volume, found.get((one, other), 0.0))
    return [(*pair, volume) for pair, volume in found.items()]


def _near_mm3(one: manifold3d.Manifold, other: manifold3d.Manifold) -> float:
    """What two bodies share; bodies whose boxes are apart are not looked at."""
    a, b = one.bounding_box(), other.bounding_box()
    if any(a[k + 3] < b[k] or b[k + 3] < a[k] for k in range(3)):
        return 0.0
    return common_mm3(one, other)


def stack_of(plan, skins=1.15, base=0.0, height=20.0):
    """A mass under a flat roof, with a wall and a ledge along every side; model mm."""
    corners = np.array(plan, dtype=np.float64)
    everywhere = np.ones(len(corners), dtype=bool)
    ring = PlanRing(
        corners, np.broadcast_to(np.asarray(skins, dtype=np.float64), (len(corners),)), everywhere, everywhere
    )
    return MassStack((ring,), (), base, height)


def section(solid, height_mm):
    """Area of a level cut through a solid or a mesh."""
    body = (
        solid if isinstance(solid, trimesh.Trimesh) else trimesh.Trimesh(solid.vertices, solid.triangles, process=False)
    )
    cut = body.section((0, 0, 1), (0, 0, height_mm))
    area = shapely.unary_union([])
    for ring in cut.discrete if cut is not None else ():
        area = area.symmetric_difference(shapely.Polygon(ring[:, :2]).buffer(0))
    return area
