"""Features of different projection on two walls that meet: no open slot at the corner, and nothing in two places."""

import os
from dataclasses import replace
from itertools import pairwise

import numpy as np
from hypothesis import HealthCheck, Phase, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from halfbat.building.plain import structure_from_building
from halfbat.errors import KitError
from halfbat.parts.kit_plan import plan_kit
from halfbat.parts.part import Part
from halfbat.parts.proud_ends import LEAST_SHARE, STEEPEST
from halfbat.parts.skins import build_panel
from halfbat.printing.sections import section
from halfbat.settings import FeatureRequest, FinishRequest
from halfbat.units import parse_scale
from kit_help import building_of, common_mm3, manifold, settings_with
from solids_help import assert_printable_solid

#: How far behind the corner line the end of a rebated skin may stand.
RELIEF_MM = 0.25
EXAMPLES = int(os.environ.get("HALFBAT_EXAMPLES", "10"))

PLANS = {
    "square": [[0, 0], [6, 0], [6, 4], [0, 4]],
    "inner": [[0, 0], [6, 0], [6, 6], [3, 6], [3, 3], [0, 3]],
    "blunt": [[0, 0], [5, 0], [7.12132034, 2.12132034], [7.12132034, 5], [0, 5]],
    "hexagon": [[2, 0], [5, 0], [6.5, 2.59807621], [5, 5.19615242], [2, 5.19615242], [0.5, 2.59807621]],
}
PROUD = {
    "plinth": {"height": "6 courses", "top": "square"},
    "string course": {"bottom": "12 courses", "height": "3 courses"},
    "quoins": {},
    "corbelled eaves": {"courses": 2},
    "coping": {},
}
KINDS = st.sampled_from(sorted(PROUD))
OUT = st.sampled_from(["", "30 mm", "60 mm", "90 mm"])


@st.composite
def dressings(draw):
    """Features for all walls and for single ones, of different projections."""
    found = []
    for letter in draw(
        st.lists(st.sampled_from(["A", "B", "C", "D", "E", "all"]), min_size=1, max_size=4, unique=True)
    ):
        kind = draw(KINDS)
        keys = dict(PROUD[kind])
        if kind in ("string course", "coping", "quoins"):
            keys["material"] = draw(st.sampled_from(["brick", "stone"]))
        found.append(FeatureRequest(letter, kind, projection=draw(OUT), **keys))
    return found


def built(plan_name, features, finishes):
    """Panels of all walls, each as a part that stands in the building; seams are of no interest here."""
    settings = settings_with(kit__scale="1:76.2", mark__make=False, skin__base_thickness_mm=1.2, seam__hide="toothed")
    walls = PLANS[plan_name]
    letters = "ABCDEF"[: len(walls)]
    kept = tuple(one for one in features if one.wall == "all" or one.wall in letters)
    settings = replace(settings, features=kept, finishes=tuple(one for one in finishes if one.wall in letters))
    building = building_of(walls, 2.4)
    plan = plan_kit(structure_from_building(building), settings, parse_scale("1:76.2"))
    parts = []
    for wall in plan.walls:
        for cell in wall.seams.panels:
            number = f"W{wall.wall.letter}{cell.index}"
            panel = build_panel(wall.facing, cell, settings, number)
            parts.append(Part(number, "", "skin", "resin", panel.solid, panel.place, wall=wall.wall.letter))
    return plan, parts


@given(st.sampled_from(sorted(PLANS)), dressings(), st.booleans())
@examples(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    derandomize=True,
    phases=(Phase.explicit, Phase.generate),
)
def test_nothing_stands_in_two_places(plan_name, features, boarded):
    finishes = [FinishRequest("B", "weatherboard", bottom="0.8 m")] if boarded else []
    try:
        _, parts = built(plan_name, features, finishes)
    except KitError as refused:
        assert refused.remedy
        return
    for part in parts:
        assert_printable_solid(part.solid)
    bodies = {part.number: manifold(part) for part in parts}
    shared = [(a, b, common_mm3(bodies[a], bodies[b])) for a in bodies for b in bodies if a < b]
    assert [pair for pair in shared if pair[2] > 2e-3] == []


def ends_of(wall, right):
    """What stands proud at an end of a wall, as it was ended."""
    leans = [lean for lean in wall.facing.face.leans if (lean.end[1] > lean.start[1]) is right]
    return leans[0].above if leans else ()


def tip_mm(parts, wall, right, height, out):
    """Where the outer edge of what stands so far out is in plan, at one end of a wall and one height."""
    facing = wall.facing
    for part in (part for part in parts if part.wall == wall.wall.letter):
        up = height - part.place[2, 3]
        low, high = part.solid.bounds_mm[:, 1]
        if low + 0.05 < up < high - 0.05:
            cut = section(part.solid, up, axis=1)
            points = np.concatenate([cut[:, :2], cut[:, 2:]])
            face = points[np.abs(points[:, 0] - facing.depth_mm - out) < 1e-3]
            if len(face):
                x = face[:, 1].max() if right else face[:, 1].min()
                return (part.place @ [x, up, facing.depth_mm + out, 1.0])[:2]
    return None


def short_mm(out, other, corner_deg):
    """How far the shallow one of two stays short of the other, so that its end is not too steep to print."""
    low, high, angle = min(out, other), max(out, other), np.radians(corner_deg)
    return max(0.0, (high + low * np.cos(angle)) / np.sin(angle) + RELIEF_MM - STEEPEST * low)


@given(st.sampled_from(["square", "blunt", "hexagon"]), dressings())
@examples(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    derandomize=True,
    phases=(Phase.explicit, Phase.generate),
)
def test_no_slot_is_left_at_an_outer_corner(plan_name, features):
    plan, parts = built(plan_name, features, [])
    looked = 0
    for wall, after in pairwise([*plan.walls, plan.walls[0]]):
        for own in ends_of(wall, True):
            for other in ends_of(after, False):
                low, high = max(own.low_mm, other.low_mm), min(own.high_mm, other.high_mm, wall.facing.laying.height_mm)
                if high - low < 0.2 or min(own.out_mm, other.out_mm) < LEAST_SHARE * max(own.out_mm, other.out_mm):
                    continue
                ratio = min(own.out_mm, other.out_mm) / max(own.out_mm, other.out_mm)
                if ratio < -np.cos(np.radians(wall.wall.corner_deg)):
                    # The one that stands out far ends square beside the other.
                    continue
                # Some of these heights are in bed joints.
                for height in low + (high - low) * np.array([0.31, 0.43, 0.5, 0.62, 0.77]):
                    tips = [
                        tip_mm(parts, wall, True, float(height), own.out_mm),
                        tip_mm(parts, after, False, float(height), other.out_mm),
                    ]
                    if tips[0] is not None and tips[1] is not None:
                        looked += 1
                        gap = np.hypot(*(tips[0] - tips[1]))
                        short = short_mm(own.out_mm, other.out_mm, wall.wall.corner_deg)
                        assert gap < 0.1 / np.sin(np.radians(wall.wall.corner_deg) / 2) + 0.05 + short
    assert looked or not any(one.wall == "all" for one in features)
