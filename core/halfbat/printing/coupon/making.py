"""Making a coupon for a process, and saying how to read it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from halfbat.errors import KitError
from halfbat.parts.part import Part
from halfbat.parts.placing import as_printed
from halfbat.printing.coupon import filament, resin
from halfbat.printing.room import room_findings
from halfbat.settings import Process, ResinProcess, Settings
from halfbat.solids.verify import require_printable
from halfbat.units import Scale, parse_scale

DEFAULT_SCALE = "1:148"


@dataclass(frozen=True, slots=True, eq=False)
class Coupon:
    """A coupon to print.

    Parameters
    ----------
    parts : tuple of Part
        Each one closed solid.
    settings : Settings
        With the process it is for.
    guide : str
        What is on it, and how the readings go back into the process.
    """

    parts: tuple[Part, ...]
    settings: Settings
    guide: str


def make_coupon(process: Process, scale: Scale | None = None) -> Coupon:
    """Make the coupon of a process.

    Parameters
    ----------
    process : ResinProcess or FilamentProcess
        Whose limits are to be found.
    scale : Scale, optional
        Of the strips of brick; 1:148 unless given.

    Raises
    ------
    KitError
        The printer is too small for one.
    """
    scale = scale or parse_scale(DEFAULT_SCALE)
    if isinstance(process, ResinProcess):
        settings = replace(Settings(), resin=process)
        solids = [("R1", "Coupon", resin.plate_solid(process, scale))]
        more: tuple[Part, ...] = resin.mitre_pair(settings, scale)
        guide = _resin_guide(process, scale)
    else:
        settings = replace(Settings(), filament=process)
        plate, plug = filament.plate_solid(process), filament.plug_solid(process)
        solids = [("F1", "Coupon", plate), ("F2", "Plug", plug)]
        more, guide = (), _filament_guide(process)
    own = [
        Part(number, name, "coupon", process.kind, *as_printed(solid, np.eye(4)))  # type: ignore[arg-type]
        for number, name, solid in solids
    ]
    parts = (*own, *more)
    for part in parts:
        require_printable(part.solid, f"coupon, part {part.number}")
        if room_findings(part, settings):
            raise KitError("the printer is too small for a coupon", "coupon", "give it a larger usable size")
    return Coupon(parts, settings, guide)


def _resin_guide(process: ResinProcess, scale: Scale) -> str:
    bar_x, bar_y = resin.bars_mm(process)
    read_x, read_y = (f"{0.994 * bar:.1f}/{bar:g}" for bar in (bar_x, bar_y))
    return f"""\
Coupon for a resin printer, {process.pixel_x_mm:g} x {process.pixel_y_mm:g} mm pixels, {process.layer_mm:g} mm layers

Print R1, R2 and R3 flat on the plate as they lie, without anti-aliasing, wash and cure them as always.

  G   grooves {resin.GROOVES_MM[0]:g} to {resin.GROOVES_MM[-1]:g} mm, in hundredths: the narrowest that is open
      along its whole length after a thin coat of primer                                groove=0.12
  H   holes {resin.HOLES_MM[0]:g} to {resin.HOLES_MM[-1]:g} mm, in tenths: the smallest you can look through
                                                                                        hole=0.8
  S   digits that say their own stroke in hundredths, engraved below and raised above:
      the thinnest engraved ones that you can read                                      stroke=0.25
  B   bricks at {scale.name} with joints around the usual width, in hundredths: what looks right goes into
      the kit file as joint_width_mm
  X   length of R1 along X, drawn {bar_x:3.0f} mm: measured/drawn                             bar_x={read_x}
  Y   length of R1 along Y, drawn {bar_y:3.0f} mm: measured/drawn                             bar_y={read_y}
  R2 and R3 are two skins that meet at a mitred corner: if they gape or will not close, change corner_gap_mm

Then: halfbat process set PROCESS groove=0.12 hole=0.8 stroke=0.25 bar_x={read_x} bar_y={read_y}
It says what that changes.
"""


def _filament_guide(process: Process) -> str:
    assert not isinstance(process, ResinProcess)
    bar_x, bar_y = filament.bars_mm(process)
    read_x, read_y = (f"{0.997 * bar:.1f}/{bar:g}" for bar in (bar_x, bar_y))
    top = filament.height_mm(process)
    return f"""\
Coupon for a filament printer, lines of {process.line_width_mm:g} mm, layers of {process.layer_mm:g} mm

Print F1 and F2 as they stand.

  L   slots for the tongue of F2 with {filament.GAPS_MM[0]:g} to {filament.GAPS_MM[-1]:g} mm a side, in hundredths: the
      tightest it slides into by hand                                                   lip=0.15
  H   holes {filament.HOLES_MM[0]:g} to {filament.HOLES_MM[-1]:g} mm, in tenths: the smallest that is open and round
                                                                                        hole=2.0
  W   walls of 1 to 4 lines: measure them; a line's width is the difference from one to the next
                                                                                        line_width_mm=0.43
  C   a corner: if its outside is not sharp enough for the skins, raise corner_chamfer_mm in the kit file
  X   length of F1 along X, drawn {bar_x:3.0f} mm: measured/drawn                             bar_x={read_x}
  Y   length of F1 along Y, drawn {bar_y:3.0f} mm: measured/drawn                             bar_y={read_y}
  Z   height of the walls, drawn {top:4.1f} mm: measured/drawn                             bar_z={top:g}/{top:g}

Then: halfbat process set PROCESS lip=0.15 hole=2.0 bar_x={read_x} bar_y={read_y}
It says what that changes.
"""
