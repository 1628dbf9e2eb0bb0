"""On random stepped buildings the bond turns every square outer corner, over whatever height the corner is there."""

import os

import numpy as np
from hypothesis import HealthCheck, assume, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from fitting_samples import meshes
from halfbat.building.erect import structure_from_mesh
from halfbat.building.meetings import meetings
from halfbat.errors import KitError
from halfbat.kit import smallest_face_m
from halfbat.parts.kit_plan import plan_kit
from halfbat.printing.checks.courses import _two_stretchers
from halfbat.surfaces import Kind
from halfbat.units import parse_scale
from kit_help import settings_with
from roof_solids import block, lean_to, mesh_of_solid, union

EXAMPLES = int(os.environ.get("HALFBAT_EXAMPLES", "25"))
#: Courses of a corner that may go wrong, as a share: broken bond in a very short stretch reaches its end.
BONDS = ("stretcher", "english", "flemish", "english_garden_wall", "monk", "dutch")
IN_LINE = st.sampled_from((0.0, 0.6))


@st.composite
def stepped(draw):
    """Blocks of different heights in line, set back, or standing out at a corner, some with lean-tos."""
    length, width = draw(st.floats(4.0, 8.0)), draw(st.floats(4.0, 6.0))
    high = draw(st.floats(3.0, 5.0))
    parts = [block(0, 0, length, width, high)]
    for side in draw(st.lists(st.sampled_from(("right", "left", "back")), min_size=1, max_size=3, unique=True)):
        top = high * draw(st.floats(0.4, 1.4))
        low, up, out = draw(IN_LINE), draw(IN_LINE), draw(st.floats(2.0, 4.0))
        forward = draw(st.sampled_from((0.0, 0.0, -1.5)))
        if side == "back":
            if draw(st.booleans()):
                parts.append(block(low, width - 0.01, length - up, width + out, top))
            else:
                parts.append(
                    lean_to(0, 0, out, length - low - up, min(top, 0.8 * high), 1.8)
                    .rotate((0, 0, 90))
                    .translate((length - up, width - 0.01, 0))
                )
        elif side == "right":
            parts.append(block(length - 0.01, low + forward, length + out, width - up, top))
        else:
            parts.append(block(-out, low + forward, 0.01, width - up, top))
    return mesh_of_solid(union(*parts), draw(st.sampled_from((0.0, 90.0, 23.0))))


def planned(mesh, bond):
    settings = settings_with(kit__scale="1:76.2", brick__bond=bond)
    structure = structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings))
    return plan_kit(structure, settings, parse_scale("1:76.2"))


def faults_at_corners(plan):
    by_index = {wall.wall.index: wall for wall in plan.walls}
    told = []
    for met in meetings([wall.wall for wall in plan.walls]):
        both, courses = _two_stretchers(met, by_index[met.before.wall], by_index[met.after.wall], plan.scale.mm_per_m)
        if both > 0.05 * courses:
            told.append((met.before.wall, met.after.wall, both, courses))
    return told


@given(st.one_of(stepped(), meshes()), st.sampled_from(BONDS))
@examples(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
def test_the_bond_turns_every_corner_there_is(mesh, bond):
    try:
        plan = planned(mesh, bond)
    except KitError:
        assume(False)
    assert faults_at_corners(plan) == []
    for wall in plan.walls:
        laying = wall.facing.laying
        for pattern in laying.patterns:
            assert (np.diff(pattern.bounds_mm) > 0).all()
            assert len(pattern.kinds) == len(pattern.bounds_mm) - 1
            assert pattern.bounds_mm[0] <= laying.gauge_mm
        assert not any((laying.patterns[i].kinds == Kind.VOID).all() for i in set(laying.course_pattern.tolist()))
