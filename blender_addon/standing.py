"""Where the parts of a kit are seen: put together, drawn apart, or laid out on their plates.

Only delta transforms say so. A part's own place and its mesh stay as they were made, so what is exported and how parts
fit does not depend on how they are looked at. This is called by properties as they change, so it knows no other module.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from bpy.types import Object
from mathutils import Matrix, Vector

ASSEMBLED, EXPLODED, PLATES = "ASSEMBLED", "EXPLODED", "PLATES"
LOOK_ITEMS = [
    (ASSEMBLED, "Assembled", "Every part in its place"),
    (EXPLODED, "Exploded", "Parts drawn apart along the way they are put on, as far as the slider says"),
    (PLATES, "Plates", "Parts as they lie on their plates, before the building"),
]


def apply_look(building: Object) -> None:
    """Put the parts where they are to be seen."""
    data: Any = building.halfbat  # type: ignore[attr-defined]
    collection = data.collection
    if collection is None or collection.halfbat_kit.building != building:
        return
    for item in collection.objects:
        if item.halfbat_part.number:
            stand(item, data.look, data.explode)


def stand(item: Object, look: str, explode: float) -> None:
    """Put one part where it is to be seen, by its delta transforms alone.

    Parameters
    ----------
    item : Object
        A part.
    look : str
        `ASSEMBLED`, `EXPLODED` or `PLATES`.
    explode : float
        Share of the way apart.
    """
    data: Any = item.halfbat_part  # type: ignore[attr-defined]
    to_units = item.scale[0]
    shift, turn = Vector((0.0, 0.0, 0.0)), Matrix.Identity(3)
    if look == EXPLODED:
        shift = Vector(data.apart_mm) * (explode * to_units)
    elif look == PLATES and any(data.plate_mm):
        plate = Matrix(np.array(data.plate_mm).reshape(4, 4).tolist())
        shift = plate.translation * to_units - item.location
        turn = plate.to_3x3() @ item.rotation_euler.to_matrix().inverted()
    turned = turn.to_euler()
    if (item.delta_location - shift).length > 1e-6:
        item.delta_location = shift
    if not np.allclose(np.array(item.delta_rotation_euler), np.array(turned), atol=1e-6):
        item.delta_rotation_euler = turned
