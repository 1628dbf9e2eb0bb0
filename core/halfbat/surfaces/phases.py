"""One bond phase round the whole building: which wall shows stretchers at which quoin, in which course."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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
    if not 0 <= first_quoin < count:
        raise KitError(
            f"there is no corner {first_quoin} on a building of {count} corners",
            "brick.first_quoin",
            f"give a number from 0 to {count - 1}",
        )
    order = [(first_quoin + step) % count for step in range(count)]
    ends = [(_end(walls[index - 1]), _end(walls[index])) for index in range(count)]
    # Cheapest way to each phase at the start of the next wall, with the start phases that led there.
    ways: dict[int, tuple[float, tuple[int, ...]]] = {0: (0.0, (0,))}
    for index in order:
        ways = _one_further(ways, walls[index], ends[index], bond, brick, scale, perpend_limit_m)
    starts = ways[0][1]
    found: dict[int, WallBond] = {}
    for step, index in enumerate(order):
        found[index] = WallBond(starts[step], 1 - starts[step + 1], ends[index])
    return tuple(found[index] for index in range(count))


def _end(wall: WallInLoop) -> End:
    """Return what stands at the end corner of a wall."""
    return End.RETURN if wall.corner_deg > 180 else End.QUOIN


def _one_further(
    ways: dict[int, tuple[float, tuple[int, ...]]],
    wall: WallInLoop,
    ends: tuple[End, End],
    bond: Bond,
    brick: BrickFormat,
    scale: Scale,
    perpend_limit_m: float,
) -> dict[int, tuple[float, tuple[int, ...]]]:
    """Extend the cheapest ways round the building by one wall."""
    further: dict[int, tuple[float, tuple[int, ...]]] = {}
    for following in (0, 1):
        options = []
        for start, (cost, path) in ways.items():
            end = 1 - following
            change_m = fits_unbroken(
                scale.to_mm(wall.length_m),
                bond,
                brick,
                scale,
                (start, end),
                perpend_limit_m=perpend_limit_m,
                ends=ends,
            )
            own = _BROKEN if change_m is None else abs(change_m) / max(perpend_limit_m, 1e-12)
            options.append((round(cost + own + (_UNEVEN if start != end else 0.0), 6), (*path, following)))
        further[following] = min(options)
    return further
