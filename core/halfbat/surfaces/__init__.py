"""Units laid on a face: brick formats, bonds, courses and the faces of the bricks."""

from halfbat.surfaces.bonds import BONDS, Bond, get_bond
from halfbat.surfaces.coursing import Coursing, set_courses
from halfbat.surfaces.formats import FORMATS, BrickFormat, custom_format, get_format
from halfbat.surfaces.laying import CoursePattern, End, Laying, lay_wall
from halfbat.surfaces.phases import WallBond, phases_round
from halfbat.surfaces.pieces import Kind
from halfbat.surfaces.quantities import count_units, facing_per_m2
from halfbat.surfaces.rectangles import Lattice, Rectangles, rectangles

__all__ = [
    "BONDS",
    "FORMATS",
    "Bond",
    "BrickFormat",
    "CoursePattern",
    "Coursing",
    "End",
    "Kind",
    "Lattice",
    "Laying",
    "Rectangles",
    "WallBond",
    "count_units",
    "custom_format",
    "facing_per_m2",
    "get_bond",
    "get_format",
    "lay_wall",
    "phases_round",
    "rectangles",
    "set_courses",
]
