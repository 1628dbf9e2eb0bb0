"""Settings of roofs: what covers them and how it is laid."""

from __future__ import annotations

from dataclasses import dataclass

from halfbat.settings.setting import setting

COVERING_CHOICES = {
    "plain tile": "Plain tile",
    "slate": "Slate",
    "biberschwanz": "Biberschwanz, double lap",
    "pantile": "Pantile",
    "interlocking tile": "Interlocking tile, two rolls",
    "flat interlocking tile": "Interlocking tile, flat",
    "fibre cement profile 6": "Fibre cement sheet, profile 6",
    "fibre cement profile 3": "Fibre cement sheet, profile 3",
    "corrugated steel": "Corrugated steel sheet",
    "standing seam": "Standing seam",
    "felt": "Felt",
    "none": "None (smooth)",
}
SLATE_CHOICES = {
    "600 x 300": "600 x 300 mm",
    "500 x 250": "500 x 250 mm",
    "400 x 250": "400 x 250 mm",
    "400 x 200": "400 x 200 mm",
    "300 x 200": "300 x 200 mm",
    "princess": "Princess, 24 x 14 in",
    "duchess": "Duchess, 24 x 12 in",
    "small duchess": "Small Duchess, 22 x 12 in",
    "marchioness": "Marchioness, 22 x 11 in",
    "wide countess": "Wide Countess, 20 x 12 in",
    "countess": "Countess, 20 x 10 in",
    "wide viscountess": "Wide Viscountess, 18 x 10 in",
    "viscountess": "Viscountess, 18 x 9 in",
    "wide lady": "Wide Lady, 16 x 10 in",
    "lady": "Lady, 16 x 8 in",
    "us 24 x 12": "US, 24 x 12 in",
    "us 20 x 10": "US, 20 x 10 in",
    "us 16 x 8": "US, 16 x 8 in",
    "us 12 x 8": "US, 12 x 8 in",
}
GUTTER_CHOICES = {"none": "None", "half round": "Half round", "ogee": "Ogee", "box": "Box"}
RIDGE_CHOICES = {"half round": "Half round", "angle": "Angle", "none": "None"}


@dataclass(frozen=True, slots=True)
class RoofSettings:
    """Coverings of pitched and flat roofs."""

    covering: str = setting(
        "slate", "Covering", "What the roof is covered with. Walls are not affected.", choices=COVERING_CHOICES
    )
    slate_size: str = setting("500 x 250", "Slate", "Size of slates, full size.", choices=SLATE_CHOICES)
    lap_mm: float = setting(
        0.0,
        "Lap",
        "Head lap of tiles, slates or sheets, full size, mm. 0 takes the lap that the covering asks for at the pitch.",
        minimum=0.0,
        maximum=400.0,
        unit="mm",
    )
    lap_step_mm: float = setting(
        0.0,
        "Lap step",
        "Step seen at the tail of each tile, model size, mm. 0 takes the usual for the scale: 0.12 at 1:148, 0.18 "
        "at 1:76.",
        minimum=0.0,
        maximum=1.0,
        unit="mm",
    )
    skin_thickness_mm: float = setting(
        0.0,
        "Skin thickness",
        "Thickness of a roof skin under its tiles, model size, mm. 0 goes by its longest side, as on walls.",
        minimum=0.0,
        maximum=5.0,
        unit="mm",
    )
    ridge: str = setting(
        "half round", "Ridge", "Shape of ridge and hip tiles. None leaves them out.", choices=RIDGE_CHOICES
    )
    ridge_length_mm: float = setting(
        450.0,
        "Ridge tile",
        "Length of one ridge or hip tile, full size, mm. Usual: 300 to 450.",
        minimum=150.0,
        maximum=1000.0,
        unit="mm",
    )
    eaves_overhang_mm: float = setting(
        200.0,
        "Eaves overhang",
        "How far pitched roofs reach beyond the walls at their eaves, full size, mm. Where the mesh's own roof "
        "overhangs, it stays as it is. Usual: 150 to 300 (common practice); 0 for none.",
        minimum=0.0,
        maximum=1500.0,
        unit="mm",
    )
    verge_overhang_mm: float = setting(
        75.0,
        "Verge overhang",
        "How far pitched roofs reach beyond the walls at gables, full size, mm. Usual: 50 to 100 with barge boards, "
        "less without (common practice); 0 for none.",
        minimum=0.0,
        maximum=1500.0,
        unit="mm",
    )
    flat_overhang_mm: float = setting(
        0.0,
        "Flat overhang",
        "How far the lid of a flat roof reaches over the walls, full size, mm. 0 keeps it behind them, as behind a "
        "parapet. Usual: 100 to 300 (common practice).",
        minimum=0.0,
        maximum=1500.0,
        unit="mm",
    )
    eaves_board: bool = setting(
        True, "Fascia", "Make fascia boards with their soffit, which fill the eaves under the roof skins."
    )
    barge_board: bool = setting(True, "Barge boards", "Make barge boards under the roof skins at gables that overhang.")
    board_height_mm: float = setting(
        175.0,
        "Board height",
        "Height of fascia and barge boards, full size, mm. Usual: 150 to 225 (common practice).",
        minimum=50.0,
        maximum=600.0,
        unit="mm",
    )
    gutter: str = setting(
        "none",
        "Gutter",
        "Gutters along eaves with a fascia, with outlets over the downpipes of the wall. They lift off with the roof.",
        choices=GUTTER_CHOICES,
    )
    gutter_size_mm: float = setting(
        0.0,
        "Gutter size",
        "Width of gutters, full size, mm. 0 takes the usual: 112 half round, 120 ogee, 116 box.",
        minimum=0.0,
        maximum=300.0,
        unit="mm",
    )
    lead: bool = setting(
        True,
        "Lead on walls",
        "Dress lead onto walls that rise above a roof, stepped along its slope and tucked into the bed joints; below "
        "about 1:90 a plain strip.",
    )
