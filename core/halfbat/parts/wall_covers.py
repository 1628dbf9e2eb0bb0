"""Which covers stand on a wall and where: over its seams, and where the maker asks for more."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.parts.bent_line import BentLine, Point, apart_mm, from_box_mm
from halfbat.parts.bent_paths import bent_line, path_on_wall
from halfbat.parts.covers import SADDLE_BEYOND_MM
from halfbat.parts.cuts import COVERING, Cut, SeamStyle
from halfbat.parts.downpipes import pipe_form
from halfbat.settings import Settings
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.surfaces.openings import OpeningUnits
from halfbat.units import Scale, format_length

LEAST_TOLD_MM = 0.1
_ROUNDING_MM = 1e-6
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
    line : BentLine, optional
        Its middle where it bends; then its position is that of the start of this.
    """

    position_mm: float
    style: SeamStyle
    over_seam: bool
    line: BentLine | None = None

    @property
    def low_mm(self) -> float:
        """Leftmost position of its middle."""
        return self.line.bounds[0] if self.line else self.position_mm

    @property
    def high_mm(self) -> float:
        """Rightmost position of its middle."""
        return self.line.bounds[2] if self.line else self.position_mm

    def corners(self, height_mm: float) -> tuple[Point, ...]:
        """Points of its middle on a wall of a height."""
        return self.line.points if self.line else ((self.position_mm, 0.0), (self.position_mm, height_mm))


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


def asked_covers(
    letter: str, settings: Settings, scale: Scale, top_mm: Callable[[float], float]
) -> Iterator[CoverPlace]:
    """Yield the covers that the maker asks for on a wall, but for those over seams.

    Parameters
    ----------
    letter : str
        Of the wall.
    settings, scale
        Of the kit.
    top_mm : callable
        Height of the wall at a place along it.

    Raises
    ------
    KitError
        The path of a cable run cannot be followed.
    """
    where = f"wall {letter}"
    for pipe in settings.downpipes:
        if pipe.wall == letter:
            at = scale.to_mm(length_in_bricks_m(pipe.at, settings.brick))
            yield CoverPlace(at, SeamStyle.DOWNPIPE, over_seam=False)
    for run in settings.cable_runs:
        if run.wall == letter and not run.seam:
            at = scale.to_mm(length_in_bricks_m(run.at, settings.brick))
            path = path_on_wall(run, settings, scale, top_mm, where)
            line = bent_line(path, settings.seam.cover_width_mm, scale, where) if path else None
            yield CoverPlace(line.points[0][0] if line else at, SeamStyle.CABLE_RUN, over_seam=False, line=line)


def kept_for_covers(
    letter: str, settings: Settings, scale: Scale, top_mm: Callable[[float], float]
) -> list[tuple[float, float]]:
    """Stretches of a wall that no seam may touch, since its cover would meet one that the maker asks for."""
    seam = widest_cover(settings, scale).half_mm
    stretches = []
    for cover in asked_covers(letter, settings, scale, top_mm):
        reach = cover_size(cover.style, settings, scale).half_mm + seam + CLEAR_MM
        stretches.append((cover.low_mm - reach, cover.high_mm + reach))
    return stretches


def cover_places(
    letter: str,
    size_mm: tuple[float, float],
    cuts: Sequence[Cut],
    openings: Sequence[OpeningUnits],
    settings: Settings,
    scale: Scale,
    top_mm: Callable[[float], float],
) -> tuple[CoverPlace, ...]:
    """Settle the covers of a wall, from left to right.

    Parameters
    ----------
    letter : str
        Of the wall.
    size_mm : tuple of float
        Length and greatest height of the wall.
    cuts : sequence of Cut
        Its seams.
    openings : sequence of OpeningUnits
        Its doors and windows.
    settings, scale
        Of the kit.
    top_mm : callable
        Height of the wall at a place along it.

    Raises
    ------
    KitError
        A cover asked for is off the wall, over an opening, or meets another one.
    """
    places = [
        CoverPlace(cut.position_mm, cut.style, over_seam=True, line=cut.bent) for cut in cuts if cut.style in COVERING
    ]
    for place in asked_covers(letter, settings, scale, top_mm):
        _require_room(place, letter, size_mm, openings, settings, scale)
        places.append(place)
    places.sort(key=lambda place: place.position_mm)
    for left, right in combinations(places, 2):
        least = sum(cover_size(place.style, settings, scale).half_mm for place in (left, right))
        if left.over_seam and right.over_seam:
            continue
        if apart_mm(left.corners(size_mm[1]), right.corners(size_mm[1])) < least:
            one, other, full = (_full(mm, scale) for mm in (left.position_mm, right.position_mm, least))
            raise KitError(
                f"the {left.style} at {one} and the {right.style} at {other} meet",
                f"wall {letter}",
                f"place them at least {full} apart at this scale, or leave one out",
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
    size_mm: tuple[float, float],
    openings: Sequence[OpeningUnits],
    settings: Settings,
    scale: Scale,
) -> None:
    half, at, where = cover_size(place.style, settings, scale).half_mm, place.position_mm, f"wall {letter}"
    length, bent = size_mm[0], place.line is not None
    if not (half <= place.low_mm and place.high_mm <= length - half):
        raise KitError(
            f"the {place.style} at {_full(at, scale)} {'leads' if bent else 'is'} off the wall, which is "
            f"{_full(length, scale)} long",
            where,
            f"{'keep' if bent else 'place'} its middle from {_full(half, scale)} to {_full(length - half, scale)} "
            "along the wall",
        )
    for opening in openings:
        low, high = float(opening.reach[0]) - half, float(opening.reach[2]) + half
        remedy = f"place its middle under {_full(max(low, 0.0), scale)} or over {_full(high, scale)} along the wall"
        if place.line is not None:
            over = from_box_mm(place.line.points, opening.reach) < half - _ROUNDING_MM
            remedy = f"lead its middle past it by {_full(half, scale)} or more"
        else:
            over = low < at < high
        if over:
            raise KitError(f"the {place.style} at {_full(at, scale)} runs over an opening", where, remedy)


def _full(length_mm: float, scale: Scale) -> str:
    """Write a length of the model at full size."""
    return format_length(round(length_mm / scale.mm_per_m, 2))
