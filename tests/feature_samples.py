"""Walls with features and finishes, as skins and as pieces."""

import numpy as np

from halfbat.building import mesh_from_box
from halfbat.building.erect import structure_from_mesh
from halfbat.parts.kit_plan import plan_kit
from halfbat.parts.skins import build_panel
from halfbat.settings import BrickSettings, FeatureRequest, FinishRequest, Settings
from halfbat.surfaces import get_bond
from halfbat.surfaces.features import FeatureSite, feature_units
from halfbat.surfaces.finishes import finish_units
from halfbat.surfaces.jambs import JambRules
from halfbat.surfaces.openings import openings_of
from halfbat.units import parse_scale
from opening_samples import masonry, spec

DEPTH_MM = 0.15


def site(length_m=6.74, height_m=3.6, *, scale="1:76.2", openings=(), gable_m=0.0, **more):
    """One wall of bricks; a gable rises from its height."""
    wall = masonry(length_m, height_m + gable_m, scale=scale)
    length, height = wall.laying.length_mm, wall.mm(height_m)
    outline = [[0, 0], [length, 0], [length, height], [0, height]]
    if gable_m:
        outline.insert(3, [length / 2, wall.mm(height_m + gable_m)])
    holes = openings_of([spec(wall, **opening) for opening in openings], wall)
    rules = JambRules(get_bond("stretcher", 3), where="wall A")
    return FeatureSite(wall, rules, BrickSettings(), np.array(outline), DEPTH_MM, openings=holes, **more)


def feature(kind, wall=None, **keys):
    """One feature on a wall."""
    return feature_units(FeatureRequest("A", kind, **keys), wall or site())


def finish(kind, wall=None, **keys):
    """One finish on a wall."""
    return finish_units(FinishRequest("A", kind, **keys), wall or site())


def full_mm(wall, length_mm):
    """A model length at full size, millimetres."""
    return length_mm / wall.masonry.scale.mm_per_m * 1000


def size(unit):
    """Width and height of a piece, model size."""
    return np.ptp(unit.ring, axis=0)


def planned(settings, box_m=(4.49, 3.365, 2.7)):
    """A box of a building, planned."""
    mesh = mesh_from_box(*box_m)
    return plan_kit(structure_from_mesh(mesh, smallest_face_m=0.03), settings, parse_scale(settings.kit.scale))


def skins(settings, box_m=(4.49, 3.365, 2.7), walls=("A",)):
    """Skin panels of some walls of a box."""
    plan = planned(settings, box_m)
    return [
        build_panel(wall.facing, cell, settings, f"W{wall.wall.letter}{cell.index}")
        for wall in plan.walls
        if wall.wall.letter in walls
        for cell in wall.seams.panels
    ]


def with_all(features=(), finishes=(), **more):
    """Settings with features and finishes."""
    return Settings(features=tuple(features), finishes=tuple(finishes), **more)
