from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gabled_plans import settings_of
from halfbat.building.erect import structure_from_mesh
from halfbat.building.structure import EdgeKind
from halfbat.findings import Severity
from halfbat.kit import make_kit
from halfbat.parts.flashings import FLAT_UPSTAND_M, UPSTAND_M, stepped
from halfbat.parts.kit_plan import plan_kit
from halfbat.parts.wall_openings import wall_masonry
from halfbat.printing.snapping import snapped_settings
from halfbat.units import parse_scale
from kit_help import lift_fouls, overlaps, parts_of
from modelled_houses import house_mesh
from roof_solids import block, gabled, mesh_of_solid
from site_samples import box_sites
from solids_help import assert_printable_solid

MASONRY = box_sites().wall("A").masonry
#: What skins and roofs have in common where corners were rounded.
TOUCHING_MM3 = 5e-3


@cache
def kit_of(shape, lead=True, scale="1:76.2", checked=False):
    low = {
        "wing": lambda: gabled(6.99, 0.5, 10.5, 4.5, 2.6, 1.7),
        "flat": lambda: block(6.99, 0.5, 10.0, 4.0, 2.5),
    }[shape]()
    structure = structure_from_mesh(mesh_of_solid(gabled(0, 0, 7, 5, 5.0, 1.8) + low), smallest_face_m=0.5)
    settings = settings_of(kit__scale=scale, roof__lead=lead, mark__make=False)
    return make_kit(structure, settings, checked=checked)


def leads(kit):
    return [
        (plan, dressing) for plan in kit.plan.walls for dressing in plan.facing.dressings if dressing.kind == "flashing"
    ]


@given(st.floats(1.0, 8.0), st.floats(1.0, 15.0), st.floats(0.4, 2.0))
def test_steps_end_in_bed_joints_and_cover_the_upstand(left, right, upstand):
    line = np.array([[5.0, left], [25.0, right]])
    steps = stepped(line, upstand, MASONRY)
    tops = MASONRY.courses[1]
    slack = 3 * MASONRY.joint_u_mm * abs(right - left) / 20.0 + 1e-6
    assert steps and len(steps) <= abs(right - left) / MASONRY.gauge_mm + 2
    for u0, u1, top in steps:
        assert u1 > u0 and np.abs(tops - top).min() < 1e-9
        # Places are on pixels, and a step runs on to a perpend rather than leave a sliver.
        assert top >= max(np.interp([u0, u1], line[:, 0], line[:, 1])) + upstand - slack
    for before, after in pairwise(steps):
        assert after[0] == pytest.approx(before[1]) and (after[2] - before[2]) * (right - left) > 0
    assert min(top for _, _, top in steps) <= min(left, right) + upstand + 4 * MASONRY.gauge_mm


def test_a_gabled_wing_has_lead_up_both_rakes():
    found = leads(kit_of("wing"))
    assert len(found) == 2
    for plan, dressing in found:
        (lead,) = dressing.layers[-1]
        assert len(lead.ring) > 8 and lead.level_mm == 0.0
        tops = bed_tops(plan, kit_of("wing"))
        heights = lead.ring[2:, 1]
        assert all(np.abs(tops - height).min() < 1e-6 for height in heights)


def bed_tops(plan, kit):
    masonry = wall_masonry(plan.facing.laying, plan.facing.joints, snapped_settings(kit.settings)[0], kit.scale)
    return masonry.courses[1]


@pytest.mark.parametrize("shape", ["wing", "flat"])
@pytest.mark.parametrize("scale", ["1:76.2", "1:43.5"])
def test_skins_are_closed_and_the_roof_still_lifts_off(shape, scale):
    kit = kit_of(shape, scale=scale)
    assert leads(kit)
    for part in parts_of(kit, "skin"):
        assert_printable_solid(part.solid, crossings=False)
    assert [found for found in [*overlaps(kit), *lift_fouls(kit)] if found[2] > TOUCHING_MM3] == []


@pytest.mark.parametrize("shape", ["wing", "flat"])
@pytest.mark.parametrize("scale", ["1:148", "1:160", "1:220"])
def test_at_small_scales_it_is_a_plain_strip_that_prints(shape, scale):
    kit, bare = (kit_of(shape, lead=lead, scale=scale, checked=True) for lead in (True, False))
    found = leads(kit)
    assert len(found) == {"wing": 2, "flat": 1}[shape]
    for plan, dressing in found:
        (lead,) = dressing.layers[-1]
        assert len(lead.ring) == 4
        low, high = lead.ring[np.argsort(lead.ring[:, 0], kind="stable")].reshape(2, 2, 2)
        heights = [np.ptp(side[:, 1]) for side in (low, high)]
        upstand = kit.scale.to_mm(UPSTAND_M if shape == "wing" else FLAT_UPSTAND_M)
        assert min(heights) >= upstand
        if shape == "wing":
            slopes = [np.diff(ends, axis=0)[0] for ends in (lead.ring[:2], lead.ring[[3, 2]])]
            assert slopes[0] == pytest.approx(slopes[1])
            assert abs(slopes[0][1]) > 1.0
        else:
            tops = wall_masonry(
                plan.facing.laying, plan.facing.joints, snapped_settings(kit.settings)[0], kit.scale
            ).courses[1]
            assert np.abs(tops - lead.ring[:, 1].max()).min() < 1e-6
    # Nothing is told of the skins that is not told without it: no piece of a brick is left that would not hold.
    told = [{(one.code, one.part) for one in own.findings if one.severity is not Severity.NOTE} for own in (kit, bare)]
    assert told[0] <= told[1]
    for part in parts_of(kit, "skin"):
        assert_printable_solid(part.solid, crossings=False)
    assert [pair for pair in [*overlaps(kit), *lift_fouls(kit)] if pair[2] > TOUCHING_MM3] == []


def test_tiles_have_lead_along_parapets_too():
    structure = structure_from_mesh(house_mesh("stepped parapets"), smallest_face_m=0.5)
    plan = plan_kit(structure, settings_of(kit__scale="1:148"), parse_scale("1:148"))
    for face in plan.roofs:
        met = [edge for edge in face.slope.edges if edge.kind in (EdgeKind.PARAPET, EdgeKind.ABUTMENT)]
        assert len(face.lead_mm) == len(met) > 0


def test_no_check_fails_over_it():
    kit = kit_of("wing", checked=True)
    assert [found for found in kit.findings if found.severity is Severity.FAILURE] == []


def test_over_a_flat_roof_the_band_is_as_high_as_guides_ask():
    kit = kit_of("flat")
    ((plan, dressing),) = leads(kit)
    (lead,) = dressing.layers[-1]
    band = float(np.ptp(lead.ring[:, 1])) / kit.scale.mm_per_m
    # Under the roof's surface it goes on for a little.
    assert FLAT_UPSTAND_M <= band <= FLAT_UPSTAND_M + 0.075 + 0.06
    assert UPSTAND_M == 0.075
    assert plan.facing.dressings[-1] is dressing


def test_without_lead_walls_stay_bare():
    kit = kit_of("wing", lead=False)
    assert leads(kit) == []
    assert replace(kit.settings.roof, lead=True) == kit_of("wing").settings.roof
