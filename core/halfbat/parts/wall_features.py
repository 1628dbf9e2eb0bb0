"""Features and finishes of each wall: those asked for it by its letter and those asked for all walls."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import FaceOfWall
from halfbat.errors import KitError
from halfbat.parts.bonded_walls import BondedWall
from halfbat.parts.corners import End
from halfbat.parts.mid_wall_ends import Dressed, clear_in_mid_wall
from halfbat.parts.proud_ends import before_inner_end, ended_proud, facing_levels, kept_clear, proud_at
from halfbat.parts.wall_openings import jamb_rules, wall_masonry
from halfbat.settings import FeatureRequest, FinishRequest, Settings
from halfbat.settings.features import EVERY_WALL
from halfbat.solids.plate import ProudEnd
from halfbat.surfaces import Laying
from halfbat.surfaces.dressing import FAR_MM, Dressing, Proud, void
from halfbat.surfaces.features import FeatureSite, feature_units
from halfbat.surfaces.features.site import where_of
from halfbat.surfaces.finishes import finish_units
from halfbat.surfaces.jambs import JambRules, laying_with_openings
from halfbat.surfaces.joints import Joints
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.units import Scale

Array = NDArray[np.float64]
THINNEST_BASE_MM = 1.0
"""Thickness that a skin has behind its joints at least, where the maker gives none."""
LEFT_BEHIND_MM = 0.5
"""What stays of it behind a recessed panel (as under marks: design, section 10)."""
INSIDE_MM = 0.05
COURSES_OVER_PIERS = 4
"""So many may go on over a pier under eaves or a coping, where a seam is not looked for."""
_ORDER = (
    "surround",
    "quoins",
    "recessed panel",
    "plinth",
    "string course",
    "dentil course",
    "corbelled eaves",
    "coping",
    "movement joint",
)


@dataclass(frozen=True, slots=True, eq=False)
class DressedWall:
    """A wall with its features.

    Parameters
    ----------
    dressings : tuple of Dressing
        Finishes, then features, in the order they lie over one another.
    laying : Laying
        Bricks round openings, features and finishes.
    proud : tuple of tuple of Proud
        What stands out at its left and its right end.
    """

    dressings: tuple[Dressing, ...]
    laying: Laying
    proud: tuple[tuple[Proud, ...], tuple[Proud, ...]] = ((), ())

    @property
    def piers_mm(self) -> tuple[tuple[float, float], ...]:
        """Left and right side of every pier that hides a seam beside it: those as high as the wall, or nearly so."""
        last = self.laying.courses - 1
        return tuple(
            (part.left_mm, part.right_mm)
            for own in self.dressings
            if own.kind in ("pier", "pilaster")
            for part in own.brickwork
            if part.first == 0 and part.last >= last - COURSES_OVER_PIERS
        )

    @property
    def seamless(self) -> list[tuple[float, float]]:
        """Stretches of the wall that no seam may touch."""
        return [stretch for own in self.dressings for stretch in own.keep]


def dress_walls(
    walls: Sequence[FaceOfWall],
    outlines_mm: Mapping[int, Array],
    layings: Sequence[Laying],
    bonds: Mapping[int, BondedWall],
    openings: Sequence[Sequence[OpeningUnits]],
    joints: Joints,
    settings: Settings,
    scale: Scale,
    falls: Mapping[int, float],
) -> dict[int, DressedWall]:
    """Build the features and finishes of all walls that have any; see `dress_wall` and `eaves_falls`.

    Returns
    -------
    dict of int to DressedWall
        By the index of the wall.
    """

    def dress(
        wall: FaceOfWall, laying: Laying, holes: Sequence[OpeningUnits], before: tuple[Proud, ...]
    ) -> DressedWall | None:
        masonry = wall_masonry(laying, joints, settings, scale)
        rules = jamb_rules(wall, bonds[wall.index], settings)
        return dress_wall(
            wall, outlines_mm[wall.index], masonry, rules, holes, joints, settings, before, falls.get(wall.index, 0.0)
        )

    rows = list(zip(walls, layings, openings, strict=True))
    made = {wall.index: dress(wall, laying, holes, ()) for wall, laying, holes in rows}
    found = {index: own for index, own in made.items() if own is not None}
    levels = {index: own.proud for index, own in found.items()}
    # At inner corners the wall that starts there keeps clear of what stands out of the one that ends there.
    for wall, laying, holes in rows:
        other = facing_levels(wall, 0, levels)
        if wall.index in found and other and _is_inner(wall, 0) and wall.left is not None:
            before = before_inner_end(other, wall.left.corner_deg, settings.skin.corner_gap_mm)
            again = dress(wall, laying, holes, before)
            if again is not None:
                found[wall.index] = again
    dressings = {index: own.dressings for index, own in found.items()}
    beside = [
        Dressed(wall, wall_masonry(laying, joints, settings, scale), dressings.get(wall.index, ()))
        for wall, laying, _ in rows
    ]
    changed = clear_in_mid_wall(beside, settings.skin.corner_gap_mm, scale)
    return found | {index: replace(found[index], dressings=own) for index, own in changed.items()}


def dress_wall(
    wall: FaceOfWall,
    outline_mm: Array,
    masonry: Masonry,
    rules: JambRules,
    openings: Sequence[OpeningUnits],
    joints: Joints,
    settings: Settings,
    before: tuple[Proud, ...] = (),
    fall: float = 0.0,
) -> DressedWall | None:
    """Build the features and finishes of one wall, and lay its bricks round them and its openings.

    Parameters
    ----------
    wall : FaceOfWall
        As measured on the mesh.
    outline_mm : ndarray (K, 2)
        Outline of its face, model size.
    masonry : Masonry
        Its bricks without openings.
    rules : JambRules
        How they were laid.
    openings : sequence of OpeningUnits
        Its openings.
    joints, settings
        Of the building.
    before : tuple of Proud
        How far what stands proud must keep from its left end, where that is an inner corner.
    fall : float
        How far the roof over its eaves falls for each millimetre outward.

    Returns
    -------
    DressedWall or None
        None where nothing is asked for.

    Raises
    ------
    KitError
        A length cannot be read, or there is no room for a feature.
    """
    finishes = [(n, asked) for n, asked in enumerate(settings.finishes, 1) if _is_for(wall, asked)]
    features = [(n, asked) for n, asked in enumerate(settings.features, 1) if _is_for(wall, asked)]
    if not finishes and not features:
        return None
    site = FeatureSite(
        replace(masonry, least_mm=max(masonry.least_mm, settings.resin.min_raised_mm)),
        rules,
        settings.brick,
        outline_mm,
        joints.depth_mm,
        settings.skin.base_thickness_mm or THINNEST_BASE_MM,
        LEFT_BEHIND_MM,
        settings.resin.min_groove_depth_mm,
        tuple(openings),
        wall.letter,
        (_is_inner(wall, 0), _is_inner(wall, 1)),
        before=before,
        gap_mm=settings.skin.corner_gap_mm,
        fall=fall,
    )
    # Quoins end at courses that stand further out; what stands upright goes over these.
    features.sort(key=lambda pair: _ORDER.index(pair[1].kind) if pair[1].kind in _ORDER else len(_ORDER))
    dressed = [feature_units(asked, site, number) for number, asked in features]
    _refuse_shared_places(dressed, [where_of(asked, number, wall.letter) for number, asked in features], openings)
    taken = tuple(place for own in dressed for place in (*own.voids, *_courses(own, masonry)))
    covers = [finish_units(asked, replace(site, taken=taken), number) for number, asked in finishes]
    if taken or covers:
        # Where something else has taken the wall's bricks, a feature of brick brings them back.
        bare = laying_with_openings(masonry, list(openings), rules)
        dressed = [_with_bricks(own, bare) for own in dressed]
    gap, length = settings.skin.corner_gap_mm, masonry.laying.length_mm
    limits = gap if site.inner[0] else -FAR_MM, length - gap if site.inner[1] else length + FAR_MM
    dressings = tuple(kept_clear(own, masonry, before, limits) for own in (*covers, *dressed))
    voids = _parted([place for own in dressings for place in own.voids], openings, masonry.half_mm)
    levels = tuple(proud_at(dressings, masonry.laying, masonry, end) for end in (0, 1))
    return DressedWall(dressings, laying_with_openings(masonry, [*openings, *voids], rules), (levels[0], levels[1]))


def proud_ends(
    wall: FaceOfWall, dressed: Mapping[int, DressedWall], ends: tuple[End, End], depth_mm: float
) -> tuple[tuple[ProudEnd, ...], tuple[ProudEnd, ...]]:
    """How what stands proud at the two ends of a wall is ended there; see `ended_proud`."""
    left, right = (_proud_end(wall, dressed, side, end, depth_mm) for side, end in enumerate(ends))
    return left, right


def proud_reach_mm(
    wall: FaceOfWall, dressed: Mapping[int, DressedWall], side: int, ends: Sequence[End], depth_mm: float
) -> float:
    """How far what stands proud reaches along a wall beyond its left (0) or right (1) end.

    Parameters
    ----------
    wall : FaceOfWall
        The wall.
    dressed : mapping of int to DressedWall
        Walls with features, by index.
    side : {0, 1}
        Which end.
    ends : sequence of End
        Shapes that the end may come to have.
    depth_mm : float
        Depth of joints.
    """
    if wall.index not in dressed:
        return 0.0
    proud = [one for end in ends for one in _proud_end(wall, dressed, side, end, depth_mm)]
    return max((one.slope * one.out_mm for one in proud), default=0.0)


def _proud_end(
    wall: FaceOfWall, dressed: Mapping[int, DressedWall], side: int, end: End, depth_mm: float
) -> tuple[ProudEnd, ...]:
    if wall.index not in dressed:
        return ()
    levels = {index: own.proud for index, own in dressed.items()}
    corner = wall.right if side else wall.left
    degrees = corner.corner_deg if corner is not None else 180.0
    return ended_proud(levels[wall.index][side], facing_levels(wall, side, levels), degrees, end, depth_mm)


def _refuse_shared_places(dressed: Sequence[Dressing], names: Sequence[str], openings: Sequence[OpeningUnits]) -> None:
    """Raise where two openings or features both want the wall's courses laid to their sides in one place."""
    taken = [(opening.jambs, "an opening") for opening in openings if opening.jambs]
    for own, name in zip(dressed, names, strict=True):
        for jambs in [place.jambs for place in own.voids if place.jambs]:
            for other, what in taken:
                if min(jambs[1], other[1]) > max(jambs[0], other[0]) and min(jambs[3], other[3]) > max(
                    jambs[2], other[2]
                ):
                    raise KitError(f"it stands where {what} is", name, "move one of them along the wall")
            taken.append((jambs, name))


