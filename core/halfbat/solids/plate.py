"""Plates: a front with levels, a back with levels, and the rim between them.

All skins, slabs, doors and covers are plates. The front steps down all round to a level *belt*; the rim joins the belt
to the back with one strip for each straight stretch of the outline.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from halfbat.solids.figure import OUTSIDE
from halfbat.solids.grid import PER_MM, Floats, Ints, to_grid
from halfbat.solids.relief import CUT_BACK, ROUNDS, Raised, Relief, raise_relief
from halfbat.solids.rim import rim_between
from halfbat.solids.solid import Solid

Bools = npt.NDArray[np.bool_]
NEAR_MM = 8e-4
"""How far from a leaning edge a vertex may lie, by rounding, and still belong to it."""

LEDGE_MM = 0.01
"""Width of a ledge that parts a leaning end face at the height of the face: far less than anything is printed to."""

SQUEEZED = 0.1
"""Share of its distance from the edge that what makes room for a leaning end face keeps from it, so that none fold."""

FULL_MM = 2e-3
"""So near the edge all of that distance is kept."""

NEAR_CUT_MM = 1.5e-3
"""The same for a place reckoned from lines that are not on the grid."""


class ProudEnd(NamedTuple):
    """What stands above the face at a leaning edge, over a stretch of it.

    Parameters
    ----------
    low_mm, high_mm : float
        From where to where, as y.
    out_mm : float
        How far it stands above the face.
    slope : float
        Millimetres it moves out of the plate for each millimetre of height.
    ledge : bool
        Whether the front has a ledge of `LEDGE_MM` at the height of the face there, from which it leans out; else it
        leans from where the end face below begins.
    """

    low_mm: float
    high_mm: float
    out_mm: float
    slope: float
    ledge: bool = False


@dataclass(frozen=True, slots=True)
class Lean:
    """An edge of the outline whose end face leans.

    Parameters
    ----------
    start, end : tuple of float
        Ends of the edge in millimetres, the plate lying to its left.
    slope : float
        Millimetres the end face moves into the plate for each millimetre of depth.
    face_mm : float
        Height from which depth is counted.
    start_move, end_move : tuple of float, optional
        How far the corners at its ends move for each millimetre of depth, where the neighbouring edges are not at right
        angles to it or lean too.
    cuts : tuple of (tuple of float, tuple of float)
        Further places along it where the plate ends, and how far what is there moves for each millimetre of depth.
    above : tuple of ProudEnd
        How what stands above the face is ended; as the slope goes on where nothing is said.
    slide : tuple of float, optional
        How far what lies on the back between its ends moves for each millimetre of depth, where that slopes; square to
        the edge where nothing is said.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    slope: float
    face_mm: float
    start_move: tuple[float, float] | None = None
    end_move: tuple[float, float] | None = None
    above: tuple[ProudEnd, ...] = ()
    cuts: tuple[tuple[tuple[float, float], tuple[float, float]], ...] = ()
    slide: tuple[float, float] | None = None

    def moved(self, x: float, y: float) -> Lean:
        """Return the edge at another place."""
        start, end = (self.start[0] + x, self.start[1] + y), (self.end[0] + x, self.end[1] + y)
        cuts = tuple(((place[0] + x, place[1] + y), move) for place, move in self.cuts)
        above = tuple(one._replace(low_mm=one.low_mm + y, high_mm=one.high_mm + y) for one in self.above)
        return replace(self, start=start, end=end, above=above, cuts=cuts)


