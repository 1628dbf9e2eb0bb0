"""Which covers stand on a wall and where: over its seams, and where the maker asks for more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.parts.covers import SADDLE_BEYOND_MM
from halfbat.parts.cuts import Cut, SeamStyle
from halfbat.parts.downpipes import pipe_form
from halfbat.settings import Settings
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.surfaces.openings import OpeningUnits
from halfbat.units import Scale, format_length

COVERING = (SeamStyle.CABLE_RUN, SeamStyle.DOWNPIPE)
"""Styles of seams that lie under a cover."""
LEAST_TOLD_MM = 0.1
CLEAR_MM = 0.2
"""Left between two covers, and between a cover and an opening or corner."""


@dataclass(frozen=True, slots=True)
class CoverPlace:
    """A cover of a wall.

    Parameters
    ----------
    position_mm : float
        Its middle from the wall's left end seen from outside.
    style : SeamStyle
        Cable run or downpipe.
    over_seam : bool
        Whether a seam lies under it.
    """

    position_mm: float
    style: SeamStyle
    over_seam: bool


@dataclass(frozen=True, slots=True)
class CoverSize:
    """How large covers of one style are.

    Parameters
    ----------
    half_mm : float
        From the middle to the end of saddles, ears, kerb or hopper head.
    out_mm : float
        How far it stands out of the wall.
    top_out_mm : float
        How far its top does, a swan neck aside.
    """

    half_mm: float
    out_mm: float
    top_out_mm: float


def cover_size(style: SeamStyle, settings: Settings, scale: Scale) -> CoverSize:
    """Size covers of a style; nothing for seams without one."""
    if style is SeamStyle.CABLE_RUN:
        out = settings.seam.cover_height_mm
        return CoverSize(settings.seam.cover_width_mm / 2 + SADDLE_BEYOND_MM, out, out)
    if style is SeamStyle.DOWNPIPE:
        form = pipe_form(settings, scale)
        top = max(form.out_mm, form.hopper_mm[2]) + form.socket_out_mm
        return CoverSize(form.half_mm, max(top, form.kerb_mm[2]), top)
    return CoverSize(0.0, 0.0, 0.0)


def widest_cover(settings: Settings, scale: Scale) -> CoverSize:
    """Size the largest cover that the seams of a kit may have; a seam that cannot be toothed gets a cable run."""
    styles = {SeamStyle.CABLE_RUN, SeamStyle(settings.seam.hide)}
    styles |= {SeamStyle(seam.hide) for seam in settings.seams if seam.hide}
    sizes = [cover_size(style, settings, scale) for style in styles]
    half, out = max(size.half_mm for size in sizes), max(size.out_mm for size in sizes)
    return CoverSize(half, out, max(size.top_out_mm for size in sizes))


def asked_covers(letter: str, settings: Settings, scale: Scale) -> Iterator[CoverPlace]:
    """Yield the covers that the maker asks for on a wall."""
    for style, asked in ((SeamStyle.DOWNPIPE, settings.downpipes), (SeamStyle.CABLE_RUN, settings.cable_runs)):
        for request in asked:
            if request.wall == letter:
                at = scale.to_mm(length_in_bricks_m(request.at, settings.brick))
                yield CoverPlace(at, style, over_seam=False)


def kept_for_covers(letter: str, settings: Settings, scale: Scale) -> list[tuple[float, float]]:
    """Stretches of a wall that no seam may touch, since its cover would meet one that the maker asks for."""
    seam = widest_cover(settings, scale).half_mm
    stretches = []
    for cover in asked_covers(letter, settings, scale):
        reach = cover_size(cover.style, settings, scale).half_mm + seam + CLEAR_MM
        stretches.append((cover.position_mm - reach, cover.position_mm + reach))
    return stretches


def cover_places(
    letter: str,
    length_mm: float,
    cuts: Sequence[Cut],
    openings: Sequence[OpeningUnits],
    settings: Settings,
    scale: Scale,
) -> tuple[CoverPlace, ...]:
    """Settle the covers of a wall, from left to right.

    Parameters
    ----------
    letter : str
        Of the wall.
    length_mm : float
        Of the wall.
    cuts : sequence of Cut
        Its seams.
    openings : sequence of OpeningUnits
        Its doors and windows.
    settings, scale
        Of the kit.

    Raises
    ------
    KitError
        A cover asked for is off the wall, over an opening, or meets another one.
    """
    places = [CoverPlace(cut.position_mm, cut.style, over_seam=True) for cut in cuts if cut.style in COVERING]
    for place in asked_covers(letter, settings, scale):
        _require_room(place, letter, length_mm, openings, settings, scale)
        places.append(place)
    places.sort(key=lambda place: place.position_mm)
    for left, right in pairwise(places):
        apart = sum(cover_size(place.style, settings, scale).half_mm for place in (left, right))
        if right.position_mm - left.position_mm < apart and not (left.over_seam and right.over_seam):
            one, other, least = (_full(mm, scale) for mm in (left.position_mm, right.position_mm, apart))
            raise KitError(
                f"the {left.style} at {one} and the {right.style} at {other} meet",
                f"wall {letter}",
                f"place them at least {least} apart at this scale, or leave one out",
            )
    return tuple(places)


def told_of_covers(places: Sequence[CoverPlace], settings: Settings, scale: Scale) -> tuple[Finding, ...]:
    """Tell where downpipes are made wider than they are."""
    if not any(place.style is SeamStyle.DOWNPIPE for place in places):
        return ()
    true, made = scale.to_mm(settings.downpipe.size_mm / 1000), pipe_form(settings, scale).width_mm
    if made - true < LEAST_TOLD_MM:
        return ()
    text = (
        f"downpipes {settings.downpipe.size_mm:g} mm wide are {true:.2f} mm at {scale.name} and are made "
        f"{made:.2f} mm, so that they hide a seam and hold"
    )
    return (Finding(Severity.NOTE, "downpipe-wide", "downpipe.size_mm", text),)


def _require_room(
    place: CoverPlace,
    letter: str,
    length_mm: float,
    openings: Sequence[OpeningUnits],
    settings: Settings,
    scale: Scale,
) -> None:
    half, at, where = cover_size(place.style, settings, scale).half_mm, place.position_mm, f"wall {letter}"
    if not half <= at <= length_mm - half:
        raise KitError(
            f"the {place.style} at {_full(at, scale)} is off the wall, which is {_full(length_mm, scale)} long",
            where,
            f"place its middle from {_full(half, scale)} to {_full(length_mm - half, scale)} along the wall",
        )
    for opening in openings:
        low, high = float(opening.reach[0]) - half, float(opening.reach[2]) + half
        if low < at < high:
            raise KitError(
                f"the {place.style} at {_full(at, scale)} runs over an opening",
                where,
                f"place its middle under {_full(max(low, 0.0), scale)} or over {_full(high, scale)} along the wall",
            )


def _full(length_mm: float, scale: Scale) -> str:
    """Write a length of the model at full size."""
    return format_length(round(length_mm / scale.mm_per_m, 2))
