"""How fast roofs fall over the walls under their eaves, which what stands out of these walls has to stay below."""

from __future__ import annotations

from math import radians, tan

from halfbat.building.structure import EdgeKind, Structure
from halfbat.settings import Settings


def eaves_falls(structure: Structure, settings: Settings) -> dict[int, float]:
    """Find the falls of roofs that reach out over their walls.

    Parameters
    ----------
    structure : Structure
        Walls and slopes.
    settings : Settings
        The overhang of eaves.

    Returns
    -------
    dict of int to float
        Fall for each millimetre outward, by the index of the wall; none where the roof ends with the wall.
    """
    if settings.roof.eaves_overhang_mm <= 0:
        return {}
    falls: dict[int, float] = {}
    for slope in structure.slopes:
        for edge in slope.edges:
            if edge.kind is EdgeKind.EAVES and edge.wall is not None:
                falls[edge.wall] = max(falls.get(edge.wall, 0.0), tan(radians(slope.pitch_deg)))
    return falls