def plate(front: Relief, back: Relief, leans: tuple[Lean, ...] = ()) -> Solid:
    """Build a closed solid between two reliefs over one outline.

    Parameters
    ----------
    front : Relief
        Upper side; heights in millimetres.
    back : Relief
        Lower side, also seen from the front; must stay below the front, and level or evenly sloping along its rim.
    leans : tuple of Lean
        Edges whose end faces are not upright. They must not pass over what lies beside them.

    Returns
    -------
    Solid
        Closed and outward, if front and back keep apart and no leaning edge passes over what lies beside it on the rim.

    Raises
    ------
    ValueError
        The outlines differ, or pieces that touch at a corner could not be parted.
    """
    upper, lower = _raise_both(front, back)
    shift = len(upper.vertices)
    rim = rim_between(upper, lower)
    turned = (part[:, ::-1] + shift for part in (lower.faces, lower.steps))
    triangles = np.concatenate([upper.faces, upper.steps, *turned, rim])
    where = np.concatenate([upper.vertices / PER_MM, lower.vertices / PER_MM])
    moves = _leaning(upper, lower, leans)
    for moved, value in moves:
        where[moved] = value
    return _met(Solid(where, triangles), [moved for moved, _ in moves])


def _met(solid: Solid, moved: list[Ints]) -> Solid:
    """Take neighbours that came to one place by being moved for one, and drop the triangles between them."""
    if not moved:
        return solid
    own = np.unique(np.concatenate(moved))
    places = solid.vertices[own].astype(np.float32)
    _, first, of = np.unique(places, axis=0, return_index=True, return_inverse=True)
    if len(first) == len(own):
        return solid
    instead = np.arange(len(solid.vertices))
    instead[own] = own[first[of.reshape(-1)]]
    kept = instead[solid.triangles]
    kept = kept[(kept != np.roll(kept, 1, axis=1)).all(axis=1)]
    used, at = np.unique(kept, return_inverse=True)
    return Solid(solid.vertices[used], at.reshape(-1, 3).astype(np.int64))


def _raise_both(front: Relief, back: Relief) -> tuple[Raised, Raised]:
    """Raise both reliefs, with the rim of both cut open wherever that of one meets itself."""
    for _ in range(ROUNDS):
        upper, lower = raise_relief(front, upper=True), raise_relief(back, upper=False)
        pinched = np.unique(np.concatenate([upper.rim_pinches, lower.rim_pinches]), axis=0)
        if not pinched.size:
            return upper, lower
        front, back = (
            Relief(side.figure.with_squares(pinched, CUT_BACK, OUTSIDE), side.planes) for side in (front, back)
        )
    raise ValueError("the outline meets itself at corners and could not be parted")


def _proud(lean: Lean, spot: Floats, off: Floats, above: Bools) -> Iterator[tuple[Bools, float]]:
    """Which vertices above the face belong to which stretch; between two, to the lower one that is high enough."""
    # What is told last counts, so the furthest out comes first.
    for one in sorted(lean.above, key=lambda own: -own.out_mm):
        within = (spot[:, 1] > one.low_mm - NEAR_CUT_MM) & (spot[:, 1] < one.high_mm + NEAR_CUT_MM)
        within &= off < (LEDGE_MM if one.ledge else 0.0) + NEAR_MM
        yield above & within & (spot[:, 2] - lean.face_mm < one.out_mm + NEAR_CUT_MM), one.slope


def _on_ledges(spot: Floats, leans: tuple[Lean, ...]) -> Bools:
    """Which vertices stand over the face beside a ledge."""
    found = np.zeros(len(spot), dtype=bool)
    for lean in leans:
        if any(one.ledge for one in lean.above):
            a, b = (to_grid(p) / PER_MM for p in (lean.start, lean.end))
            step = (b - a) / np.hypot(*(b - a))
            off = (spot[:, :2] - a) @ np.array([-step[1], step[0]])
            found |= (np.abs(off - LEDGE_MM) < NEAR_MM) & (spot[:, 2] > lean.face_mm)
    return found


