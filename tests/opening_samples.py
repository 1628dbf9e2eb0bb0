"""Walls ready for openings, and judges of what is let into them."""

import numpy as np
import shapely

from halfbat.surfaces import Lattice, get_bond, get_format, lay_wall, rectangles, set_courses
from halfbat.surfaces.jambs import JambRules, laying_with_openings
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.openings import OpeningSpec
from halfbat.units import parse_scale

HEADS = ("lintel", "soldier course", "flat arch", "segmental arch", "semicircular arch", "circular")
JOINT_MM = {"1:148": 0.15, "1:76.2": 0.20, "1:43.5": 0.30}


def masonry(length_m=3.365, height_m=2.4, *, bond="stretcher", scale="1:76.2", brick="uk_metric", pixel=0.05):
    ratio, kind, size = parse_scale(scale), get_bond(bond, 3), get_format(brick)
    courses = set_courses(ratio.to_mm(height_m), kind, size, ratio)
    laying = lay_wall(ratio.to_mm(length_m), courses, kind, size, ratio)
    joint, lattice = JOINT_MM[scale], Lattice(0.0, pixel)
    return Masonry(laying, size, ratio, kind.bed_joint_m(size), joint, joint, lattice, lattice)


def spec(wall, left=1.125, foot=0.6, width=0.91, height=1.2, *, rise=None, **choices):
    """An opening given at full size, metres."""
    head = choices.get("head", "lintel")
    usual = {"segmental arch": width / 6, "semicircular arch": width / 2, "circular": width / 2}.get(head, 0.0)
    if head == "circular":
        height = width
    mm = wall.mm
    rise_mm = mm(usual if rise is None else rise)
    return OpeningSpec(mm(left), mm(foot), mm(width), mm(height), rise_mm=rise_mm, where="opening 1", **choices)


def laid(wall, openings, bond="stretcher", **rules):
    """The wall's courses round the openings, and its bricks as printed."""
    laying = laying_with_openings(wall, openings, JambRules(get_bond(bond, 3), **rules))
    return laying, rectangles(laying, wall.joint_u_mm, wall.joint_v_mm, wall.lattice_u, wall.lattice_v)


def polygon(ring):
    return shapely.Polygon(ring)


def boxes(bricks):
    return [shapely.box(*corners) for corners in bricks.corners]


def twice_area(ring):
    after = np.roll(ring, -1, axis=0)
    return float((ring[:, 0] * after[:, 1] - ring[:, 1] * after[:, 0]).sum())
