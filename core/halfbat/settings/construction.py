"""Settings of the parts: shell, skins, seams, lid and marks. Defaults are common practice among modellers."""

from __future__ import annotations

from dataclasses import dataclass

from halfbat.settings.setting import setting

HIDE_CHOICES = {
    "cable run": "Straight, under a cable run",
    "downpipe": "Straight, under a downpipe",
    "pier": "Straight, in the corner of a pier",
    "toothed": "Toothed along the bond",
    "movement joint": "Movement joint",
}
COVER_CHOICES = {"printed": "Printed", "wire": "Wire (bought)"}


@dataclass(frozen=True, slots=True)
class ShellSettings:
    """The filament inner body."""

    floor: bool = setting(True, "Floor", "Close the shell with a floor. Without it the shell is open below.")
    wall_lines: int = setting(
        4,
        "Wall lines",
        "Thickness of the shell's walls in printed lines. Usual: 4, which is 1.7 mm with a 0.4 mm nozzle.",
        minimum=2,
        maximum=12,
    )
    ledge_height_mm: float = setting(
        1.0,
        "Ledge height",
        "Height of the ledge at the shell's foot that the skins stand on, mm. 0 leaves it out. Usual: 1.0.",
        minimum=0.0,
        maximum=10.0,
        unit="mm",
    )
    ledge_depth_mm: float = setting(
        0.8,
        "Ledge depth",
        "How far the ledge reaches under the skins, mm. It stays behind the brick face. Usual: 0.8.",
        minimum=0.0,
        maximum=5.0,
        unit="mm",
    )
    floor_thickness_mm: float = setting(
        1.2, "Floor thickness", "Thickness of the floor, mm. Usual: 1.2.", minimum=0.4, maximum=10.0, unit="mm"
    )
    corner_chamfer_mm: float = setting(
        0.5,
        "Corner chamfer",
        "Flat taken off the shell's outer upright corners, which a nozzle cannot print sharp, mm. Usual: 0.5.",
        minimum=0.0,
        maximum=3.0,
        unit="mm",
    )
    ground_rise_m: float = setting(
        1.5,
        "Ground rises",
        "Undersides up to this far above the lowest foot, m, stand on rising ground: walls are carried down from them. "
        "Higher ones are passages, which are refused. Usual: 1.5, too low to pass under.",
        minimum=0.3,
        maximum=30.0,
        unit="m",
    )
    sections: bool = setting(
        True,
        "Sections",
        "Make a shell, lid or roof former that is larger than the filament printer in sections, which are glued "
        "together.",
    )


@dataclass(frozen=True, slots=True)
class SkinSettings:
    """The resin facing."""

    base_thickness_mm: float = setting(
        0.0,
        "Base thickness",
        "Thickness of a skin behind its joints, mm. 0 goes by the longest side (1.0 up to 50 mm, 1.2 up to 100, 1.5 "
        "above) and by the joints.",
        minimum=0.0,
        maximum=10.0,
        unit="mm",
    )
    glue_gap_mm: float = setting(
        0.12,
        "Glue gap",
        "Room for glue between skin and shell, mm. Usual: 0.10 to 0.15.",
        minimum=0.0,
        maximum=1.0,
        unit="mm",
    )
    corner_land_mm: float = setting(
        0.2,
        "Corner land",
        "Flat left on the edge of a mitred corner so that it does not chip, mm. Usual: 0.2.",
        minimum=0.0,
        maximum=1.0,
        unit="mm",
    )
    corner_gap_mm: float = setting(
        0.10,
        "Corner gap",
        "Whole gap between two skins at a corner, mm. Usual: 0.10.",
        minimum=0.0,
        maximum=1.0,
        unit="mm",
    )
    back_relief_mm: float = setting(
        0.3,
        "Back relief",
        "Taken off the inner edge of a mitre for glue and for the shell's rounded corner, mm. Usual: 0.3.",
        minimum=0.0,
        maximum=2.0,
        unit="mm",
    )


