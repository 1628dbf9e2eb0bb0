"""Roof coverings, full size.

Sources. Plain tile: BS 402, now BS EN 1304, laid to BS 5534 (265 x 165 mm, lap at least 65 mm, so gauge at most 100;
pitch at least 35 degrees; side gaps up to 3 mm; on walls lap 35 mm, so gauge 115). Slates: BS 8000-6:1990 (side joint
5 mm), head lap by pitch from suppliers' tables to BS 5534 for moderate exposure. US slates: Simplified Practice R14-28
(lap 3 in). Interlocking concrete tile: BS EN 490 and makers' data (420 x 330, cover 300, gauge 345 at a lap of 75).
Pantile and Biberschwanz: DIN EN 1304 and trade rules, from memory. Corrugated steel: BS 3083 (from memory), depth
17.5 mm in a published code of practice. Fibre cement: BS EN 494 and BS 8219, covers from memory, least pitches
published. Standing seam: published zinc pages (bay 530 mm, seam 25 mm, pitch 3 degrees and more). Felt: rolls 1 m wide
(BS 747, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from halfbat.errors import KitError
from halfbat.settings.roof import COVERING_CHOICES, SLATE_CHOICES, RoofSettings

_INCH = 25.4


class Family(StrEnum):
    """How a covering is laid."""

    DOUBLE_LAP = "double lap"
    SINGLE_LAP = "single lap"
    SHEET = "sheet"
    SEAM = "standing seam"


@dataclass(frozen=True, slots=True)
class Covering:
    """One kind of roof covering, full size in metres.

    Parameters
    ----------
    key, name : str
        Key in kit files, and the name people use.
    unit : str
        What one piece is called: ``"plain tile"``.
    family : Family
        How it is laid.
    length_m : float
        Length of a piece up the slope; of a sheet the longest that is sold.
    cover_m, widest_m : float
        Width that each piece adds to a course, and the most it may be opened to so that a course comes out whole.
    laps : tuple of (float, float)
        Pitch in degrees and the head lap it asks for in metres, least pitch first; straight lines between.
    least_pitch_deg : float
        Lowest pitch it may be laid at.
    least_gauge : float
        How far the gauge may be closed up, as a share of the largest.
    bond : float
        How far alternate courses are moved, as a share of the cover.
    thickness_m : float
        Of one piece.
    profile : str
        Shape across the slope, see `halfbat.surfaces.roofing.profiles`; empty where it is flat.
    depth_m : float
        Of the profile, or height of the seam.
    waves : int
        Corrugations in the cover of one sheet.
    tail : tuple of (float, float)
        Corners of a shaped tail, as shares of the width from the left and up; empty where it is square.
    lengths_m : tuple of float
        Lengths sheets are sold in.
    """

    key: str
    name: str
    unit: str
    family: Family
    length_m: float
    cover_m: float
    widest_m: float
    laps: tuple[tuple[float, float], ...]
    least_pitch_deg: float
    least_gauge: float = 0.85
    bond: float = 0.0
    thickness_m: float = 0.012
    profile: str = ""
    depth_m: float = 0.0
    waves: int = 1
    tail: tuple[tuple[float, float], ...] = ()
    lengths_m: tuple[float, ...] = ()

    @property
    def joined(self) -> bool:
        """Whether open joints are seen between the pieces of a course."""
        return self.family in (Family.DOUBLE_LAP, Family.SINGLE_LAP) and not self.profile

    @property
    def profiled(self) -> bool:
        """Whether the covering has a shape across the slope."""
        return bool(self.profile)


# Suppliers' tables to BS 5534, moderate exposure; at 22.5 degrees worked out from 25 by one over the sine of the pitch.
_SLATE_LAPS = (
    (22.5, 0.110), (25.0, 0.100), (27.5, 0.085), (30.0, 0.080), (35.0, 0.070), (40.0, 0.060), (45.0, 0.055),
)  # fmt: skip
_US_LAPS = ((0.0, 0.0762),)
_SLATE_JOINT_MM = 5.0

# Length and width; metric ones as in the table to BS 8000-6, imperial names from slate manuals.
SLATES: dict[str, tuple[float, float]] = {
    "600 x 300": (600.0, 300.0),
    "500 x 250": (500.0, 250.0),
    "400 x 250": (400.0, 250.0),
    "400 x 200": (400.0, 200.0),
    "300 x 200": (300.0, 200.0),
    "princess": (24 * _INCH, 14 * _INCH),
    "duchess": (24 * _INCH, 12 * _INCH),
    "small duchess": (22 * _INCH, 12 * _INCH),
    "marchioness": (22 * _INCH, 11 * _INCH),
    "wide countess": (20 * _INCH, 12 * _INCH),
    "countess": (20 * _INCH, 10 * _INCH),
    "wide viscountess": (18 * _INCH, 10 * _INCH),
    "viscountess": (18 * _INCH, 9 * _INCH),
    "wide lady": (16 * _INCH, 10 * _INCH),
    "lady": (16 * _INCH, 8 * _INCH),
    "us 24 x 12": (24 * _INCH, 12 * _INCH),
    "us 20 x 10": (20 * _INCH, 10 * _INCH),
    "us 16 x 8": (16 * _INCH, 8 * _INCH),
    "us 12 x 8": (12 * _INCH, 8 * _INCH),
}


def slate(size: str) -> Covering:
    """Return slates of one of the regular sizes.

    Parameters
    ----------
    size : str
        A key of `SLATES`.

    Raises
    ------
    KitError
        When there is no such size.
    """
    if size not in SLATES:
        raise KitError(f"there is no slate '{size[:20]}'", "roof.slate_size", "give one of " + ", ".join(SLATES))
    length, width = (value / 1000 for value in SLATES[size])
    cover = width + _SLATE_JOINT_MM / 1000
    return Covering(
        "slate", f"Slate, {SLATE_CHOICES[size]}", "slate", Family.DOUBLE_LAP, length, cover, cover + 0.003,
        _US_LAPS if size.startswith("us ") else _SLATE_LAPS, 22.5, least_gauge=0.75, bond=0.5, thickness_m=0.006,
    )  # fmt: skip


# Segment cut of a Biberschwanz: a rise of a quarter of its width (common practice, no source).
_SEGMENT = ((0.0, 0.25), (0.1, 0.14), (0.25, 0.05), (0.5, 0.0), (0.75, 0.05), (0.9, 0.14), (1.0, 0.25))
# Lengths of fibre cement sheets (common practice, no source).
_SHEETS_M = (1.525, 1.825, 2.125, 2.275, 2.440, 2.750, 3.050)
_STEEL_M = (1.8, 2.1, 2.4, 2.7, 3.0, 3.6)
_INTERLOCKING_LAPS = ((17.5, 0.100), (22.5, 0.100), (30.0, 0.075))

COVERINGS: tuple[Covering, ...] = (
    Covering(
        "plain tile", "Plain tile, 265 x 165 mm", "plain tile", Family.DOUBLE_LAP, 0.265, 0.165, 0.168,
        ((35.0, 0.065), (70.0, 0.065), (75.0, 0.035)), 35.0, least_gauge=0.885, bond=0.5,
    ),
    Covering(
        "biberschwanz", "Biberschwanz, 380 x 180 mm, double lap", "Biberschwanz tile", Family.DOUBLE_LAP,
        0.380, 0.180, 0.183, ((30.0, 0.090), (35.0, 0.080), (40.0, 0.070), (45.0, 0.060)), 30.0,
        bond=0.5, thickness_m=0.014, tail=_SEGMENT,
    ),
    Covering(
        "pantile", "Clay pantile, 340 x 240 mm", "pantile", Family.SINGLE_LAP, 0.340, 0.240, 0.243,
        ((30.0, 0.080),), 30.0, thickness_m=0.014, profile="pantile", depth_m=0.050,
    ),
    Covering(
        "interlocking tile", "Interlocking tile, two rolls, 420 x 330 mm", "interlocking tile", Family.SINGLE_LAP,
        0.420, 0.300, 0.303, _INTERLOCKING_LAPS, 17.5, thickness_m=0.020, profile="two rolls", depth_m=0.030,
    ),
    Covering(
        "flat interlocking tile", "Interlocking tile, flat, 420 x 330 mm, broken bond", "interlocking tile",
        Family.SINGLE_LAP, 0.420, 0.300, 0.303, _INTERLOCKING_LAPS, 17.5, bond=0.5, thickness_m=0.020,
    ),
    Covering(
        "fibre cement profile 6", "Fibre cement sheet, profile 6", "fibre cement sheet", Family.SHEET, 3.050,
        7 * 0.1465, 7 * 0.1465, ((5.0, 0.300), (10.0, 0.150)), 5.0, least_gauge=0.0, thickness_m=0.0067,
        profile="wave", depth_m=0.048, waves=7, lengths_m=_SHEETS_M,
    ),
    Covering(
        "fibre cement profile 3", "Fibre cement sheet, profile 3", "fibre cement sheet", Family.SHEET, 3.050,
        9 * 0.073, 9 * 0.073, ((10.0, 0.150),), 10.0, least_gauge=0.0, thickness_m=0.0067, profile="wave",
        depth_m=0.019, waves=9, lengths_m=_SHEETS_M,
    ),
    Covering(
        "corrugated steel", "Corrugated steel sheet, 3 in", "corrugated sheet", Family.SHEET, 3.600,
        8 * 0.0762, 8 * 0.0762, ((5.0, 0.230), (15.0, 0.150)), 5.0, least_gauge=0.0, thickness_m=0.0007,
        profile="wave", depth_m=0.0175, waves=8, lengths_m=_STEEL_M,
    ),
    Covering(
        "standing seam", "Metal with standing seams, bays of 530 mm", "tray", Family.SEAM, 10.0, 0.530, 0.530,
        ((3.0, 0.250),), 3.0, least_gauge=0.0, thickness_m=0.0007, depth_m=0.025,
    ),
    Covering(
        "felt", "Felt in strips", "strip of felt", Family.SHEET, 1.0, 9.9, 9.9, ((0.0, 0.075),), 0.0,
        bond=0.4, thickness_m=0.004,
    ),
)  # fmt: skip


def get_covering(key: str, slate_size: str = "500 x 250") -> Covering:
    """Return a covering by its key.

    Parameters
    ----------
    key : str
        As in a kit file.
    slate_size : str
        Which slate, where the covering is slate.

    Raises
    ------
    KitError
        When there is no such covering, or it is "none".
    """
    if key == "slate":
        return slate(slate_size)
    for covering in COVERINGS:
        if covering.key == key:
            return covering
    known = ", ".join(choice for choice in COVERING_CHOICES if choice != "none")
    raise KitError(f"there is no roof covering '{key[:30]}'", "roof.covering", f"give one of {known}")


def chosen_covering(roof: RoofSettings) -> Covering | None:
    """Return the covering that the settings ask for, None for a smooth roof.

    Raises
    ------
    KitError
        When there is no such covering or slate.
    """
    return None if roof.covering == "none" else get_covering(roof.covering, roof.slate_size)
