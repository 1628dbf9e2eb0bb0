"""The outline of a wall's skin, ended at the wall's two corners."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from halfbat.building.rings import ring_area
from halfbat.errors import KitError
from halfbat.parts.corners import End
from halfbat.parts.edged import LEAST_STRIP_MM, Edged
from halfbat.parts.outlines import corner_moves, joined_sides, set_back, sides_left
from halfbat.parts.sturdy import sturdy
from halfbat.solids.grid import CORNER_STEP, PER_MM
from halfbat.solids.plate import Lean, ProudEnd

Array = NDArray[np.float64]
LEAST_FLAT_BACK_MM = 0.4
GRID_MM = CORNER_STEP / PER_MM
_SAME_MM = 1e-6


class NoBackLeft(KitError):
    """A wall is too narrow for a skin between its corners."""


def wall_face(
    outline_mm: Array,
    left: End,
    right: End,
    depth_mm: float,
    where: str,
    proud: tuple[tuple[ProudEnd, ...], tuple[ProudEnd, ...]] = ((), ()),
    least_mm: float = 0.0,
) -> Edged:
    """End the upright edges at a wall's two corners; everything else stays upright.

    Parameters
    ----------
    outline_mm : ndarray (K, 2)
        Anticlockwise outline of the face in the wall's frame.
    left, right : End
        How the skin ends at the corners.
    depth_mm : float
        Whole thickness of the skin.
    where : str
        Name of the wall for the error.
    proud : tuple of tuple of ProudEnd
        How what stands proud at the left and right corner is ended there.
    least_mm : float
        What is narrower is left out.

    Raises
    ------
    NoBackLeft
        Nothing flat is left of the back between the corners.
    """
    low, high = float(outline_mm[:, 0].min()), float(outline_mm[:, 0].max())
    if left.reach_mm + right.reach_mm > high - low - LEAST_FLAT_BACK_MM:
        raise NoBackLeft(
            f"a skin {high - low:.1f} mm wide has no back left between its corners",
            where,
            "choose a larger scale or leave so narrow a wall out of the mesh",
        )
    ends = [_end_of(a, b, (low, high), (left, right)) for a, b in _edges(outline_mm)]
    while len(kept := sides_left(outline_mm, [end.face_mm if end else 0.0 for end in ends])) < len(ends):
        # What lies within the thickness of the next wall's skin goes; joined, other sides may be too short.
        outline_mm, ends = joined_sides(outline_mm, kept), [ends[side] for side in kept]
    face = set_back(outline_mm, [end.face_mm if end else 0.0 for end in ends])
    outline_mm, ends, lost_mm2 = _sturdy(outline_mm, ends, face, least_mm)
    face = set_back(outline_mm, [end.face_mm if end else 0.0 for end in ends])
    moves = corner_moves(outline_mm, [end.slope if end else 0.0 for end in ends])
    leans, lips = [], []
    for i, end in enumerate(ends):
        above = proud[end is right] if end else ()
        if end is None or not (end.slope or above):
            continue
        j = (i + 1) % len(ends)
        corners = [_point(face[k]) for k in (i, j)]
        leans.append(Lean(corners[0], corners[1], end.slope, depth_mm, _point(moves[i]), _point(moves[j]), above))
        foot = end.profile_mm[0][1] if end.profile_mm else depth_mm
        lips += [(face[k], face[k] + foot * moves[k]) for k in (i, j)]
    strips, planes = _strips(face, (low, high), (left, right), depth_mm)
    bends = sorted({float(x) for strip in strips for x in strip[:2, 0]})
    flat = np.clip(face, [low + left.reach_mm, -np.inf], [high - right.reach_mm, np.inf])
    return Edged(with_bends(face, bends), tuple(strips), tuple(planes), tuple(leans), flat, tuple(lips), lost_mm2)


def _sturdy(
    outline: Array, ends: list[End | None], face: Array, least_mm: float
) -> tuple[Array, list[End | None], float]:
    """Leave out what of a face is too narrow to be printed: the outline it has then, its ends, and the area lost."""
    if least_mm <= 0 or len(face) != len(ends):
        return outline, ends, 0.0
    left, edges = sturdy(face, least_mm)
    if edges == list(range(len(ends))):
        return outline, ends, 0.0
    kept = [ends[edge] if edge >= 0 else None for edge in edges]
    moved = set_back(left, [-end.face_mm if end else 0.0 for end in kept])
    if len(moved) != len(kept):
        return outline, ends, 0.0
    return moved, kept, ring_area(face) - ring_area(left)


def _edges(ring: Array) -> list[tuple[Array, Array]]:
    return list(zip(ring, np.roll(ring, -1, axis=0), strict=True))


def _point(xy: Array) -> tuple[float, float]:
    return float(xy[0]), float(xy[1])


def _end_of(a: Array, b: Array, bounds: tuple[float, float], ends: tuple[End, End]) -> End | None:
    """The end that an edge belongs to: only upright edges at the very left and right have one."""
    if abs(a[0] - b[0]) > _SAME_MM:
        return None
    if b[1] < a[1] and abs(a[0] - bounds[0]) < _SAME_MM:
        return ends[0]
    return ends[1] if b[1] > a[1] and abs(a[0] - bounds[1]) < _SAME_MM else None


def _strips(
    face: Array, bounds: tuple[float, float], ends: tuple[End, End], depth_mm: float
) -> tuple[list[Array], list[tuple[float, float, float]]]:
    """Upright strips of the back at the two corners, and the plane of each."""
    bottom, top = face[:, 1].min() - 1.0, face[:, 1].max() + 1.0
    strips: list[Array] = []
    planes: list[tuple[float, float, float]] = []
    for end, line, sign in ((ends[0], bounds[0], 1.0), (ends[1], bounds[1], -1.0)):
        for level in range(1, len(end.profile_mm)):
            (start, deep), (stop, deeper) = end.profile_mm[level - 1], end.profile_mm[level]
            # The rim moves with the leaning end face afterwards; in the drawing the strip starts at the face's edge.
            begin = end.face_mm if level == 1 else start
            if stop - begin < LEAST_STRIP_MM:
                continue
            # On the grid of solids, so that planes meet at the heights meant.
            x0, x1 = (round((line + sign * offset) / GRID_MM) * GRID_MM for offset in (begin, stop))
            slope = (deep - deeper) / (x1 - x0)
            a, b = min(x0, x1), max(x0, x1)
            strips.append(np.array([[a, bottom], [b, bottom], [b, top], [a, top]]))
            planes.append((float(depth_mm - deep - slope * x0), float(slope), 0.0))
    return strips, planes


def with_bends(ring: Array, at: list[float]) -> Array:
    """Give a ring a corner wherever one of its edges crosses an upright line."""
    corners: list[Array] = []
    for a, b in _edges(ring):
        corners.append(a)
        if abs(a[0] - b[0]) < _SAME_MM:
            continue
        shares = [(x - a[0]) / (b[0] - a[0]) for x in at]
        inside = sorted(share for share in shares if 0 < share < 1)
        corners += [
            a + share * (b - a) for share in inside if min(share, 1 - share) * np.hypot(*(b - a)) > LEAST_STRIP_MM
        ]
    return np.array(corners)
