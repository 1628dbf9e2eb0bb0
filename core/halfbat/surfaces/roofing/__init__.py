"""Roof coverings and their laying on a slope."""

from halfbat.surfaces.roofing.courses import Courses, count_per_m2, head_lap_m, largest_gauge_m, set_roof_courses
from halfbat.surfaces.roofing.coverings import COVERINGS, SLATES, Covering, Family, chosen_covering, get_covering, slate
from halfbat.surfaces.roofing.face import squared
from halfbat.surfaces.roofing.laid_roof import LaidRoof, PieceKind, RoofLayer
from halfbat.surfaces.roofing.laying import lay_roof
from halfbat.surfaces.roofing.ridges import RidgeRun, ridge_run
from halfbat.surfaces.roofing.steps import RoofSteps, roof_steps

__all__ = [
    "COVERINGS",
    "SLATES",
    "Courses",
    "Covering",
    "Family",
    "LaidRoof",
    "PieceKind",
    "RidgeRun",
    "RoofLayer",
    "RoofSteps",
    "chosen_covering",
    "count_per_m2",
    "get_covering",
    "head_lap_m",
    "largest_gauge_m",
    "lay_roof",
    "ridge_run",
    "roof_steps",
    "set_roof_courses",
    "slate",
    "squared",
]
