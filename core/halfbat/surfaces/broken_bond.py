"""Broken bond: where whole bricks do not fill a wall, the fewest odd pieces stand in its middle, one over the other."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise, permutations, product

from halfbat.surfaces.pieces import Kind, Modules

Pieces = tuple[Kind, ...]
_Filler = tuple[tuple[Kind, float], ...]
#: Odd pieces in one row, at most.
_MOST_FILLERS = 3
#: Ways to break a row that are weighed against those of its neighbours.
_KEPT = 40
#: Ways of the first row that the search starts from.
_SEEDS = 6
#: What a lap short by one whole quarter brick weighs, against an odd piece's 1.
_SHORT_LAP = 6.0
#: Laps are looked at this many bricks either side of the middle; further out the bond is regular.
_BRICKS_ABOUT = 6
_CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class RowPlan:
    """What a row of a wall is made of.

    Parameters
    ----------
    left, right : tuple of Kind
        Pieces at the two ends, each from its end inwards.
    core : tuple of Kind
        Pieces once, after the left ones.
    period : tuple of Kind
        Pieces that repeat.
    bat : Kind
        What a piece of half a stretcher in mid wall is called: a header, or in a half-brick wall a half bat.
    """

    left: Pieces
    core: Pieces
    period: Pieces
    right: Pieces
    bat: Kind


@dataclass(frozen=True, slots=True)
class BrokenRow:
    """A row with odd pieces in mid wall: kinds, perpends with both ends (units), and what it costs to lay."""

    kinds: tuple[Kind, ...]
    perpends: tuple[float, ...]
    cost: float


@dataclass(frozen=True, slots=True)
class Break:
    """The best way found to break all rows; `short_laps` is by how many units laps fall short in all."""

    rows: tuple[BrokenRow, ...]
    cost: float
    short_laps: float


def best_break(
    plans: Sequence[RowPlan], order: Sequence[int], total: float, modules: Modules, *, cut: bool
) -> Break | None:
    """Break the bond of all rows of a wall so that few odd pieces are needed and laps hold.

    Parameters
    ----------
    plans : sequence of RowPlan
        The different rows.
    order : sequence of int
        Row of each course of one cycle, bottom first.
    total : float
        Length of every row, units; whole unless `cut`.
    modules : Modules
        Lengths of the pieces.
    cut : bool
        True to cut one bat of each row to an odd length, between half a stretcher and a whole one.

    Returns
    -------
    Break or None
        None if some row cannot be filled.
    """
    choices = [_ways(plan, total, modules, cut) for plan in plans]
    if not all(choices):
        return None
    pairs = sorted({tuple(sorted(pair)) for pair in zip(order, [*order[1:], order[0]], strict=True)})
    search = _Search(choices, [(a, b) for a, b in pairs if a != b], total, modules)
    picks = min((search.settle(seed) for seed in range(min(_SEEDS, len(choices[0])))), key=search.weigh)
    if search.shortfall(picks) > _CLOSE:
        picks = search.settle_pairs(picks)
    rows = tuple(ways[pick] for ways, pick in zip(choices, picks, strict=True))
    return Break(rows, search.weigh(picks), search.shortfall(picks))


class _Search:
    """Picks one way for each row: starts from each good way of the first and improves row by row."""

    def __init__(
        self, choices: list[list[BrokenRow]], pairs: list[tuple[int, int]], total: float, modules: Modules
    ) -> None:
        self._choices = choices
        self._pairs = pairs
        self._lap = modules.ratio / 2
        about = _BRICKS_ABOUT * 2 * modules.ratio
        self._near = [
            [[p for p in way.perpends[1:-1] if abs(p - total / 2) <= about] for way in ways] for ways in choices
        ]
        self._short: dict[tuple[int, int, int, int], float] = {}

    def shortfall(self, picks: list[int]) -> float:
        """By how many units laps fall short, over all pairs of neighbours."""
        return sum(self._between(a, picks[a], b, picks[b]) for a, b in self._pairs)

    def weigh(self, picks: list[int]) -> float:
        """Cost of a choice: odd pieces and short laps."""
        own = sum(ways[pick].cost for ways, pick in zip(self._choices, picks, strict=True))
        return own / len(picks) + _SHORT_LAP * self.shortfall(picks)

    def settle(self, seed: int) -> list[int]:
        """Start from one way of the first row and improve until nothing gets better."""
        picks = [seed] + [0] * (len(self._choices) - 1)
        for sweep in range(4):
            before = list(picks)
            for row in range(1 if sweep == 0 else 0, len(picks)):
                trials = [[*picks[:row], way, *picks[row + 1 :]] for way in range(len(self._choices[row]))]
                picks = min(trials, key=self.weigh)
            if sweep > 0 and picks == before:
                break
        return picks

    def settle_pairs(self, picks: list[int]) -> list[int]:
        """Improve neighbours two at a time, where changing one alone makes things worse."""
        for a, b in self._pairs:
            for way_a, way_b in product(range(len(self._choices[a])), range(len(self._choices[b]))):
                trial = list(picks)
                trial[a], trial[b] = way_a, way_b
                if self.weigh(trial) < self.weigh(picks) - _CLOSE:
                    picks = trial
        return picks

    def _between(self, a: int, way_a: int, b: int, way_b: int) -> float:
        key = (a, way_a, b, way_b)
        if key not in self._short:
            self._short[key] = _lap_shortfall(self._near[a][way_a], self._near[b][way_b], self._lap)
        return self._short[key]


def _lap_shortfall(lower: list[float], upper: list[float], lap: float) -> float:
    """Sum of what each perpend lacks of a full lap with the nearest perpend of the next course."""
    short = 0.0
    for perpend in lower:
        place = bisect_left(upper, perpend)
        gap = min((abs(other - perpend) for other in upper[max(place - 1, 0) : place + 1]), default=lap)
        short += max(0.0, lap - gap - _CLOSE)
    return short


def _ways(plan: RowPlan, total: float, modules: Modules, cut: bool) -> list[BrokenRow]:
    """Return ways to fill a row, the cheapest first."""
    stretcher = 2 * modules.ratio
    lefts = _runs(plan.left, plan.core + plan.period * 2, plan.period, total, modules)
    rights = _runs(plan.right, (), plan.period[::-1], total, modules)
    fillers: dict[float, list[_Filler]] = {}
    drafts: list[tuple[float, int, Pieces, _Filler, Pieces]] = []
    for (left, left_width), (right, right_width) in product(lefts, rights):
        gap = total - left_width - right_width
        if gap < -_CLOSE or gap > _MOST_FILLERS * stretcher:
            continue
        if gap not in fillers:
            fillers[gap] = list(_fillers(gap, plan, modules, cut))
        uneven = 0.1 * abs(left_width - right_width) / stretcher
        for filler in fillers[gap]:
            cost = uneven + sum(_odd(kind) for kind, _ in filler) + _end_faults(plan, left, right, filler)
            drafts.append((cost, len(drafts), left, filler, right))
    ways: dict[Pieces, BrokenRow] = {}
    for cost, _, left, filler, right in sorted(drafts, key=lambda draft: draft[:2]):
        kinds = (*left, *(kind for kind, _ in filler), *right[::-1])
        if kinds and kinds not in ways and len(ways) < _KEPT:
            middle = accumulate((width for _, width in filler), initial=float(modules.total(left)))
            perpends = (*_perpends(left, modules), *middle, *(total - p for p in reversed(_perpends(right, modules))))
            ways[kinds] = BrokenRow(kinds, perpends, cost)
    return list(ways.values())


def _perpends(run: Pieces, modules: Modules) -> list[float]:
    """Return where the pieces of a run begin, from its end of the wall."""
    return list(accumulate((float(modules.units(kind)) for kind in run), initial=0.0))[:-1]


def _runs(start: Pieces, then: Pieces, period: Pieces, total: float, modules: Modules) -> list[tuple[Pieces, float]]:
    """Return runs of regular bond from one end that stop about the middle, with their lengths.

    On short walls these are all that fit, from no piece upwards.
    """
    stretcher = 2 * modules.ratio
    pieces = start + then
    while modules.total(pieces) < total / 2 + stretcher:
        pieces += period
    ends = accumulate((modules.units(kind) for kind in pieces), initial=0)
    low = total / 2 - 2.5 * stretcher
    return [(pieces[:count], end) for count, end in enumerate(ends) if low <= end <= total + _CLOSE]


def _fillers(gap: float, plan: RowPlan, modules: Modules, cut: bool) -> Iterator[_Filler]:
    """Yield ways to fill a gap with few pieces of half a stretcher to a whole one."""
    half, whole = modules.ratio, 2 * modules.ratio
    # Where bricks stand on edge a header face is less than half a stretcher, and still a whole brick.
    lengths = sorted({*range(half, whole + 1)} | ({modules.units(Kind.HEADER)} if plan.bat is Kind.HEADER else set()))
    if not cut:
        if abs(gap) < _CLOSE:
            yield ()
        for count in range(1, _MOST_FILLERS + 1):
            for widths in product(lengths, repeat=count):
                if sum(widths) == gap:
                    yield tuple((_named(width, plan, modules), width) for width in widths)
        return
    for count in range(_MOST_FILLERS):
        for widths in product((half, whole), repeat=count):
            bat = gap - sum(widths)
            if half <= bat <= whole:
                pieces = [(_named(width, plan, modules), float(width)) for width in widths]
                yield from sorted(set(permutations([*pieces, (Kind.CUT_BAT, bat)])))


def _named(width: int, plan: RowPlan, modules: Modules) -> Kind:
    """Name of a piece in mid wall by its length."""
    if width == 2 * modules.ratio:
        return Kind.STRETCHER
    if width == 2 and plan.bat is Kind.HEADER:
        return Kind.HEADER
    if width == modules.ratio:
        return Kind.HALF_BAT
    return Kind.THREE_QUARTER_BAT if 4 * width == 6 * modules.ratio else Kind.CUT_BAT


def _odd(kind: Kind) -> float:
    """Weigh an odd piece: whole bricks and half bats least, a cut one most."""
    return {Kind.THREE_QUARTER_BAT: 1.5, Kind.CUT_BAT: 2.0}.get(kind, 1.0)


def _end_faults(plan: RowPlan, left: Pieces, right: Pieces, filler: _Filler) -> float:
    """Weigh ends of a short wall that are not as the bond wants them; the left one a little more, to have a rule."""
    middle = tuple(kind for kind, _ in filler)
    faults = 0.0
    outer_left = left[:1] or middle[:1] or right[-1:]
    outer_right = right[:1] or middle[-1:] or left[-1:]
    for run, start, outer, wrong in ((left, plan.left, outer_left, 2.1), (right, plan.right, outer_right, 2.0)):
        if outer != (start or plan.core or plan.period)[:1]:
            faults += wrong
        elif run[: len(start)] != start:
            faults += 1.0
    # Two closers side by side would stand in for a header.
    twice = any(a == b == Kind.QUEEN_CLOSER for a, b in pairwise(left[-1:] + middle + right[-1:]))
    return faults + (4.0 if twice else 0.0)