@dataclass(frozen=True, slots=True)
class SeamSettings:
    """Where walls are split, and what hides it."""

    hide: str = setting(
        "cable run",
        "Hide seams by",
        "How a wall too long for the printer is split: straight under a cable run, a downpipe or beside a "
        "pier, toothed along the bond, or as a movement joint.",
        choices=HIDE_CHOICES,
    )
    gap_mm: float = setting(
        0.10, "Seam gap", "Whole gap between two panels, mm. Usual: 0.10.", minimum=0.0, maximum=1.0, unit="mm"
    )
    panel_limit_mm: float = setting(
        120.0,
        "Panel limit",
        "Longest side a panel may have and stay flat, mm, even where the printer could take more. Usual: 120.",
        minimum=10.0,
        maximum=1000.0,
        unit="mm",
    )
    cover_width_mm: float = setting(
        1.0,
        "Cover width",
        "Width of the cable run over a seam, mm. At least 0.8 and the seam gap and 0.4. Usual: 1.0.",
        minimum=0.5,
        maximum=10.0,
        unit="mm",
    )
    cover_height_mm: float = setting(
        0.6,
        "Cover height",
        "How far the cable run stands out of the brick face, mm. Usual: 0.6.",
        minimum=0.2,
        maximum=10.0,
        unit="mm",
    )
    cover_made_as: str = setting(
        "printed",
        "Cable run made as",
        "Printed makes the cable run a numbered part; Wire lists the wire to buy instead.",
        choices=COVER_CHOICES,
    )
    saddle_spacing_m: float = setting(
        1.0,
        "Saddle spacing",
        "Distance between the saddles that hold a cable run, full size, m. Usual: 0.6 to 1.5.",
        minimum=0.1,
        maximum=10.0,
        unit="m",
    )


@dataclass(frozen=True, slots=True)
class LidSettings:
    """The flat lid."""

    make: bool = setting(True, "Lid", "Make a flat lid that closes the shell.")
    thickness_mm: float = setting(
        1.6, "Thickness", "Thickness of the lid, mm. Usual: 1.6.", minimum=0.4, maximum=20.0, unit="mm"
    )
    lip_depth_mm: float = setting(
        3.6,
        "Lip depth",
        "How far the lip under the lid reaches into the shell, mm. Usual: 3 to 4.",
        minimum=0.5,
        maximum=20.0,
        unit="mm",
    )
    lip_thickness_mm: float = setting(
        1.26,
        "Lip thickness",
        "Thickness of the lip, mm. Whole printed lines are best: 1.26 is three lines.",
        minimum=0.4,
        maximum=10.0,
        unit="mm",
    )


ORIENTATION_CHOICES = {
    "by rule": "By rule",
    "upside down": "Upside down",
    "on long edge": "Standing on its long edge",
    "on short edge": "Standing on its short edge",
}


@dataclass(frozen=True, slots=True)
class OrientationSettings:
    """How parts lie on the plate."""

    skin: str = setting(
        "by rule",
        "Skins",
        "How skins lie on the plate. By rule: flat on the back, brick faces away from the plate, where joints are "
        "whole pixels.",
        choices=ORIENTATION_CHOICES,
    )
    cover: str = setting(
        "by rule",
        "Covers",
        "How cable runs and downpipes lie on the plate. By rule: flat on the side that is glued.",
        choices=ORIENTATION_CHOICES,
    )
    shell: str = setting(
        "by rule",
        "Shell",
        "How the shell stands on the plate. By rule: upright on its foot.",
        choices=ORIENTATION_CHOICES,
    )
    lid: str = setting(
        "by rule",
        "Lid",
        "How the lid lies on the plate. By rule: top down, its lip away from the plate.",
        choices=ORIENTATION_CHOICES,
    )


@dataclass(frozen=True, slots=True)
class MarkSettings:
    """Numbers engraved on the backs."""

    make: bool = setting(True, "Marks", "Engrave each part's number on its back.")
    resin_height_mm: float = setting(
        2.2,
        "Resin mark height",
        "Height of the digits on resin parts, mm. Usual: 2.0 to 2.5.",
        minimum=0.8,
        maximum=20.0,
        unit="mm",
    )
    filament_height_mm: float = setting(
        3.5,
        "Filament mark height",
        "Height of the digits on filament parts, mm. Usual: 3.5.",
        minimum=1.5,
        maximum=40.0,
        unit="mm",
    )
