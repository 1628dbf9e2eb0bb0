"""Plates: a front with levels, a back with levels, and the rim between them.

All skins, slabs, doors and covers are plates. The front steps down all round to a level *belt*; the rim joins the belt
to the back with one strip for each straight stretch of the outline.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.figure import OUTSIDE, Figure
from halfbat.solids.grid import PER_MM, Floats, Ints, to_grid
from halfbat.solids.relief import Raised, Relief, raise_relief
from halfbat.solids.solid import Solid


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
    """

    start: tuple[float, float]
    end: tuple[float, float]
    slope: float
    face_mm: float
    start_move: tuple[float, float] | None = None
    end_move: tuple[float, float] | None = None

    def moved(self, x: float, y: float) -> Lean:
        """Return the edge at another place."""
        start, end = (self.start[0] + x, self.start[1] + y), (self.end[0] + x, self.end[1] + y)
        return Lean(start, end, self.slope, self.face_mm, self.start_move, self.end_move)


def plate(front: Relief, back: Relief, leans: tuple[Lean, ...] = ()) -> Solid:
    """Build a closed solid between two reliefs over one outline.

    Parameters
    ----------
    front : Relief
        Upper side; heights in millimetres.
    back : Relief
        Lower side, also seen from the front; must stay below the front, and level or evenly sloping along its rim.
    leans : tuple of Lean
        Edges whose end faces are not upright.

    Returns
    -------
    Solid
        Closed and outward.

    Raises
    ------
    ValueError
        The outlines differ, or the back is not below the front.
    """
    lower = raise_relief(back, upper=False)
    # Where the back's rim bends, the front needs a corner too.
    rim = lower.sheet.points[np.unique(lower.rim_from)]
    upper_relief = Relief(_with_bends(front.figure, rim), front.planes)
    upper = raise_relief(upper_relief, upper=True)
    strips = _rim(upper, lower)
    vertices = np.concatenate([upper.vertices, lower.vertices])
    shift = len(upper.vertices)
    triangles = np.concatenate([upper.triangles, lower.triangles[:, ::-1] + shift, strips])
    where = vertices / PER_MM
    for moved, value in _leaning(upper, lower, leans):
        where[moved] = value
    return Solid(where, triangles)


def _with_bends(figure: Figure, rim: Ints) -> Figure:
    """Let the front carry the back's rim points that lie on level edges of the outline and of its holes."""
    holes = [layer for layer in figure.layers[1:] if layer.cells.size and (layer.cells == OUTSIDE).any()]
    levels = np.unique(np.concatenate([layer.points[:, 1] for layer in (figure.layers[0], *holes)]))
    return figure.with_extra(rim[np.isin(rim[:, 1], levels)])


def _rim(upper: Raised, lower: Raised) -> Ints:
    below = {tuple(point): k for k, point in enumerate(lower.sheet.points.tolist())}
    follow = dict(zip(lower.rim_from.tolist(), lower.rim_to.tolist(), strict=True))
    vertex_below = dict(zip(lower.rim_from.tolist(), lower.rim_vertex_from.tolist(), strict=True))
    vertex_above = dict(zip(upper.rim_from.tolist(), upper.rim_vertex_from.tolist(), strict=True))
    shift = len(upper.vertices)
    triangles: list[tuple[int, int, int]] = []
    met = 0
    for loop in _loops(upper.rim_from, upper.rim_to):
        places = [tuple(upper.sheet.points[k].tolist()) for k in loop]
        common = [k for k, place in enumerate(places) if below.get(place, -1) in follow]
        if not common:
            raise ValueError("the outlines of front and back differ")
        for k, start in enumerate(common):
            end = common[(k + 1) % len(common)]
            span = (end - start) % len(loop) or len(loop)
            top = [loop[(start + j) % len(loop)] for j in range(span + 1)]
            bottom = [below[places[start]]]
            last = below[places[end]]
            while len(bottom) == 1 or bottom[-1] != last:
                bottom.append(follow[bottom[-1]])
                if len(bottom) > len(follow) + 1:
                    raise ValueError("the outlines of front and back differ")
            met += len(bottom) - 1
            _strip(
                triangles,
                [vertex_above[p] for p in top],
                [vertex_below[p] + shift for p in bottom],
                upper.sheet.points[top],
                lower.sheet.points[bottom],
            )
    if met != len(follow):
        raise ValueError("the outlines of front and back differ")
    return np.array(triangles, dtype=np.int64)


def _strip(out: list[tuple[int, int, int]], top: list[int], bottom: list[int], above: Ints, below: Ints) -> None:
    """Zip two chains that run beside each other, the top one first where they are level."""
    reach_top = np.abs(above - above[0]).sum(axis=1).tolist()
    reach_bottom = np.abs(below - below[0]).sum(axis=1).tolist()
    i = j = 0
    while i < len(top) - 1 or j < len(bottom) - 1:
        if j == len(bottom) - 1 or (i < len(top) - 1 and reach_top[i + 1] <= reach_bottom[j + 1]):
            out.append((top[i + 1], top[i], bottom[j]))
            i += 1
        else:
            out.append((top[i], bottom[j], bottom[j + 1]))
            j += 1


def _loops(start: Ints, end: Ints) -> list[list[int]]:
    follow = dict(zip(start.tolist(), end.tolist(), strict=True))
    loops = []
    while follow:
        first, here = follow.popitem()
        loop = [first]
        while here != first:
            loop.append(here)
            here = follow.pop(here)
        loops.append(loop)
    return loops


def _leaning(upper: Raised, lower: Raised, leans: tuple[Lean, ...]) -> list[tuple[Ints, Floats]]:
    """Move the vertices on leaning edges into the plate by their depth; at a corner along the other edge."""
    if not leans:
        return []
    moves = []
    for raised, shift in ((upper, 0), (lower, len(upper.vertices))):
        rim_points = np.unique(raised.rim_from)
        point_of = {tuple(p): k for k, p in enumerate(raised.sheet.points.tolist())}
        on_rim = np.zeros(len(raised.sheet.points), dtype=bool)
        on_rim[rim_points] = True
        whose = np.array([point_of[tuple(p)] for p in raised.vertices[:, :2].tolist()], dtype=np.int64)
        candidates = np.flatnonzero(on_rim[whose])
        spot = raised.vertices[candidates] / PER_MM
        moved = spot.copy()
        for lean in leans:
            a, b = (to_grid(p) / PER_MM for p in (lean.start, lean.end))
            along = (b - a) / np.hypot(*(b - a))
            inward = np.array([-along[1], along[0]])
            off = (spot[:, :2] - a) @ inward
            beside = (spot[:, :2] - a) @ along
            on = (np.abs(off) < 2e-4) & (beside > -2e-4) & (beside < np.hypot(*(b - a)) + 2e-4)
            depth = (lean.face_mm - spot[:, 2])[:, None]
            moved[on, :2] = spot[on, :2] + lean.slope * depth[on] * inward
            for corner, move in ((0.0, lean.start_move), (float(np.hypot(*(b - a))), lean.end_move)):
                at = on & (np.abs(beside - corner) < 2e-4)
                if move is not None:
                    moved[at, :2] = spot[at, :2] + depth[at] * np.array(move)
        moves.append((candidates + shift, moved))
    return moves
