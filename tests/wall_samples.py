"""Walls laid in brick, ready to be cut."""

from halfbat.parts.seams import WallRun
from halfbat.surfaces import Lattice, get_bond, get_format, lay_wall, set_courses
from halfbat.units import parse_scale


def wall_run(
    length_m=13.3,
    height_m=3.4,
    *,
    bond="stretcher",
    scale="1:148",
    brick="uk_metric",
    pixel=0.05,
    origin=0.0,
    joint_px=3,
    extras=(0.0, 0.0),
):
    """A wall called A, with joints a few pixels wide."""
    ratio, kind, size = parse_scale(scale), get_bond(bond, stretcher_courses=3), get_format(brick)
    courses = set_courses(ratio.to_mm(height_m), kind, size, ratio)
    return WallRun(
        "wall A",
        lay_wall(ratio.to_mm(length_m), courses, kind, size, ratio),
        ratio.to_mm(size.stretcher_module_m),
        joint_px * pixel,
        Lattice(origin, pixel),
        Lattice(origin, pixel),
        *extras,
    )
