"""Units laid on a face: brick formats, bonds, courses and the faces of the bricks."""

from halfbat.surfaces.bonds import BONDS, Bond, get_bond
from halfbat.surfaces.coursing import Coursing, set_courses
from halfbat.surfaces.formats import FORMATS, BrickFormat, custom_format, get_format
from halfbat.surfaces.laying import CoursePattern, End, Laying, lay_wall
from halfbat.surfaces.pieces import Kind
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
    "custom_format",
    "get_bond",
    "get_format",
    "lay_wall",
    "rectangles",
    "set_courses",
]