def _leaning(upper: Raised, lower: Raised, leans: tuple[Lean, ...]) -> list[tuple[Ints, Floats]]:
    """Move the vertices on leaning edges into the plate by their depth; at a corner along the other edge."""
    if not leans:
        return []
    moves = []
    for raised, shift in ((upper, 0), (lower, len(upper.vertices))):
        on_rim = np.zeros(len(raised.sheet.points), dtype=bool)
        on_rim[raised.rim_from] = True
        candidates = np.flatnonzero(on_rim[raised.over] | _on_ledges(raised.vertices / PER_MM, leans))
        spot = raised.vertices[candidates] / PER_MM
        moved = spot.copy()
        for lean in leans:
            a, b = (to_grid(p) / PER_MM for p in (lean.start, lean.end))
            length = np.hypot(*(b - a))
            along = (b - a) / length
            inward = np.array([-along[1], along[0]])
            off = inside = (spot[:, :2] - a) @ inward
            beside = (spot[:, :2] - a) @ along
            long = (beside > -NEAR_MM) & (beside < length + NEAR_MM)
            on = (np.abs(off) < NEAR_MM) & long
            depth = (lean.face_mm - spot[:, 2])[:, None]
            move = lean.slope * inward if raised is upper or lean.slide is None else np.array(lean.slide)
            beyond = float(along @ move)
            if lean.slope:
                moved[on, :2] = spot[on, :2] + depth[on] * move
            for place, slide in lean.cuts:
                cut = on & (np.hypot(*(spot[:, :2] - place).T) < NEAR_CUT_MM)
                moved[cut, :2] = spot[cut, :2] + depth[cut] * np.array(slide)
            ends = (lean.start_move, lean.end_move)
            for corner, own, other in ((0.0, *ends), (length, *ends[::-1])):
                at = on & (np.abs(beside - corner) < NEAR_MM)
                if own is None:
                    continue
                moved[at, :2] = spot[at, :2] + depth[at] * np.array(own)
                # Where the corner comes along the edge, what stands next to it makes room.
                toward = 1.0 if corner == 0.0 else -1.0
                off = toward * (beside - corner)
                used = toward * depth[:, 0] * (float(along @ np.array(own)) - beyond)
                # All that is taken for the corner moves with it whole, so the making of room begins beyond that.
                off = np.maximum(off - NEAR_CUT_MM, 0.0)
                span = np.minimum(2 * used, length)
                near = on & ~at & (off < span) & (off < length - NEAR_CUT_MM - NEAR_MM)
                share = 1 - off[near] / np.maximum(span[near], NEAR_MM)
                taken = used[near] * share
                if other is not None:
                    # Of a short edge the other end goes on before it, and takes what is between along.
                    ahead = toward * depth[near, 0] * (float(along @ np.array(other)) - beyond)
                    taken += np.where(span[near] < length, 0.0, np.maximum(ahead, 0.0) * (1 - share))
                moved[near, :2] += (toward * taken)[:, None] * along
            for proud, slope in _proud(lean, spot, inside, (inside > -NEAR_MM) & long & (depth[:, 0] < 0)):
                moved[proud, :2] = spot[proud, :2] + slope * depth[proud] * inward
        moves.append((candidates + shift, moved))
    inner = np.setdiff1d(np.arange(len(upper.vertices)), moves[0][0])
    moves.append((inner, _made_room(upper.vertices[inner] / PER_MM, leans)))
    return moves


def _made_room(spot: Floats, leans: tuple[Lean, ...]) -> Floats:
    """Move what lies low beside an edge whose end face leans in until it is behind that face.

    Where it lies as it is, a gap between two tiles that ends near a hip would come out through the mitre.
    """
    moved = spot.copy()
    for lean in leans:
        if lean.slope <= 0.0:
            continue
        a, b = (to_grid(p) / PER_MM for p in (lean.start, lean.end))
        length = np.hypot(*(b - a))
        along = (b - a) / length
        inward = np.array([-along[1], along[0]])
        off, beside = (moved[:, :2] - a) @ inward, (moved[:, :2] - a) @ along
        face = lean.slope * (lean.face_mm - moved[:, 2])
        # The next to the edge stays as far from it as it was, or the two would fall together.
        kept = face + np.minimum(off, FULL_MM) + SQUEEZED * off
        passed = (off > 0.0) & (off < kept) & (face > 0.0) & (beside > -face) & (beside < length + face)
        moved[passed, :2] += (kept - off)[passed, None] * inward
    return moved
