"""The choices of version 1 in their order, for version 1 stored the place of a choice and not the choice itself.

Never changed again: it says how files of that version are to be read.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

CHOICES: Mapping[tuple[str, str], tuple[str, ...]] = MappingProxyType(
    {
        ("brick", "format"): (
            "uk_metric",
            "uk_metric_73",
            "uk_imperial",
            "us_modular",
            "us_engineer_modular",
            "us_closure_modular",
            "us_standard",
            "us_engineer_standard",
            "us_closure_standard",
            "us_roman",
            "us_norman",
            "us_engineer_norman",
            "us_utility",
            "german_nf",
            "german_df",
            "german_2df",
            "dutch_waal",
            "dutch_waaldik",
            "australian",
            "custom",
        ),
        ("brick", "bond"): (
            "stretcher",
            "header",
            "english",
            "flemish",
            "english_garden_wall",
            "flemish_garden_wall",
            "english_cross",
            "dutch",
            "monk",
            "common",
            "stack",
            "rat_trap",
        ),
        ("brick", "top_course"): (
            "adjust gauge",
            "cut course",
        ),
        ("seam", "hide"): (
            "cable run",
            "toothed",
            "movement joint",
        ),
        ("seam", "cover_made_as"): (
            "printed",
            "wire",
        ),
        ("roof", "covering"): (
            "plain tile",
            "slate",
            "biberschwanz",
            "pantile",
            "interlocking tile",
            "flat interlocking tile",
            "fibre cement profile 6",
            "fibre cement profile 3",
            "corrugated steel",
            "standing seam",
            "felt",
            "none",
        ),
        ("roof", "slate_size"): (
            "600 x 300",
            "500 x 250",
            "400 x 250",
            "400 x 200",
            "300 x 200",
            "princess",
            "duchess",
            "small duchess",
            "marchioness",
            "wide countess",
            "countess",
            "wide viscountess",
            "viscountess",
            "wide lady",
            "lady",
            "us 24 x 12",
            "us 20 x 10",
            "us 16 x 8",
            "us 12 x 8",
        ),
        ("roof", "ridge"): (
            "half round",
            "angle",
            "none",
        ),
        ("orientation", "skin"): (
            "by rule",
            "upside down",
            "on long edge",
            "on short edge",
        ),
        ("orientation", "cover"): (
            "by rule",
            "upside down",
            "on long edge",
            "on short edge",
        ),
        ("orientation", "shell"): (
            "by rule",
            "upside down",
            "on long edge",
            "on short edge",
        ),
        ("orientation", "lid"): (
            "by rule",
            "upside down",
            "on long edge",
            "on short edge",
        ),
        ("resin", "preset"): (
            "resin 0.019 x 0.024 mm",
            "resin 0.022 mm",
            "resin 0.0285 mm",
            "resin 0.035 mm",
            "resin 0.05 mm",
        ),
        ("filament", "preset"): ("filament 0.4 mm",),
    }
)
DEFAULTS: Mapping[tuple[str, str], str] = MappingProxyType(
    {
        ("roof", "covering"): "slate",
        ("roof", "slate_size"): "500 x 250",
        ("resin", "preset"): "resin 0.05 mm",
    }
)
"""What stood there until the maker chose, where it was not the first."""
SEAM_HIDE = ("as set", "cable run", "toothed", "movement joint")
