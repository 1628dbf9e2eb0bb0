"""Settings of the kit as a whole and of its brickwork."""

from __future__ import annotations

from dataclasses import dataclass

from halfbat.settings.setting import setting

FORMAT_CHOICES = {
    "uk_metric": "UK metric, 215 x 102.5 x 65 mm",
    "uk_metric_73": "UK metric, 73 mm high",
    "uk_imperial": "UK imperial, 8 5/8 x 4 1/8 x 2 5/8 in",
    "us_modular": "US modular, 7 5/8 x 3 5/8 x 2 1/4 in",
    "us_engineer_modular": "US engineer modular, 2 13/16 in high",
    "us_closure_modular": "US closure modular, 3 5/8 in high",
    "us_standard": "US standard, 8 x 3 5/8 x 2 1/4 in",
    "us_engineer_standard": "US engineer standard, 2 13/16 in high",
    "us_closure_standard": "US closure standard, 3 5/8 in high",
    "us_roman": "US Roman, 11 5/8 x 3 5/8 x 1 5/8 in",
    "us_norman": "US Norman, 11 5/8 x 3 5/8 x 2 1/4 in",
    "us_engineer_norman": "US engineer Norman, 2 13/16 in high",
    "us_utility": "US utility, 11 5/8 x 3 5/8 x 3 5/8 in",
    "german_nf": "German NF, 240 x 115 x 71 mm",
    "german_df": "German DF, 240 x 115 x 52 mm",
    "german_2df": "German 2DF, 240 x 115 x 113 mm",
    "dutch_waal": "Dutch waal, 210 x 100 x 50 mm",
    "dutch_waaldik": "Dutch thick waal, 210 x 100 x 65 mm",
    "australian": "Australian, 230 x 110 x 76 mm",
    "custom": "Custom",
}
BOND_CHOICES = {
    "stretcher": "Stretcher",
    "header": "Header",
    "english": "English",
    "flemish": "Flemish",
    "english_garden_wall": "English garden wall",
    "flemish_garden_wall": "Flemish garden wall (Sussex)",
    "english_cross": "English cross",
    "dutch": "Dutch",
    "monk": "Monk",
    "common": "American common",
    "stack": "Stack",
    "rat_trap": "Rat-trap",
}
TOP_COURSE_CHOICES = {"adjust gauge": "Adjust the gauge", "cut course": "Cut the top course"}


@dataclass(frozen=True, slots=True)
class KitSettings:
    """The kit as a whole."""

    name: str = setting("Untitled", "Name", "Name of the kit, shown in its parts list. Letters, digits and spaces.")
    scale: str = setting(
        "1:148",
        "Scale",
        "Scale of the model: a ratio (1:148, 1:76.2), millimetres to the foot (4 mm/ft) or a name (N (British), OO).",
    )


@dataclass(frozen=True, slots=True)
class BrickSettings:
    """Bricks, bond and joints."""

    format: str = setting(
        "uk_metric",
        "Brick",
        "Size of the bricks, full size. Pick Custom to give your own length, width, height, joint and gauge.",
        choices=FORMAT_CHOICES,
    )
    custom_length_mm: float = setting(
        215.0,
        "Length",
        "Length of a custom brick, full size, mm. Usual: 190 to 250.",
        minimum=40.0,
        maximum=1000.0,
        unit="mm",
    )
    custom_width_mm: float = setting(
        102.5,
        "Width",
        "Width of a custom brick (its header face), full size, mm. Usual: 90 to 120, two and a joint to a length.",
        minimum=20.0,
        maximum=500.0,
        unit="mm",
    )
    custom_height_mm: float = setting(
        65.0,
        "Height",
        "Height of a custom brick, full size, mm. Usual: 50 to 76.",
        minimum=20.0,
        maximum=500.0,
        unit="mm",
    )
    custom_joint_mm: float = setting(
        10.0,
        "Joint",
        "Width of the upright joints (perpends) of a custom brick, full size, mm. Usual: 8 to 12.",
        minimum=0.0,
        maximum=40.0,
        unit="mm",
    )
    custom_gauge_mm: float = setting(
        75.0,
        "Gauge",
        "Height of one course with its bed joint for a custom brick, full size, mm. Usual: 60 to 86.",
        minimum=20.0,
        maximum=540.0,
        unit="mm",
    )
    bond: str = setting(
        "stretcher",
        "Bond",
        "Pattern the bricks are laid in. Stretcher for cavity walls; English, Flemish and garden wall for solid ones.",
        choices=BOND_CHOICES,
    )
    stretcher_courses: int = setting(
        3,
        "Stretcher courses",
        "Courses of stretchers to each course of headers in English garden wall and common bond. Usual: 3 or 5.",
        minimum=1,
        maximum=9,
    )
    joint_width_mm: float = setting(
        0.0,
        "Joint width",
        "Width of the joints on the model, mm. 0 takes the usual width for the scale: 0.15 at 1:148, 0.20 at 1:76. "
        "It is made a whole number of the printer's pixels.",
        minimum=0.0,
        maximum=2.0,
        unit="mm",
    )
    joint_depth_mm: float = setting(
        0.0,
        "Joint depth",
        "Depth of the joints on the model, mm. 0 takes the usual depth for the scale: 0.12 at 1:148, 0.15 at 1:76. "
        "It is made a whole number of layers.",
        minimum=0.0,
        maximum=2.0,
        unit="mm",
    )
    top_course: str = setting(
        "adjust gauge",
        "Top course",
        "What to do with a wall that is not a whole number of courses: change the gauge a little, or cut the top one.",
        choices=TOP_COURSE_CHOICES,
    )
    perpend_limit_mm: float = setting(
        3.0,
        "Perpend limit",
        "How far each upright joint may be opened or tightened to fit the bond to a wall, full size, mm. Usual: 3.",
        minimum=0.0,
        maximum=10.0,
        unit="mm",
    )
    first_quoin: int = setting(
        0,
        "First quoin",
        "Corner from which the bond goes round the building: 0 is the corner where wall A starts.",
        minimum=0,
        maximum=999,
    )
