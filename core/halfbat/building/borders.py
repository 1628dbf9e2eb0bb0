"""The borders of all regions, without those too short to be made."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import numpy.typing as npt

from halfbat.building.border import Border, Borders, border_of
from halfbat.building.columns import STEP_M, height_of
from halfbat.building.plan import crossing_pairs
from halfbat.building.plan_map import PlanMap

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Corners this much of the smallest width off a straight line are dropped.
_STRAIGHT_SHARE = 0.05
#: Nodes of the outside this much of it off a straight wall are brought onto the wall.
_ALIGN_SHARE = 0.2
#: Between parallel walls a jog shorter than this share of it is a hair; a longer one stays where they would turn by
#: more than a degree, as sine.
_HAIR_SHARE = 0.25
_PARALLEL = 0.94
_SKEW = 0.0175


def find_borders(plan: PlanMap, smallest_m: float) -> Borders:
    """Gather the borders between regions and dissolve short ones.

    Parameters
    ----------
    plan : PlanMap
        Regions.
    smallest_m : float
        Shortest border of a wall on the ground; those on a roof may be a quarter of it.

    Returns
    -------
    Borders
    """
    work = _Work(plan, smallest_m)
    work.straighten()
    while work.dissolve_shortest():
        work.straighten()
    work.align()
    pieces = tuple(work.pieces[key] for key in sorted(work.pieces))
    standing = np.array([work.standing(node) for node in range(len(plan.nodes))], dtype=np.int64)
    return Borders(pieces, work.nodes[standing], standing, tuple(work.dissolved))


class _Work:
    """Borders while they are being changed."""

    def __init__(self, plan: PlanMap, smallest_m: float) -> None:
        self.plan = plan
        self.smallest = smallest_m
        self.nodes = plan.nodes.copy()
        self.stands: dict[int, int] = {}
        self.pieces: dict[int, Border] = {}
        self.at: dict[int, set[int]] = defaultdict(set)
        self.dissolved: list[tuple[float, float, float]] = []
        self.refused: set[int] = set()
        self.next_key = 0
        for edge in np.flatnonzero(plan.sides[:, 0] != plan.sides[:, 1]).tolist():
            self._add(border_of(plan, edge))
        outer = {side for piece in self.pieces.values() if -1 in piece.sides[:2] for side in piece.sides[:2]}
        self.grounded = outer - {-1}

    def _add(self, piece: Border) -> None:
        self.pieces[self.next_key] = piece
        self.at[piece.start].add(self.next_key)
        self.at[piece.end].add(self.next_key)
        self.next_key += 1

    def _drop(self, key: int) -> Border:
        piece = self.pieces.pop(key)
        self.at[piece.start].discard(key)
        self.at[piece.end].discard(key)
        return piece

    def standing(self, node: int) -> int:
        while node in self.stands:
            node = self.stands[node]
        return node

    def length(self, piece: Border) -> float:
        return float(np.hypot(*(self.nodes[piece.end] - self.nodes[piece.start])))

    def straighten(self) -> None:
        """Drop nodes on a straight line between two pieces with the same sides."""
        for node in sorted(self.at):
            if len(self.at[node]) != 2:
                continue
            one, two = (self.pieces[key] for key in sorted(self.at[node]))
            one = one if one.end == node else one.reversed()
            two = two if two.start == node else two.reversed()
            if one.sides != two.sides or one.start == two.end:
                continue
            a, p, b = self.nodes[[one.start, node, two.end]]
            chord = b - a
            size = float(np.hypot(*chord))
            off = abs(chord[0] * (p - a)[1] - chord[1] * (p - a)[0]) / max(size, 1e-9)
            if float((p - a) @ (b - p)) > 0.0 and off <= max(0.002, _STRAIGHT_SHARE * self.smallest):
                for key in sorted(self.at[node]):
                    self._drop(key)
                self._add(Border(one.start, two.end, *one.sides))
        self._join_doubles()

    def align(self) -> None:
        """Bring nodes of the outside that are nearly on a straight line onto it: one wall behind two roofs."""
        for node in sorted(self.at):
            outer = [self.pieces[key] for key in sorted(self.at[node]) if -1 in self.pieces[key].sides[:2]]
            if len(outer) != 2 or len(self.at[node]) < 3:
                continue
            a, b = (self.nodes[piece.end if piece.start == node else piece.start] for piece in outer)
            chord, to = b - a, self.nodes[node] - a
            size = float(np.hypot(*chord))
            off = (chord[0] * to[1] - chord[1] * to[0]) / max(size, 1e-9)
            share = float(to @ chord) / max(size, 1e-9) ** 2
            # Seen from the corners the wall may turn by a few degrees and no more.
            slack = min(_ALIGN_SHARE * self.smallest, 0.05 * size * min(share, 1.0 - share))
            if 0.002 < abs(off) <= slack:
                self.nodes[node] = a + share * chord

    def _join_doubles(self) -> None:
        """Make two pieces over the same stretch one: the region between them has gone."""
        seen: dict[tuple[int, int], int] = {}
        for key in sorted(self.pieces):
            piece = self.pieces[key]
            ends = (min(piece.start, piece.end), max(piece.start, piece.end))
            if ends not in seen:
                seen[ends] = key
                continue
            one, two = self._drop(seen.pop(ends)), self._drop(key)
            two = two if two.start == one.start else two.reversed()
            if one.right != two.left:
                one, two = two, one
            if one.left != two.right:
                self._add(Border(one.start, one.end, one.left, two.right, one.left_crest, two.right_crest))
                seen[ends] = self.next_key - 1

    def dissolve_shortest(self) -> bool:
        """Take out the shortest piece that is too short; say whether there was one."""
        short = [
            (length, key)
            for key, piece in self.pieces.items()
            if key not in self.refused and (length := self.length(piece)) < self._limit(piece)
        ]
        if not short:
            return False
        length, key = min(short)
        piece = self.pieces[key]
        middle = self.nodes[[piece.start, piece.end]].mean(axis=0)
        before = self.nodes.copy()
        moves = self._jog(key) or {piece.start: self._best_place(key)}
        for node, spot in moves.items():
            self.nodes[node] = spot
        self.nodes[piece.end] = self.nodes[piece.start]
        if self._crosses(key) or self._skews(key, before):
            self.nodes = before
            self.refused.add(key)
            return True
        self._drop(key)
        for other in sorted(self.at[piece.end]):
            moved = self._drop(other)
            ends = [piece.start if end == piece.end else end for end in (moved.start, moved.end)]
            if ends[0] != ends[1]:
                self._add(Border(ends[0], ends[1], *moved.sides))
        self.stands[piece.end] = piece.start
        if length > 0.001:
            self.dissolved.append((length, float(middle[0]), float(middle[1])))
        return True

    def _skews(self, gone: int, before: Array) -> bool:
        """Say whether walls of the outside on either side of a jog, parallel as they are, would turn without it.

        Such a jog stays, if it is no hair: it shows less as a bare step than as two crooked walls under crooked eaves.
        """
        piece = self.pieces[gone]
        step = float(np.hypot(*(before[piece.end] - before[piece.start])))
        if -1 not in piece.sides[:2] or step < _HAIR_SHARE * self.smallest:
            return False
        beside = [self.pieces[key] for key in sorted(self.at[piece.start] | self.at[piece.end]) if key != gone]
        walls = [other for other in beside if -1 in other.sides[:2]]
        old, new = ([_heading(nodes[wall.start], nodes[wall.end]) for wall in walls] for nodes in (before, self.nodes))
        if len(walls) != 2 or abs(float(old[0] @ old[1])) < _PARALLEL:
            return False
        return any(abs(float(a[0] * b[1] - a[1] * b[0])) > _SKEW for a, b in zip(old, new, strict=True))

    def _limit(self, piece: Border) -> float:
        stands_on_roof = any(side >= 0 and side not in self.grounded for side in piece.sides[:2])
        if stands_on_roof:
            return 0.25 * self.smallest
        if -1 in piece.sides[:2]:
            # A border cut where a ridge or a step meets it goes on as one wall.
            return self.smallest if self._turns(piece) else 0.25 * self.smallest
        spots = self.nodes[[piece.start, piece.end]]
        roofs = self.plan.roofs
        left, right = (height_of(roofs[crest], spots) for crest in piece.sides[2:])
        step = bool(np.any(np.abs(left - right) > STEP_M))
        return self.smallest if step and self._turns(piece) else 0.25 * self.smallest

    def _turns(self, piece: Border) -> bool:
        """Say whether a piece is a side of its own, and not part of a straight line of borders."""
        way = (self.nodes[piece.end] - self.nodes[piece.start]) / max(self.length(piece), 1e-9)
        for node in (piece.start, piece.end):
            for key in self.at[node]:
                other = self.pieces[key]
                if other == piece:
                    continue
                step = self.nodes[other.end] - self.nodes[other.start]
                if abs(way[0] * step[1] - way[1] * step[0]) < 0.05 * max(float(np.hypot(*step)), 1e-9):
                    return False
        return True

    def _neighbours(self, key: int, node: int) -> list[int]:
        """Return the far nodes of the other pieces at a node."""
        others = [self.pieces[other] for other in sorted(self.at[node]) if other != key]
        return [piece.end if piece.start == node else piece.start for piece in others]

    def _jog(self, key: int) -> dict[int, Array] | None:
        """Bring both neighbours of a jog onto the line of the longer; None where it is no jog."""
        piece = self.pieces[key]
        before, after = (self._neighbours(key, node) for node in (piece.start, piece.end))
        if len(before) != 1 or len(after) != 1 or before == after:
            return None
        a, p, q, d = before[0], piece.start, piece.end, after[0]
        if np.hypot(*(self.nodes[d] - self.nodes[q])) > np.hypot(*(self.nodes[p] - self.nodes[a])):
            a, p, q, d = d, q, p, a
        first, second = self.nodes[p] - self.nodes[a], self.nodes[d] - self.nodes[q]
        sizes = float(np.hypot(*first) * np.hypot(*second))
        if sizes < 1e-12 or float(first @ second) / sizes < 0.94:
            return None
        beyond = [far for far in self._neighbours(-1, d) if far != q]
        spots = [_meeting(self.nodes[a], first, self.nodes[d], self.nodes[far] - self.nodes[d]) for far in beyond]
        near = [spot for spot in spots if spot is not None and np.hypot(*(spot - self.nodes[d])) < 3.0 * self.smallest]
        unit = first / float(np.hypot(*first))
        onto = self.nodes[a] + unit * float((self.nodes[d] - self.nodes[a]) @ unit)
        middle = self.nodes[a] + unit * float((self.nodes[q] - self.nodes[a]) @ unit)
        return {piece.start: middle, d: near[0] if near else onto}

    def _best_place(self, key: int) -> Array:
        """Return where the two ends of a piece come together so that its neighbours turn least."""
        piece = self.pieces[key]
        p, q = self.nodes[piece.start], self.nodes[piece.end]
        near = [(p, self.nodes[far] - p) for far in self._neighbours(key, piece.start)]
        far_side = [(q, self.nodes[far] - q) for far in self._neighbours(key, piece.end)]
        candidates = [p, q, (p + q) / 2.0]
        for origin, way in near:
            for other, step in far_side:
                spot = _meeting(origin, way, other, step)
                if spot is not None and np.hypot(*(spot - (p + q) / 2.0)) < 2.0 * self.smallest:
                    candidates.append(spot)

        def turned(spot: Array) -> float:
            return sum(
                abs(float(way[0] * (spot - end)[1] - way[1] * (spot - end)[0])) / max(float(way @ way), 1e-9)
                for end, way in [*near, *far_side]
            )

        return min(candidates, key=lambda spot: (round(turned(spot), 6), float(np.hypot(*(spot - p)))))

    def _crosses(self, gone: int) -> bool:
        """Say whether borders cross now that nodes have moved."""
        pieces = [piece for key, piece in self.pieces.items() if key != gone]
        pairs = np.array([(piece.start, piece.end) for piece in pieces], dtype=np.int64).reshape(-1, 2)
        whole = np.hypot(*(self.nodes[pairs[:, 1]] - self.nodes[pairs[:, 0]]).T) > 1e-6
        pairs = pairs[whole]
        return len(crossing_pairs(self.nodes[pairs[:, 0]], self.nodes[pairs[:, 1]], pairs, touching=False)) > 0


def _heading(start: Array, end: Array) -> Array:
    """Return the direction from one place to another."""
    step: Array = (end - start) / max(float(np.hypot(*(end - start))), 1e-9)
    return step


def _meeting(origin: Array, way: Array, other: Array, step: Array) -> Array | None:
    """Return where two lines meet, None where they are nearly parallel."""
    across = float(way[0] * step[1] - way[1] * step[0])
    if abs(across) < 0.17 * float(np.hypot(*way) * np.hypot(*step)):
        return None
    to = other - origin
    met: Array = origin + way * float(to[0] * step[1] - to[1] * step[0]) / across
    return met
