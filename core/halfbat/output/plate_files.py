"""Files for the printers: one 3MF and one picture for each plate, and one 3MF of the whole kit as it stands."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from halfbat.output.contents import KitContents
from halfbat.output.plate_pictures import plate_svg
from halfbat.output.threemf import BuildItem, threemf_bytes
from halfbat.printing.compensation import written_solid
from halfbat.printing.plates import Plate, Plates
from halfbat.settings import Settings
from halfbat.solids.solid import Solid

FOLDER = "plates"
WHOLE_KIT = "kit.model.3mf"


def plate_file(plate: Plate) -> str:
    """Return the path of a plate's 3MF inside the kit's folder."""
    return f"{FOLDER}/{plate.name}.build.3mf"


def picture_file(plate: Plate) -> str:
    """Return the path of a plate's picture inside the kit's folder."""
    return f"{FOLDER}/{plate.name}.svg"


def plate_3mf(plate: Plate, settings: Settings, title: str) -> bytes:
    """Return a plate as 3MF: every piece corrected for its material and lying where it is to be printed."""
    solids: dict[str, Solid] = {}
    items = []
    for placed in plate.placements:
        part = placed.part
        solid = solids.setdefault(part.number, written_solid(part, settings))
        items.append(BuildItem(part.number, part.name, solid, _lifted(placed.matrix, solid)))
    return threemf_bytes(f"{title}, plate {plate.name}", items)


def _lifted(
    matrix: np.ndarray[tuple[int, ...], np.dtype[np.float64]], solid: Solid
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Stand a body on the plate, also where rounding left it a hair below."""
    lifted = matrix.copy()
    lifted[2, 3] -= float(solid.bounds_mm[0, 2])
    return lifted


def kit_3mf(kit: KitContents) -> bytes:
    """Return the whole kit as 3MF, put together, at its nominal size."""
    printed = [part for part in kit.parts if part.process != "bought"]
    low = np.full(3, np.inf)
    for part in printed:
        there = part.solid.vertices @ part.place[:3, :3].T + part.place[:3, 3]
        low = np.minimum(low, there.min(axis=0))
    items = []
    for part in printed:
        matrix = part.place.copy()
        matrix[:3, 3] -= low
        items.append(BuildItem(part.number, part.name, part.solid, matrix))
    return threemf_bytes(kit.name, items)


def plate_files(kit: KitContents, plates: Plates) -> Iterator[tuple[str, bytes]]:
    """Yield path and content of every file in the kit's folder of plates."""
    if any(part.process != "bought" for part in kit.parts):
        yield f"{FOLDER}/{WHOLE_KIT}", kit_3mf(kit)
    for plate in plates.plates:
        yield plate_file(plate), plate_3mf(plate, kit.settings, kit.name)
        yield picture_file(plate), plate_svg(plate, kit.name)
