"""Joints between two sections: splices behind walls and dovetail keys, all drawn in plan.

A joint is drawn in the frame of its cut: s along the cut, t across it, the lower section at smaller t. The lower
section has what reaches over, the upper one leaves that free with play all round. Walls butt with a gap that is taken
out of both sections.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.outlines import Outline
from halfbat.parts.section_stretches import ROOM, Stretch, is_room, is_wall, row_at, stretches
from halfbat.solids.grid import PER_MM
from halfbat.solids.trapezoids import Trapezoids

Array = NDArray[np.float64]
GAP_MM = 0.1
"""Between two sections: a thin film of glue (0.05 to 0.20 mm is best, published values, section 4)."""
SPLICE_LINES = 3
SPLICE_MM = 8.0
"""How far a splice reaches along the wall to each side of the cut."""
KEY_MM = (8.0, 12.0, 6.0)
"""A dovetail key: width at its neck, at its head, and length. Common practice, no source."""
LEAST_KEY = 0.6
"""A key is made smaller where there is no room, down to this share of it."""
KEY_ROOM_MM = 5.0
STRIP_MM = 12.0
"""Width of the floor that a shell without one keeps to each side of a cut: a key, and what holds it."""
KEYS_AT_MM = (60.0, 140.0)
"""Rooms up to the first length have one key, up to the second two, longer ones three."""
STEEPEST = 1.0
"""Walls that cross a cut at less than 45 degrees are not spliced."""
INTO_MM = 1.0
OVER_MM = 0.03


@dataclass(frozen=True, slots=True)
class JointRules:
    """How sections are joined.

    Parameters
    ----------
    fit_mm, line_mm : float
        Play on each side, and the width of a printed line.
    splice_tops_mm : tuple of float
        Up to which height a splice may reach in the room of each mass; none where sections have no splices.
    band_mm : float
        Width of a rib, or of a strip of floor, along each side of a cut; 0 for none.
    capped : bool
        Whether keys end in a socket that is closed above, so that a roof stays whole over them.
    """

    fit_mm: float
    line_mm: float
    splice_tops_mm: tuple[float, ...] = ()
    band_mm: float = 0.0
    capped: bool = False

    @property
    def reach_mm(self) -> float:
        """How far a joint reaches to each side of its cut, play included."""
        return (SPLICE_MM if self.splice_tops_mm else KEY_MM[2]) + 2 * self.fit_mm

    @property
    def splice_mm(self) -> float:
        """Thickness of a splice."""
        return SPLICE_LINES * self.line_mm


@dataclass(frozen=True, slots=True, eq=False)
class Tooth:
    """What reaches over a cut.

    Parameters
    ----------
    own, free : ndarray (4, 2)
        Its outline from the cut and back to it, by rising s; and that of what the other section leaves free.
    """

    own: Array
    free: Array


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """A joint in the frame of its cut.

    Parameters
    ----------
    at : float
        Where the cut lies, as t.
    teeth : tuple of Tooth
        By rising s.
    splices : tuple of (ndarray (4, 2), float)
        Added to the lower section, and up to which height.
    ribs : tuple of ndarray (4, 2)
        Along the cut and round the keys.
    unspliced : int
        How many walls cross the cut that have no room for a splice.
    capped : bool
        Whether the upper section is whole over the teeth, which are keys only.
    """

    at: float
    teeth: tuple[Tooth, ...]
    splices: tuple[tuple[Array, float], ...]
    ribs: tuple[Array, ...]
    unspliced: int
    capped: bool = False

    def beyond(self, box: Array) -> tuple[Outline, Outline]:
        """What is not of the lower section, and what is not of the upper one, within a box (2, 2) of (s, t)."""
        (s0, t0), (s1, t1) = box
        low, high = self.at - GAP_MM / 2, self.at + GAP_MM / 2
        own = [place for tooth in self.teeth for place in tooth.own]
        free = [] if self.capped else [place for tooth in self.teeth for place in tooth.free]
        upper = np.array([(s0, low), *own, (s1, low), (s1, t1), (s0, t1)])
        lower = np.array([(s0, t0), (s1, t0), (s1, high), *reversed(free), (s0, high)])
        return upper, lower


def joint_at(
    body: Trapezoids, corners: Array, closed: Array, at: float, span: tuple[float, float], rules: JointRules
) -> Joint:
    """Draw the joint at a cut.

    Parameters
    ----------
    body : Trapezoids
        The body in the frame of the cut.
    corners : ndarray (N, 2)
        Places that splices and keys keep clear of, in that frame.
    closed : ndarray (C, 2, 2)
        Boxes that they keep clear of.
    at : float
        Where the cut lies.
    span : tuple of float
        From where to where along the cut there may be teeth.
    rules : JointRules
        How they are joined.
    """
    reach = rules.reach_mm
    crossing = [one for one in stretches(body, at, reach) if is_wall(one.cell)]
    crossing = [one for one in crossing if span[0] < one.low and one.high < span[1]]
    rooms = [(cell, low, high) for cell, low, high in row_at(body, at) if is_room(cell)]
    teeth: list[Tooth] = []
    splices: list[tuple[Array, float]] = []
    taken: list[tuple[float, float]] = []
    for wall in crossing if rules.splice_tops_mm else ():
        made = _splice(wall, rooms, at, rules)
        clear_of = [one for one in made if _clear(corners, closed, np.concatenate([one[0].own, one[0].free]), 0.5)]
        if clear_of:
            tooth, added = clear_of[0]
            teeth.append(tooth)
            splices += added
            taken.append((float(tooth.free[:, 0].min()), float(tooth.free[:, 0].max())))
    clear = [room for room in (_narrowest(body, room, at) for room in rooms) if room is not None]
    keys = [key for room in clear for key in _keys(room, span, taken, at, rules.fit_mm)]
    keys = [key for key in keys if _clear(corners, closed, key.free, 1.0)]
    within = (low < span[1] and high > span[0] for cell, low, high in row_at(body, at) if is_wall(cell))
    unspliced = sum(within) - len(teeth) if rules.splice_tops_mm else 0
    teeth = sorted([*teeth, *keys], key=lambda one: float(one.own[0, 0]))
    ribs = _ribs(keys, at, span, body, rules) if rules.band_mm else []
    return Joint(at, tuple(teeth), tuple(splices), tuple(ribs), unspliced, rules.capped)


def _narrowest(body: Trapezoids, room: tuple[int, float, float], at: float) -> tuple[float, float] | None:
    """How wide a room is over the length of a key to both sides of a cut; None where it ends before."""
    _, low, high = room
    for shift in (-KEY_MM[2], KEY_MM[2]):
        there = [one for one in row_at(body, at + shift) if one[0] == room[0] and one[1] < high and one[2] > low]
        if not there:
            return None
        wide = max(there, key=lambda one: min(one[2], high) - max(one[1], low))
        low, high = max(low, wide[1]), min(high, wide[2])
    return low, high


def _splice(
    wall: Stretch, rooms: Sequence[tuple[int, float, float]], at: float, rules: JointRules
) -> list[tuple[Tooth, list[tuple[Array, float]]]]:
    """Splices that a wall may have, on each side where there is a room."""
    found = []
    thick = rules.splice_mm
    root = np.ceil((rules.fit_mm + thick) / rules.line_mm - 1e-6) * rules.line_mm
    needed = 2 * (root + rules.fit_mm)
    for side in (1.0, -1.0):
        face, lean = (wall.high, wall.lean_high) if side > 0 else (wall.low, wall.lean_low)
        beside = [one for one in rooms if abs(one[1 if side > 0 else 2] - face) < 2e-3 and one[2] - one[1] > needed]
        top = rules.splice_tops_mm[(beside[0][0] - ROOM) // 2] if beside else -np.inf
        if not np.isfinite(top) or abs(lean) > STEEPEST:
            continue
        across = float(np.hypot(1.0, lean)) * side
        low, high, fit = at - GAP_MM / 2, at + GAP_MM / 2, rules.fit_mm

        def strip(t0: float, t1: float, near: float, far: float) -> Array:
            places = [(near, t0), (near, t1), (far, t1), (far, t0)]
            ring = np.array([(face + lean * (t - at) + off * across, t) for off, t in places])  # noqa: B023
            return ring if side > 0 else ring[::-1]  # noqa: B023

        over = OVER_MM if abs(lean) > 1e-9 else 0.0
        own = strip(low, at + SPLICE_MM, fit, fit + thick)
        free = strip(high, at + SPLICE_MM + fit, 0.0, 2 * fit + thick)
        rooted = strip(at - SPLICE_MM, low, -over, root)
        tongue = strip(low - INTO_MM, at + SPLICE_MM, fit, fit + thick)
        found.append((Tooth(own, free), [(rooted, top), (tongue, top)]))
    return found


def _clear(corners: Array, closed: Array, ring: Array, by_mm: float) -> bool:
    """Whether no corner lies in the box of an outline, and no closed box meets it."""
    low, high = ring.min(axis=0) - by_mm, ring.max(axis=0) + by_mm
    inside = (corners > low).all(axis=1) & (corners < high).all(axis=1)
    met = (closed[:, 0] < high).all(axis=1) & (closed[:, 1] > low).all(axis=1)
    return not (inside.any() or met.any())


def _keys(
    room: tuple[float, float],
    span: tuple[float, float],
    taken: Sequence[tuple[float, float]],
    at: float,
    fit_mm: float,
) -> list[Tooth]:
    """Dovetail keys, spread over the part of a room that is free for them."""
    low, high = max(room[0], span[0]), min(room[1], span[1])
    for begin, end in taken:
        if begin < (low + high) / 2 and end > low:
            low = max(low, end)
        elif begin < high and end > (low + high) / 2:
            high = min(high, begin)
    low, high = low + KEY_ROOM_MM, high - KEY_ROOM_MM
    size = min(1.0, (high - low) / KEY_MM[1])
    if size < LEAST_KEY:
        return []
    count = 1 + sum(high - low > long for long in KEYS_AT_MM)
    return [_key(low + (high - low) * (2 * k + 1) / (2 * count), at, size, fit_mm) for k in range(count)]


def _key(middle: float, at: float, size: float, fit_mm: float) -> Tooth:
    neck, head, long = (size * value for value in KEY_MM)
    low, high = at - GAP_MM / 2, at + GAP_MM / 2
    lean = (head - neck) / 2 / long
    aside = fit_mm * float(np.hypot(1.0, lean))

    def outline(t0: float, t1: float, out: float) -> Array:
        near, far = (neck / 2 + lean * (t - low) + out for t in (t0, t1))
        return np.array([(middle - near, t0), (middle - far, t1), (middle + far, t1), (middle + near, t0)])

    return Tooth(outline(low, low + long, 0.0), outline(high, low + long + fit_mm, aside))


def _ribs(
    keys: Sequence[Tooth], at: float, span: tuple[float, float], body: Trapezoids, rules: JointRules
) -> list[Array]:
    """A band along both sides of the cut, wider round keys, so that these stand on the plate."""
    wide = rules.band_mm
    s0, s1 = float(body.left0.min()) / PER_MM, float(body.right0.max()) / PER_MM
    s0, s1 = max(s0, span[0]), min(s1, span[1])
    half = GAP_MM / 2 + wide
    bands = [np.array([(s0, at - half), (s1, at - half), (s1, at + half), (s0, at + half)])]
    for key in keys:
        low, high = key.free.min(axis=0) - rules.splice_mm, key.free.max(axis=0) + rules.splice_mm
        bands.append(np.array([(low[0], at), (high[0], at), (high[0], high[1]), (low[0], high[1])]))
    return bands
