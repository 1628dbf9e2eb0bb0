"""One bond phase round the whole building: which wall shows stretchers at which quoin, in which course."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Protocol

from halfbat.errors import KitError
from halfbat.surfaces.bonds import Bond
from halfbat.surfaces.formats import BrickFormat
from halfbat.surfaces.laying import PERPEND_LIMIT_M, End, fits_unbroken
from halfbat.units import Scale

#: What a wall of broken bond, and one that is not its own mirror image, cost against perpends opened to the limit.
_BROKEN, _UNEVEN = 10.0, 0.5


class WallInLoop(Protocol):
    """What must be known of a wall: its length, metres, and the interior angle at its end corner, degrees."""

    @property
    def length_m(self) -> float:
        """Length of the face, full size."""

    @property
    def corner_deg(self) -> float:
        """Interior angle at the end: more than 180 at an inner corner."""


@dataclass(frozen=True, slots=True)
class WallBond:
    """How the bond meets the two ends of a wall.

    Parameters
    ----------
    start_phase, end_phase : {0, 1}
        0 where this wall shows a stretcher face at that quoin in course 0, 1 where it shows a header face.
    ends : tuple of End
        What stands at the start and the end.
    """

    start_phase: int
    end_phase: int
    ends: tuple[End, End]


@dataclass(frozen=True, slots=True)
class BondedStretch:
    """A stretch of wall between two corners, before it is settled which phase the bond has at them.

    Parameters
    ----------
    left, right : int
        Numbers of the corners. All walls that end or start at one upright line in plan share its number.
    length_mm : float
        Model size.
    ends : tuple of End
        What stands at the two corners.
    weight : float
        What broken bond in it counts, against 1 for a wall as high as the building.
    """

    left: int
    right: int
    length_mm: float
    ends: tuple[End, End]
    weight: float = 1.0


def settled_phases(
    stretches: Sequence[BondedStretch],
    fixed: Mapping[int, int],
    bond: Bond,
    brick: BrickFormat,
    scale: Scale,
    *,
    perpend_limit_m: float = PERPEND_LIMIT_M,
) -> dict[int, int]:
    """Decide the phase at every corner, for the least broken bond in all stretches together.

    Parameters
    ----------
    stretches : sequence of BondedStretch
        Of all walls.
    fixed : mapping of int to {0, 1}
        Corners that are decided already.
    bond, brick, scale, perpend_limit_m
        As for `halfbat.surfaces.lay_wall`.

    Returns
    -------
    dict of int to {0, 1}
        By corner: what the wall that starts there shows in course 0. The wall that ends there shows the other face,
        so that every quoin brick is a stretcher on one wall and a header on the other.
    """
    costs = [
        _Costs(
            (stretch.left, stretch.right),
            {
                (start, following): stretch.weight
                * _cost(stretch, (start, 1 - following), bond, brick, scale, perpend_limit_m)
                for start, following in product((0, 1), repeat=2)
            },
        )
        for stretch in stretches
    ]
    costs += [_Costs((corner,), {(phase,): 0.0, (1 - phase,): float("inf")}) for corner, phase in fixed.items()]
    return _cheapest(costs)


def phases_round(
    walls: Sequence[WallInLoop],
    bond: Bond,
    brick: BrickFormat,
    scale: Scale,
    *,
    perpend_limit_m: float = PERPEND_LIMIT_M,
    first_quoin: int = 0,
) -> tuple[WallBond, ...]:
    """Take the bond once round a loop of walls.

    At every corner the two walls show opposite faces of the quoin brick, whatever its angle. A wall may show the same
    face at both its ends, and is then its own mirror image, or opposite faces, and is then half a brick longer: all
    walls are decided together for the least broken bond, so any number of corners closes.

    Parameters
    ----------
    walls : sequence of WallInLoop
        One closed counter-clockwise loop.
    bond, brick, scale
        What is laid, and how small.
    perpend_limit_m : float
        Most a perpend may be opened or tightened, full size, metres.
    first_quoin : int
        The corner, counted from 0 at the start of wall A, where the wall that starts there shows a stretcher face in
        course 0.

    Returns
    -------
    tuple of WallBond
        One for each wall.

    Raises
    ------
    KitError
        If there is no such corner.
    """
    count = len(walls)
    check_quoin(first_quoin, count)
    ends = [(end_at(walls[index - 1].corner_deg), end_at(walls[index].corner_deg)) for index in range(count)]
    stretches = [
        BondedStretch(index, (index + 1) % count, scale.to_mm(walls[index].length_m), ends[index])
        for index in range(count)
    ]
    found = settled_phases(stretches, {first_quoin: 0}, bond, brick, scale, perpend_limit_m=perpend_limit_m)
    return tuple(WallBond(found[index], 1 - found[(index + 1) % count], ends[index]) for index in range(count))


def check_quoin(first_quoin: int, count: int) -> None:
    """Refuse a first quoin that a ring of so many corners does not have."""
    if not 0 <= first_quoin < count:
        raise KitError(
            f"there is no corner {first_quoin} on a building of {count} corners",
            "brick.first_quoin",
            f"give a number from 0 to {count - 1}",
        )


def end_at(corner_deg: float) -> End:
    """Return what stands at a corner of an interior angle."""
    return End.RETURN if corner_deg > 180 else End.QUOIN


def _cost(
    stretch: BondedStretch,
    phases: tuple[int, int],
    bond: Bond,
    brick: BrickFormat,
    scale: Scale,
    limit_m: float,
) -> float:
    change_m = fits_unbroken(stretch.length_mm, bond, brick, scale, phases, perpend_limit_m=limit_m, ends=stretch.ends)
    own = _BROKEN if change_m is None else abs(change_m) / max(limit_m, 1e-12)
    return round(own + (_UNEVEN if phases[0] != phases[1] else 0.0), 6)


@dataclass(frozen=True, slots=True)
class _Costs:
    """What each choice of phases at some corners costs."""

    corners: tuple[int, ...]
    table: dict[tuple[int, ...], float]

    def of(self, chosen: Mapping[int, int]) -> float:
        return self.table[tuple(chosen[corner] for corner in self.corners)]


def _cheapest(costs: list[_Costs]) -> dict[int, int]:
    """Choose all phases for the least sum of costs, exactly: corners are taken out one by one, and put in again.

    A corner taken out leaves a table over its neighbours. On walls in rings and chains these tables are of two corners.
    """
    taken: list[tuple[int, list[_Costs]]] = []
    left = list(costs)
    corners = sorted({corner for one in costs for corner in one.corners})
    while corners:
        around = {corner: _others(corner, left) for corner in corners}
        # The last first where it does not matter, so that ties go to a stretcher at the earliest corners.
        corner = min(corners, key=lambda one: (len(around[one]), -one))
        own = [one for one in left if corner in one.corners]
        rest = around[corner]
        table = {
            choice: min(_sum(own, {**dict(zip(rest, choice, strict=True)), corner: phase}) for phase in (0, 1))
            for choice in product((0, 1), repeat=len(rest))
        }
        left = [one for one in left if corner not in one.corners] + [_Costs(rest, table)]
        taken.append((corner, own))
        corners.remove(corner)
    chosen: dict[int, int] = {}
    for corner, own in reversed(taken):
        chosen[corner] = min((0, 1), key=lambda phase: (_sum(own, {**chosen, corner: phase}), phase))
    return chosen


def _others(corner: int, costs: Sequence[_Costs]) -> tuple[int, ...]:
    return tuple(sorted({other for one in costs if corner in one.corners for other in one.corners} - {corner}))


def _sum(costs: Sequence[_Costs], chosen: Mapping[int, int]) -> float:
    return round(sum(one.of(chosen) for one in costs), 6)
