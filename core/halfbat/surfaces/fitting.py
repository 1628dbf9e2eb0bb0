"""Whole-number fitting: bring every row of a wall to one total, in unbroken bond or with a broken place in mid wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import ceil, floor, lcm

from halfbat.surfaces.broken_bond import Break, RowPlan, best_break
from halfbat.surfaces.pieces import Kind, Modules

#: Totals tried when the bond must be broken: the nearest few, as each costs a search.
_TOTALS_TRIED = 3


@dataclass(frozen=True, slots=True)
class FittedRow:
    """One row brought to the total of its wall.

    Parameters
    ----------
    kinds : tuple of Kind
        Pieces from left to right.
    perpends : tuple of float
        Where each piece begins and the last one ends, in natural units from the left end, one more than the pieces.
    """

    kinds: tuple[Kind, ...]
    perpends: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Fit:
    """All rows of a wall, with one total.

    Parameters
    ----------
    rows : tuple of FittedRow
        In the order of the plans.
    total : float
        Natural length of every row, units.
    broken : bool
        True where the bond had to be broken in mid wall.
    cut : bool
        True where a bat is cut to an odd length, because the wall is too short to share the rest out over its joints.
    """

    rows: tuple[FittedRow, ...]
    total: float
    broken: bool
    cut: bool


def unbroken_total(plans: Sequence[RowPlan], length: float, stretch: float, modules: Modules) -> int | None:
    """Find the total nearest to a length at which every row is whole in unbroken bond.

    Parameters
    ----------
    plans : sequence of RowPlan
        Rows of the wall.
    length : float
        Length to fill, units.
    stretch : float
        Largest stretch or squeeze of the row, as a part of one.
    modules : Modules
        Lengths of the pieces.

    Returns
    -------
    int or None
        None if there is none within the stretch.
    """
    for total in _totals(length, stretch):
        if all(_repeats(plan, total, modules) is not None for plan in plans):
            return total
    return None


def nearest_unbroken(plans: Sequence[RowPlan], length: float, modules: Modules) -> int | None:
    """Return the total nearest to a length at which every row is whole, however far; None if there is none."""
    reach = 2 * lcm(*(modules.total(plan.period) for plan in plans))
    ends = max(modules.total(plan.left + plan.core + plan.right) for plan in plans)
    totals = range(max(1, floor(length) - reach), ceil(length) + reach + ends)
    whole = [total for total in totals if all(_repeats(plan, total, modules) is not None for plan in plans)]
    return min(whole, key=lambda total: (abs(total - length), total), default=None)


def fit_rows(plans: Sequence[RowPlan], order: Sequence[int], length: float, stretch: float, modules: Modules) -> Fit:
    """Bring the rows of a wall to one total length near the wall's.

    Parameters
    ----------
    plans : sequence of RowPlan
        The different rows of the wall.
    order : sequence of int
        Which row each course of one cycle is, bottom first; the cycle repeats.
    length : float
        Length to fill, units.
    stretch : float
        Largest stretch or squeeze of the row, as a part of one: all perpends move by it together.
    modules : Modules
        Lengths of the pieces.

    Returns
    -------
    Fit
    """
    total = unbroken_total(plans, length, stretch, modules)
    if total is not None:
        rows = tuple(_whole_row(plan, total, modules) for plan in plans)
        return Fit(rows, total, broken=False, cut=False)
    options: list[tuple[float, int, float, Break]] = []
    for whole in _totals(length, stretch)[:_TOTALS_TRIED]:
        found = best_break(plans, order, whole, modules, cut=False)
        if found is not None:
            options.append((found.cost + abs(length / whole - 1) / max(stretch, 1e-12), len(options), whole, found))
    if not options or min(options)[3].short_laps:
        found = best_break(plans, order, length, modules, cut=True)
        if found is not None:
            options.append((found.cost, len(options), length, found))
    if not options:
        # Nothing but one cut piece has room.
        single = FittedRow((Kind.CUT_BAT,), (0.0, length))
        return Fit((single,) * len(plans), length, broken=True, cut=True)
    _, _, chosen, best = min(options, key=lambda option: option[:2])
    rows = tuple(FittedRow(row.kinds, row.perpends) for row in best.rows)
    return Fit(rows, chosen, broken=True, cut=chosen == length and chosen != round(length))


def _totals(length: float, stretch: float) -> list[int]:
    """Whole totals within the stretch of a length, nearest first."""
    slack = 1e-9 * max(1.0, length)
    low = ceil((length - slack) / (1 + stretch))
    high = floor((length + slack) / max(1 - stretch, 1e-9))
    return sorted(range(max(low, 1), high + 1), key=lambda total: (abs(length / total - 1), total))


def _repeats(plan: RowPlan, total: int, modules: Modules) -> int | None:
    """How many periods bring a row to the total; None if no whole number does."""
    rest = total - modules.total(plan.left + plan.core + plan.right)
    repeats, over = divmod(rest, modules.total(plan.period))
    return repeats if rest >= 0 and over == 0 else None


def _whole_row(plan: RowPlan, total: int, modules: Modules) -> FittedRow:
    repeats = _repeats(plan, total, modules) or 0
    kinds = plan.left + plan.core + plan.period * repeats + plan.right[::-1]
    return FittedRow(kinds, tuple(accumulate((modules.units(kind) for kind in kinds), initial=0.0)))


__all__ = ["Fit", "FittedRow", "RowPlan", "fit_rows", "nearest_unbroken", "unbroken_total"]
