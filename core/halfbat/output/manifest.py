"""The manifest ``kit.json``: the whole kit as plain data for other programs.

Lengths end in ``_mm`` (model size) or ``_m`` (full size). A part's size and volume are what it is meant to be when
printed; its file is larger by ``correction`` along X, Y and Z, which makes up for the material. ``place`` is a rigid
4 by 4 matrix, row by row, that takes a part, without that correction, to its place in the building at model size, in
the building's axes. A finding's ``place`` is null or a box at model size: ``of`` a part, along X, Y and Z of that part
before the correction, or of a wall, along it from its left end seen from outside, up from its foot and out of its face.
``sections`` lists the numbers of all parts that are glued together to the one body a part is a section of.

``format_version`` 2 added the findings' places; whoever reads version 1 can read version 2.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import numpy as np

from halfbat import __version__
from halfbat.findings import Finding, Place
from halfbat.output.contents import KitContents
from halfbat.output.plate_files import picture_file, plate_file
from halfbat.parts.part import Material, Part
from halfbat.printing.compensation import correction
from halfbat.printing.plates import Plate, amount_of, plates_for
from halfbat.settings import Settings, group_classes, settings_of, value_of

FORMAT = "halfbat-kit"
FORMAT_VERSION = 2
DECIMALS = 6
"""Digits kept after the point: a nanometre on the model, and the same text on every machine."""
Plain = Any  # JSON's own types have no shorter honest name


def part_file(part: Part) -> str | None:
    """Return the path of a part's file inside the kit's folder, or None for a bought part."""
    return None if part.process == "bought" else f"parts/{part.number}.stl"


def _rounded(values: Any) -> Plain:  # noqa: ANN401 - any array or number
    """Round to plain floats, without minus zero."""
    return (np.round(np.asarray(values, dtype=np.float64), DECIMALS) + 0.0).tolist()


def _part(part: Part, settings: Settings) -> dict[str, Plain]:
    return {
        "number": part.number,
        "name": part.name,
        "kind": part.kind,
        "process": part.process,
        "wall": part.wall,
        "quantity": part.quantity,
        "file": part_file(part),
        "size_mm": _rounded(part.solid.size_mm),
        "volume_mm3": _rounded(part.solid.volume_mm3),
        "triangles": len(part.solid.triangles),
        "correction": _rounded(correction(part, settings)),
        "place": _rounded(part.place),
        "counts": {kind: int(count) for kind, count in sorted(part.counts.items())},
        "notes": list(part.notes),
        "sections": list(part.sections),
    }


def _plate(plate: Plate) -> dict[str, Plain]:
    amount = amount_of(plate)
    return {
        "name": plate.name,
        "process": plate.kind,
        "file": plate_file(plate),
        "picture": picture_file(plate),
        "resin_ml": _rounded(amount.resin_ml),
        "filament_g": _rounded(amount.filament_g),
        "filament_m": _rounded(amount.filament_m),
        "pieces": [
            {
                "number": placed.part.number,
                "x_mm": _rounded(placed.x_mm),
                "y_mm": _rounded(placed.y_mm),
                "turned": placed.turned,
            }
            for placed in plate.placements
        ],
    }


def _material(material: Material) -> dict[str, Plain]:
    return {
        "name": material.name,
        "quantity": _rounded(material.quantity),
        "unit": material.unit,
        "wall": material.wall,
        "notes": list(material.notes),
    }


def _finding(finding: Finding) -> dict[str, Plain]:
    return {
        "severity": str(finding.severity),
        "code": finding.code,
        "part": finding.part,
        "text": finding.text,
        "remedy": finding.remedy,
        "place": None if finding.place is None else _place(finding.place),
    }


def _place(place: Place) -> dict[str, Plain]:
    return {"of": place.of, "low_mm": _rounded(place.low_mm), "high_mm": _rounded(place.high_mm)}


def settings_as_tables(settings: Settings) -> dict[str, Plain]:
    """Return all settings as the tables of a kit file."""
    groups: dict[str, Plain] = {
        group: {record.key: value_of(settings, group, record.key) for record in settings_of(group_class)}
        for group, group_class in group_classes(Settings).items()
    }
    groups["seams"] = [{"wall": item.wall, "at": item.at, "hide": item.hide} for item in settings.seams]
    groups["no_seams"] = [{"wall": item.wall, "start": item.start, "end": item.end} for item in settings.no_seams]
    return groups


def kit_manifest(kit: KitContents, files: Mapping[str, str] | None = None) -> dict[str, Plain]:
    """Return the manifest of a kit.

    Parameters
    ----------
    kit : KitContents
        A made kit.
    files : mapping of str to str, optional
        SHA-256 of every other file of the folder, by its path with forward slashes.

    Returns
    -------
    dict
        JSON's own types only. There is no date in it: the same kit gives the same manifest.
    """
    return {
        "format": FORMAT,
        "format_version": FORMAT_VERSION,
        "made_with": f"halfbat {__version__}",
        "name": kit.name,
        "scale": {"name": kit.scale.name, "ratio": str(kit.scale.ratio), "mm_per_m": _rounded(kit.scale.mm_per_m)},
        "building": {
            "base_m": _rounded(kit.building.base_m),
            "height_m": _rounded(kit.building.height_m),
            "walls": [
                {
                    "letter": wall.letter,
                    "start_m": _rounded(wall.start_m),
                    "end_m": _rounded(wall.end_m),
                    "length_m": _rounded(wall.length_m),
                    "height_m": _rounded(wall.height_m),
                    "corner_deg": _rounded(wall.corner_deg),
                }
                for wall in kit.building.walls
            ],
        },
        "settings": settings_as_tables(kit.settings),
        "parts": [_part(part, kit.settings) for part in kit.parts],
        "materials": [_material(material) for material in kit.materials],
        "plates": [_plate(plate) for plate in plates_for(kit).plates],
        "checks": kit.checks,
        "findings": [_finding(finding) for finding in kit.findings],
        "files": dict(sorted((files or {}).items())),
    }


def manifest_bytes(manifest: Mapping[str, Plain]) -> bytes:
    """Return a manifest as the bytes of ``kit.json``."""
    return (json.dumps(manifest, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()
