"""Which parts are printed together, where each lies on its plate, and what a plate takes of material.

Panels of one wall are kept on one plate where there is room, since light and exposure differ from plate to plate.
Skins are never turned, and every resin part lies on whole pixels.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil, pi
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import Finding, Severity
from halfbat.parts.part import Part
from halfbat.printing.compensation import correction, process_of, written_solid
from halfbat.printing.packing import Skyline
from halfbat.printing.room import may_be_turned
from halfbat.settings import FilamentProcess, Process, ResinProcess, Settings

_ROUNDING = 1e-6


class HasParts(Protocol):
    """What plates are made of: a kit, or a coupon."""

    @property
    def parts(self) -> tuple[Part, ...]:
        """Parts to print; bought ones are left out."""

    @property
    def settings(self) -> Settings:
        """Both processes."""


@dataclass(frozen=True, slots=True, eq=False)
class Placement:
    """One piece on a plate.

    Parameters
    ----------
    part : Part
        The part, at its nominal size.
    x_mm, y_mm : float
        Where the origin of its print frame lies, from the plate's lower left corner; whole pixels for resin.
    turned : bool
        By a quarter anticlockwise, seen from above.
    size_mm : tuple of float
        Sides of its box as it lies on the plate, written size.
    """

    part: Part
    x_mm: float
    y_mm: float
    turned: bool
    size_mm: tuple[float, float]

    @property
    def matrix(self) -> NDArray[np.float64]:
        """Rigid matrix from its print frame, at written size, to the plate, shape (4, 4)."""
        matrix = np.eye(4)
        if self.turned:
            matrix[:2, :2] = [[0.0, -1.0], [1.0, 0.0]]
        matrix[:2, 3] = self.x_mm, self.y_mm
        return matrix


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """One plate of one printer.

    Parameters
    ----------
    name : str
        Such as ``"resin-1"``.
    process : ResinProcess or FilamentProcess
        The printer.
    placements : tuple of Placement
        In the order they were placed.
    volume_mm3 : float
        Of all of it as written.
    """

    name: str
    process: Process
    placements: tuple[Placement, ...]
    volume_mm3: float

    @property
    def kind(self) -> Literal["resin", "filament"]:
        """What it is printed with."""
        return "resin" if isinstance(self.process, ResinProcess) else "filament"


@dataclass(frozen=True, slots=True)
class Amount:
    """Material for some parts, as drawn: without supports, brims, or what stays in a vat or a nozzle.

    Parameters
    ----------
    resin_ml : float
        Resin.
    filament_g, filament_m : float
        Filament, all solid, by weight and by length of strand.
    """

    resin_ml: float
    filament_g: float
    filament_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Plates:
    """All plates of a kit.

    Parameters
    ----------
    plates : tuple of Plate
        Resin first.
    left_out : tuple of str
        Numbers of parts too large for their printer.
    findings : tuple of Finding
        What there is to tell.
    """

    plates: tuple[Plate, ...]
    left_out: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def amount(self) -> Amount:
        """Material for all of it."""
        each = [amount_of(plate) for plate in self.plates]
        return Amount(
            sum(one.resin_ml for one in each), sum(one.filament_g for one in each), sum(one.filament_m for one in each)
        )


def amount_of(plate: Plate) -> Amount:
    """Return the material a plate takes."""
    process = plate.process
    if isinstance(process, FilamentProcess):
        area = pi * process.strand_mm**2 / 4
        return Amount(0.0, plate.volume_mm3 / 1000 * process.density_g_cm3, plate.volume_mm3 / area / 1000)
    return Amount(plate.volume_mm3 / 1000, 0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """A piece to be placed: its part and the room it takes, spacing and a pixel of play included."""

    part: Part
    size: tuple[float, float]
    room: tuple[float, float]
    may_turn: bool


@dataclass(slots=True, eq=False)
class _Open:
    """A plate being filled."""

    skyline: Skyline
    placements: list[Placement]


def plates_for(kit: HasParts) -> Plates:
    """Lay the parts of a kit out on the plates of both printers.

    Parameters
    ----------
    kit : HasParts
        A kit; each part is laid out as often as it is needed.

    Returns
    -------
    Plates
        The same kit always gives the same plates.
    """
    return plates_of(kit.parts, kit.settings)


def plates_of(parts: Sequence[Part], settings: Settings) -> Plates:
    """Lay parts out; see `plates_for`."""
    plates: list[Plate] = []
    left_out: list[str] = []
    findings: list[Finding] = []
    for process in (settings.resin, settings.filament):
        own = [part for part in parts if process_of(part, settings) is process]
        filled, too_large, told = _filled(own, process, settings)
        left_out += too_large
        findings += told
        for number, placements in enumerate(filled, start=1):
            volume = sum(
                one.part.solid.volume_mm3 * float(np.prod(correction(one.part, settings))) for one in placements
            )
            plates.append(Plate(f"{process.kind}-{number}", process, tuple(placements), volume))
    return Plates(tuple(plates), tuple(left_out), tuple(findings))


def _filled(
    parts: Sequence[Part], process: Process, settings: Settings
) -> tuple[list[list[Placement]], list[str], list[Finding]]:
    # Room round a piece, and a pixel of play to lie on, may reach over the rim of the plate.
    width, height = (
        usable - 2 * process.margin_mm + process.spacing_mm + play
        for usable, play in zip((process.usable_x_mm, process.usable_y_mm), _pitch(process), strict=True)
    )
    empty = Skyline.empty(max(width, 0.0), max(height, 0.0))
    plates: list[_Open] = []
    too_large: list[str] = []
    findings: list[Finding] = []
    for group in _groups(parts):
        pieces = [_piece(part, process, settings) for part in group for _ in range(part.quantity)]
        fitting = [piece for piece in pieces if _placed(empty, piece, process) is not None]
        too_large += dict.fromkeys(piece.part.number for piece in pieces if piece not in fitting)
        if not _place_together(plates, fitting, empty, process):
            for piece in fitting:
                _place_together(plates, [piece], empty, process)
            if group[0].kind == "skin":
                text = f"panels of wall {group[0].wall} do not fit on one plate and may differ a little in size"
                remedy = "print them one after another with the same settings"
                findings.append(Finding(Severity.NOTE, "wall-on-plates", f"wall {group[0].wall}", text, remedy))
    return [_centred(plate.placements, process) for plate in plates], too_large, findings


def _centred(placements: Sequence[Placement], process: Process) -> list[Placement]:
    """Move all pieces of a plate together, by whole pixels, to its middle, where light and heat are evenest."""
    shift = []
    for axis, (room, pitch) in enumerate(zip((process.usable_x_mm, process.usable_y_mm), _pitch(process), strict=True)):
        places = [((one.x_mm, one.y_mm)[axis], one.size_mm[axis] / 2) for one in placements]
        low, high = min(at - half for at, half in places), max(at + half for at, half in places)
        free = (room - low - high) / 2
        shift.append(free if pitch <= 0 else round(free / pitch) * pitch)
    return [replace(one, x_mm=round(one.x_mm + shift[0], 6), y_mm=round(one.y_mm + shift[1], 6)) for one in placements]


def _groups(parts: Sequence[Part]) -> list[list[Part]]:
    """Skins of each wall together, the largest wall first; then all others one by one, the largest first."""
    walls: dict[str, list[Part]] = {}
    for part in parts:
        if part.kind == "skin":
            walls.setdefault(part.wall or part.number, []).append(part)
    skins = sorted(walls.values(), key=lambda group: -sum(_area(part) * part.quantity for part in group))
    others = sorted((part for part in parts if part.kind != "skin"), key=lambda part: -_area(part))
    return [*skins, *([part] for part in others)]


def _area(part: Part) -> float:
    return float(part.solid.size_mm[0] * part.solid.size_mm[1])


def _pitch(process: Process) -> tuple[float, float]:
    if isinstance(process, ResinProcess):
        return process.pixel_x_mm, process.pixel_y_mm
    return 0.0, 0.0


def _piece(part: Part, process: Process, settings: Settings) -> _Piece:
    x, y, _ = (float(value) for value in written_solid(part, settings).size_mm)
    play = _pitch(process)
    room = x + process.spacing_mm + play[0], y + process.spacing_mm + play[1]
    return _Piece(part, (x, y), room, may_be_turned(part, settings))


def _placed(skyline: Skyline, piece: _Piece, process: Process) -> tuple[Skyline, Placement] | None:
    """Place a piece, turned where that takes it lower."""
    best: tuple[float, Skyline, Placement] | None = None
    for turned in (False, True) if piece.may_turn else (False,):
        wide, high = piece.room[::-1] if turned else piece.room
        found = skyline.place(wide, high)
        if found is None:
            continue
        x, y, after = found
        size = piece.size[::-1] if turned else piece.size
        inset = process.margin_mm
        origin = tuple(
            _on_pixel(corner + inset + side / 2, pitch)
            for corner, side, pitch in zip((x, y), size, _pitch(process), strict=True)
        )
        if best is None or y + high < best[0] - _ROUNDING:
            best = y + high, after, Placement(piece.part, origin[0], origin[1], turned, (size[0], size[1]))
    return None if best is None else best[1:]


def _on_pixel(value: float, pitch: float) -> float:
    return value if pitch <= 0 else round(ceil(value / pitch - 1e-6) * pitch, 6)


def _place_together(plates: list[_Open], pieces: Iterable[_Piece], empty: Skyline, process: Process) -> bool:
    """Place pieces on one plate, an open one or a new one; change nothing where no plate takes all of them."""
    wanted = list(pieces)
    for plate in (*plates, _Open(empty, [])):
        skyline, placed = plate.skyline, []
        for piece in wanted:
            found = _placed(skyline, piece, process)
            if found is None:
                break
            skyline, placement = found
            placed.append(placement)
        else:
            if wanted and plate not in plates:
                plates.append(plate)
            plate.skyline = skyline
            plate.placements += placed
            return True
    return False
