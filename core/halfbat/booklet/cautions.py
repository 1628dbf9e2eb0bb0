"""Cautions for makers.

From the published values, section 11: fact sheets on UV resins, a pocket guide on isopropanol, guidance on fumes of
filament printing, and the rules on small parts. Blades, dust and low voltage are common practice.
"""

from __future__ import annotations

AUTHORITIES = (
    "These are reminders, not a full list. The safety data sheets of your suppliers, local rules, and for anything on "
    "the mains a licensed electrician, come before this booklet."
)
CAUTIONS = (
    (
        "Uncured resin",
        "Keep it off the skin: nitrile gloves with long cuffs, not latex, and eye protection. It can cause an "
        "allergy that "
        "stays for life. Wash splashes off with soap and water, not with solvent. Keep it from heat and flame.",
    ),
    (
        "Air",
        "Resin printing and washing give off vapours, and heated filament gives off fine particles: air the room or "
        "draw "
        "the air off where you work.",
    ),
    (
        "Solvents",
        "Isopropanol vapour catches fire at room temperature: no flame, no sparks, lid on. Glue and paint thinners "
        "want "
        "the same care.",
    ),
    (
        "Waste",
        "Nothing with resin in it goes down a drain. Cure resin-wet waste and washings fully, then dispose of them "
        "by your "
        "local rules.",
    ),
    (
        "Blades",
        "Cut away from your hands with a fresh blade, hold the part fast, and cover your eyes when clipping supports.",
    ),
    ("Dust", "Rub down cured resin wet, with a mask and eye protection; wipe the dust up, do not blow it about."),
    (
        "Lamps",
        "Low voltage only: a bought 5 or 12 V direct current supply, fused, one resistor for each lamp or string. No "
        "mains "
        "inside or near the model.",
    ),
    ("Small parts", "Thin skins are brittle and small parts can be swallowed: not for children under three years."),
    ("Heat", "Filament parts can soften from about 60 °C: keep the model off hot windowsills and away from hot lamps."),
)
