"""What an opening is to be, in model size, and whether a wall has room for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from halfbat.errors import KitError
from halfbat.settings import BrickSettings, OpeningRequest
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.units import Scale, format_length

ARCHES = ("segmental arch", "semicircular arch", "circular")
#: Rise of a segmental arch as a part of its span where none is given: common practice, no source.
USUAL_RISE = 1 / 6
#: A flatter arch than this is a flat one, and has no radius to speak of: common practice, no source.
LEAST_RISE = 1 / 50
_SAME = 0.01
_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class OpeningSpec:
    """An opening in the frame of its wall, model millimetres.

    Parameters
    ----------
    left_mm, sill_mm : float
        Lower left corner, from the wall's left end and foot.
    width_mm, height_mm : float
        Between the jambs, and from the sill to the underside of the head (at the crown of an arch).
    head, lintel, work, skewback, sill : str
        Choices of `halfbat.settings.OpeningRequest`.
    rings : int
        Depth of an arch in half bricks.
    rise_mm : float
        Rise of the underside of an arch; 0 for other heads.
    camber : bool
        Whether the underside of a flat arch is raised.
    where : str
        Name for refusals and findings.
    """

    left_mm: float
    sill_mm: float
    width_mm: float
    height_mm: float
    head: str = "lintel"
    lintel: str = "concrete"
    work: str = "rough"
    rings: int = 1
    rise_mm: float = 0.0
    skewback: str = "60 degrees"
    camber: bool = True
    sill: str = "none"
    where: str = "an opening"

    @property
    def right_mm(self) -> float:
        """The right jamb."""
        return self.left_mm + self.width_mm

    @property
    def top_mm(self) -> float:
        """Underside of the head, at the crown of an arch."""
        return self.sill_mm + self.height_mm


def opening_spec(request: OpeningRequest, brick: BrickSettings, scale: Scale, where: str) -> OpeningSpec:
    """Read the lengths of a request and turn them into model size.

    Parameters
    ----------
    request : OpeningRequest
        What the maker asks for.
    brick : BrickSettings
        For lengths counted in bricks and courses.
    scale : Scale
        How small.
    where : str
        Name for refusals, such as ``"opening 2, wall A"``.

    Returns
    -------
    OpeningSpec

    Raises
    ------
    KitError
        A length cannot be read, the opening has no size, or its height, width and rise make no such arch.
    """
    at, width, height, sill = (
        _length_m(getattr(request, key), brick, f"{where}, {key}") for key in ("at", "width", "height", "sill_height")
    )
    for size, key in ((width, "width"), (height, "height")):
        if size <= 0:
            raise KitError(f"the opening has no {key}", where, f"give a {key} above zero")
    rise = _rise_m(request, width, height, brick, where)
    return OpeningSpec(
        scale.to_mm(at),
        scale.to_mm(sill),
        scale.to_mm(width),
        scale.to_mm(height),
        head=request.head,
        lintel=request.lintel,
        work=request.work,
        rings=request.rings,
        rise_mm=scale.to_mm(rise),
        skewback=request.skewback,
        camber=request.camber,
        sill=request.sill,
        where=where,
    )


def _length_m(text: str, brick: BrickSettings, where: str) -> float:
    try:
        return length_in_bricks_m(text, brick)
    except KitError as error:
        raise KitError(error.what, where, error.remedy) from None


def _rise_m(request: OpeningRequest, width: float, height: float, brick: BrickSettings, where: str) -> float:
    if request.head == "circular":
        if abs(width - height) > _SAME * width:
            raise KitError(
                f"a circular opening {format_length(width)} wide cannot be {format_length(height)} high",
                where,
                "give it the same width and height",
            )
        if request.sill != "none":
            raise KitError("a circular opening has no sill", where, 'leave the sill out or write sill = "none"')
        return width / 2
    if request.head == "semicircular arch":
        rise = width / 2
    elif request.head == "segmental arch":
        rise = _length_m(request.rise, brick, f"{where}, rise") if request.rise else width * USUAL_RISE
        if not LEAST_RISE * width <= rise <= width / 2:
            raise KitError(
                f"a segmental arch of {format_length(width)} span cannot rise {format_length(rise)}",
                where,
                f"give a rise from {format_length(width * LEAST_RISE)} to half the span, {format_length(width / 2)}",
            )
    else:
        return 0.0
    if rise > height:
        raise KitError(
            f"an opening {format_length(height)} high cannot have an arch that rises {format_length(rise)}",
            where,
            "make it higher or its arch flatter",
        )
    return rise


def check_openings(specs: Sequence[OpeningSpec], length_mm: float, height_mm: float, half_mm: float, s: Scale) -> None:
    """Refuse openings that are off their wall, overlap, or leave less than half a brick beside them.

    Parameters
    ----------
    specs : sequence of OpeningSpec
        Openings of one wall.
    length_mm, height_mm : float
        Size of the wall, model millimetres.
    half_mm : float
        Half a brick, without its joint, model millimetres.
    s : Scale
        To tell sizes at full size.

    Raises
    ------
    KitError
        For the first that does not fit.
    """

    def told(mm: float) -> str:
        return format_length(mm / s.mm_per_m)

    for spec in specs:
        if spec.right_mm > length_mm + _ROUNDING_MM or spec.top_mm > height_mm + _ROUNDING_MM:
            raise KitError(
                f"the opening reaches {told(spec.right_mm)} along and {told(spec.top_mm)} up a wall "
                f"{told(length_mm)} long and {told(height_mm)} high",
                spec.where,
                "move it or make it smaller",
            )
        pier = min(spec.left_mm, length_mm - spec.right_mm)
        if pier < half_mm - _ROUNDING_MM:
            raise KitError(
                f"the opening is {told(max(pier, 0.0))} from the end of its wall",
                spec.where,
                f"leave at least half a brick, {told(half_mm)}",
            )
    ordered = sorted(specs, key=lambda spec: spec.left_mm)
    for a, b in combinations(ordered, 2):
        _check_apart(a, b, half_mm, told(half_mm))


def _check_apart(a: OpeningSpec, b: OpeningSpec, half_mm: float, told_gap: str) -> None:
    beside = a.sill_mm < b.top_mm and b.sill_mm < a.top_mm
    if beside and b.left_mm - a.right_mm < half_mm - _ROUNDING_MM:
        what = "overlaps" if b.left_mm < a.right_mm else "is less than half a brick from"
        raise KitError(
            f"the opening {what} {b.where if b.where != a.where else 'another'}",
            a.where,
            f"leave at least half a brick, {told_gap}, between them",
        )
