"""Stones in a row, with joints between them."""

from __future__ import annotations

from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.opening_units import Unit, box, spread


def row_of_stones(
    site: FeatureSite,
    stretch_mm: tuple[float, float],
    heights_mm: tuple[float, float],
    usual_m: float,
    kind: str,
    level_mm: float,
) -> tuple[Unit, ...]:
    """Divide a stretch of wall into equal stones that end at its ends without a joint.

    Parameters
    ----------
    site : FeatureSite
        The wall.
    stretch_mm, heights_mm : tuple of float
        From where to where along and up the wall.
    usual_m : float
        Length of a stone, full size.
    kind : str
        What a stone is called.
    level_mm : float
        Of their faces.
    """
    masonry = site.masonry
    joint, (u0, u1), (v0, v1) = masonry.joint_u_mm, stretch_mm, heights_mm
    most = int((u1 - u0 + joint) / (joint + 2 * masonry.least_mm))
    count = max(1, min(most, round((u1 - u0) / masonry.mm(usual_m))))
    lattice = masonry.lattice_u.origin_mm, masonry.lattice_u.pitch_mm
    edges = spread(u0 - joint, u1 + joint, count, joint, lattice)
    return tuple(Unit(box(a, v0, b, v1), kind, level_mm) for a, b in edges)
