"""The parts list as a table for spreadsheets: every part and everything to buy, with total quantities."""

from __future__ import annotations

import csv
import io

from halfbat.output.contents import KitContents
from halfbat.output.manifest import part_file
from halfbat.parts.part import Material, Part

COLUMNS = (
    "number",
    "name",
    "kind",
    "wall",
    "quantity",
    "unit",
    "process",
    "file",
    "size_x_mm",
    "size_y_mm",
    "size_z_mm",
    "volume_mm3",
    "notes",
)
COUNT_PREFIX = "bricks: "


def _part_row(part: Part) -> dict[str, str]:
    x, y, z = part.solid.size_mm
    return {
        "number": part.number,
        "name": part.name,
        "kind": part.kind,
        "wall": part.wall or "",
        "quantity": str(part.quantity),
        "unit": "pieces",
        "process": part.process,
        "file": part_file(part) or "",
        "size_x_mm": f"{x:.2f}",
        "size_y_mm": f"{y:.2f}",
        "size_z_mm": f"{z:.2f}",
        "volume_mm3": f"{part.solid.volume_mm3:.1f}",
        "notes": " ".join(part.notes),
        **{COUNT_PREFIX + kind: str(count) for kind, count in part.counts.items()},
    }


def _material_row(material: Material) -> dict[str, str]:
    return {
        "name": material.name,
        "kind": "material",
        "wall": material.wall or "",
        "quantity": f"{material.quantity:.1f}".removesuffix(".0"),
        "unit": material.unit,
        "process": "bought",
        "notes": " ".join(material.notes),
    }


def parts_list_csv(kit: KitContents) -> bytes:
    """Return ``parts-list.csv`` as bytes in UTF-8.

    Quantities are what the whole kit needs. Size, volume and the counts of facing bricks (one column for each kind of
    brick in the kit) are of one piece.
    """
    kinds = sorted({kind for part in kit.parts for kind in part.counts})
    text = io.StringIO()
    table = csv.DictWriter(text, [*COLUMNS, *(COUNT_PREFIX + kind for kind in kinds)], restval="")
    table.writeheader()
    table.writerows(_part_row(part) for part in kit.parts)
    table.writerows(_material_row(material) for material in kit.materials)
    return text.getvalue().encode()
