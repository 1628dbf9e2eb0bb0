"""Voussoirs: how many go into an arch, and how deep ones are made up of bricks."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, floor

from halfbat.findings import Finding, Place, Severity
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_specs import OpeningSpec

#: Gauged joints, full size (bricklaying glossary). As printed they are as wide as all others.
GAUGED_JOINT_M = 0.003
#: A brick may stand in for a voussoir this much deeper than it is long: common practice, no source.
_OVER_LENGTH = 1.06
_FEWEST = 3


def gauged_count(outer_mm: float, inner_mm: float, masonry: Masonry, step: int = 2, first: int = 1) -> int:
    """Return how many cut voussoirs go into an arch.

    Each is cut from a brick, so none is thicker than a brick at its outer end. Where the inner ends would be too thin
    to print, there are fewer and thicker ones.

    Parameters
    ----------
    outer_mm, inner_mm : float
        Length of the extrados, and of the intrados between the joints at its ends, square to the joints; model
        millimetres.
    masonry : Masonry
        The wall.
    step, first : int
        Counts allowed: `first` and every `step` more. Odd ones by default, so that a key stands in the middle
        (bricklaying glossary).

    Returns
    -------
    int
    """
    pitch = masonry.mm(masonry.brick.height_m + GAUGED_JOINT_M)
    wanted = first + step * ceil((outer_mm / pitch - first) / step - 1e-9)
    most = first + step * floor((inner_mm / (masonry.joint_mm + masonry.least_mm) - first) / step + 1e-9)
    return max(first if first >= _FEWEST else first + step, min(wanted, most))


def header_count(inner_mm: float, masonry: Masonry, *, closed: bool = False) -> int:
    """Return how many whole headers go into one ring of a rough arch, side by side at its intrados.

    Parameters
    ----------
    inner_mm : float
        Length of the intrados, model millimetres.
    masonry : Masonry
        The wall.
    closed : bool
        True for a whole circle, which has as many joints as bricks.
    """
    brick = masonry.brick
    pitch = masonry.mm(brick.height_m + brick.joint_m)
    free = inner_mm if closed else inner_mm - masonry.mm(brick.joint_m)
    room = inner_mm if closed else inner_mm - masonry.joint_mm
    most = floor(room / (masonry.joint_mm + masonry.least_mm) + 1e-9)
    return max(_FEWEST, min(round(free / pitch), most))


def fewer_finding(count: int, outer_mm: float, masonry: Masonry, spec: OpeningSpec) -> tuple[Finding, ...]:
    """Tell that an arch has voussoirs thicker than a brick, because thinner ones would not print."""
    pitch_mm = outer_mm / count / masonry.scale.mm_per_m * 1000
    brick_mm = masonry.brick.height_m * 1000
    if pitch_mm <= brick_mm * 1.15 + GAUGED_JOINT_M * 1000:
        return ()
    text = f"{count} voussoirs {pitch_mm:.0f} mm thick instead of {brick_mm:.0f} mm, so that their inner ends print"
    remedy = "choose a larger scale or a shallower arch"
    place = Place.on_wall(spec.where, spec.left_mm, spec.top_mm - spec.rise_mm, spec.right_mm, spec.top_mm)
    return (Finding(Severity.NOTE, "voussoirs-thick", spec.where, text, remedy, place),)


def made_up(depth_mm: float, masonry: Masonry, turn: int) -> list[tuple[float, float]]:
    """Divide a voussoir into bricks, none longer than a brick, with cross joints that break from one to the next.

    Parameters
    ----------
    depth_mm : float
        From intrados to extrados, model millimetres.
    masonry : Masonry
        The wall.
    turn : int
        Even ones begin with the short brick, odd ones with a whole one; a voussoir and its mirror image share a turn.

    Returns
    -------
    list of tuple of float
        Where each brick begins and ends, from the intrados.
    """
    whole, joint = masonry.mm(masonry.brick.length_m), masonry.joint_mm
    if depth_mm <= whole * _OVER_LENGTH:
        return [(0.0, depth_mm)]
    module = masonry.mm(masonry.brick.stretcher_module_m)
    count = ceil((depth_mm + joint) / module - 0.02)
    rest = depth_mm + joint - (count - 1) * module
    # A brick under a quarter is not cut: its neighbour gives up what it lacks.
    lacking = max(0.0, max(module / 4, joint + 2 * masonry.least_mm) - rest)
    rest += lacking
    sizes = [*[module] * (count - 2), module - lacking, rest]
    if rest > module - 3 * joint:
        # Whole bricks only: every other voussoir has half a brick at both ends.
        if turn % 2 == 0:
            sizes = [rest / 2, *[module] * (count - 1), rest / 2]
    elif turn % 2 == 0:
        sizes.reverse()
    cuts = [0.0]
    for size in sizes:
        cuts.append(cuts[-1] + size)
    return [(low, high - joint) for low, high in pairwise(cuts)]