def named_walls(settings: Settings) -> list[tuple[str, str]]:
    """Letters of walls that features and finishes name, and which of them each is."""
    asked = [(item.wall, f"feature {number}") for number, item in enumerate(settings.features, 1)]
    asked += [(item.wall, f"finish {number}") for number, item in enumerate(settings.finishes, 1)]
    return [pair for pair in asked if pair[0] != EVERY_WALL]


def _is_for(wall: FaceOfWall, asked: FeatureRequest | FinishRequest) -> bool:
    return asked.wall in (EVERY_WALL, wall.letter)


def _is_inner(wall: FaceOfWall, end: int) -> bool:
    corner = wall.right if end else wall.left
    return corner is not None and corner.corner_deg > 180.0


def _parted(voids: Sequence[OpeningUnits], openings: Sequence[OpeningUnits], half_mm: float) -> list[OpeningUnits]:
    """Let courses be laid only to those places that leave half a brick beside openings and each other."""
    found: list[OpeningUnits] = []
    taken = list(openings)
    for place in voids:
        u0, v0, u1, v1 = place.reach
        near = [
            other
            for other in taken
            if other.jambs is not None
            and u0 < other.jambs[1] + half_mm
            and u1 > other.jambs[0] - half_mm
            and v0 < other.reach[3]
            and v1 > other.reach[1]
        ]
        laid_to = place.jambs is not None and not near
        found.append(place if laid_to or place.jambs is None else replace(place, jambs=None))
        if laid_to:
            taken.append(place)
    return found


def _courses(dressing: Dressing, masonry: Masonry) -> list[OpeningUnits]:
    """Places of a feature's courses."""
    bottoms, tops = masonry.courses
    length = masonry.laying.length_mm
    return [
        void(max(part.left_mm, 0.0), float(bottoms[part.first]), min(part.right_mm, length), float(tops[part.last]))
        for part in dressing.brickwork
    ]


def _with_bricks(dressing: Dressing, laying: Laying) -> Dressing:
    parts = [
        part if part.laying is not None else replace(part, laying=laying, again=True) for part in dressing.brickwork
    ]
    return replace(dressing, brickwork=tuple(parts))
