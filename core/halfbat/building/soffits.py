"""Undersides: feet on ground that is not level, and passages, slots and overhangs, of which no kit can be made yet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.building.columns import height_of, inside_bodies
from halfbat.building.mesh import Mesh, face_list, face_names
from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.rings import inside_rings
from halfbat.errors import KitError
from halfbat.findings import Finding, Severity

Array = npt.NDArray[np.float64]

#: Less than this is the underside of a canopy, sill or lintel, square metres.
_LARGEST_M2 = 1.0
#: Undersides lower than this are the floor, metres.
_FLOOR_M = 0.3
#: Nobody passes under less (2 m is the headroom asked for over stairs; a figure from memory): with more than a floor
#: under it, and less than this, a part stands on higher ground, metres.
HEADROOM_M = 1.5
#: Places along each side of a plane where it is asked what lies above and below.
_GRID = 9
_SPARE_M = 0.001


def feet_of(
    mesh: Mesh, points: Array, bodies: Sequence[Sequence[PlaneFace]], base_m: float, rise_m: float = HEADROOM_M
) -> list[PlaneFace]:
    """Find the feet of parts that stand on higher ground than the lowest.

    Parameters
    ----------
    mesh : Mesh
        Says what faces are called.
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    bodies : sequence of sequences of PlaneFace
        Outward, without openings.
    base_m : float
        Height of the lowest ground.
    rise_m : float
        How far the ground may rise over that: higher planes have open air under them.

    Returns
    -------
    list of PlaneFace
        Planes that look down, have a storey over them, nothing under them, and are no higher.

    Raises
    ------
    KitError
        If a plane that looks down has a whole storey over it, and is higher.
    """
    feet: list[PlaneFace] = []
    bad: list[PlaneFace] = []
    for plane in (plane for body in bodies for plane in body):
        if plane.kind is PlaneKind.WALL or plane.normal[2] > 0.0 or plane.area_m2 < _LARGEST_M2:
            continue
        high = float(points[np.concatenate(plane.rings)][:, 2].max())
        if high < base_m + _FLOOR_M or _share_under_rooms(points, bodies, plane) * plane.area_m2 <= _LARGEST_M2:
            continue
        (feet if high <= base_m + rise_m + _SPARE_M else bad).append(plane)
    if bad:
        tops = [float(points[np.concatenate(plane.rings)][:, 2].max()) for plane in bad]
        needed = np.ceil((max(tops) - base_m) * 10 - 1e-6) / 10
        raise KitError(
            "a passage, slot or overhang has open air under part of the building, which cannot be made yet",
            face_list(mesh, np.concatenate([plane.faces for plane in bad])),
            f"fill it, make a kit of each part, or, where it stands on ground that rises, set shell.ground_rise_m to "
            f"{needed:.1f}",
        )
    return feet


def feet_findings(mesh: Mesh, points: Array, feet: Sequence[PlaneFace], base_m: float) -> list[Finding]:
    """Tell which parts stand higher, and what was made of it."""
    if not feet:
        return []
    highest = max(float(points[np.concatenate(plane.rings)][:, 2].max()) for plane in feet) - base_m
    faces = face_names(mesh, np.concatenate([plane.faces for plane in feet]))
    text = f"the building stands up to {highest:.2f} m above its lowest foot, and its walls are carried down: {faces}"
    remedy = "bank the ground up to them, or bring all feet to one level in the mesh"
    return [Finding(Severity.WARNING, "feet-carried-down", "", text, remedy)]


def _share_under_rooms(points: Array, bodies: Sequence[Sequence[PlaneFace]], plane: PlaneFace) -> float:
    """Return how much of a plane that looks down has more than a roof's thickness over it."""
    rings = [points[ring][:, :2] for ring in plane.rings]
    low, high = rings[0].min(axis=0), rings[0].max(axis=0)
    steps = (np.arange(_GRID) + 0.5) / _GRID
    spots = np.stack(np.meshgrid(*(low + (high - low) * steps[:, None]).T), axis=-1).reshape(-1, 2)
    spots = spots[inside_rings(rings, spots)]
    if len(spots) == 0:
        return 0.0
    over = np.column_stack([spots, height_of(plane, spots) + _FLOOR_M])
    under = np.column_stack([spots, height_of(plane, spots) - _FLOOR_M / 2.0])
    rooms = inside_bodies(points, bodies, over) & ~inside_bodies(points, bodies, under)
    return float(np.count_nonzero(rooms)) / len(spots)
