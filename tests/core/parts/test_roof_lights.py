from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import settings_of, structure_of
from halfbat.building.plain import structure_from_building
from halfbat.errors import KitError
from halfbat.findings import Severity
from halfbat.kit import make_kit
from halfbat.parts.roof_light_sites import APRON_M, COVER_FLASHING_M, SOAKED_M
from halfbat.settings import ChimneyRequest, RoofLightRequest
from halfbat.solids.verify import faults
from kit_help import building_of, lift_fouls, mesh, overlaps, parts_of, placed
from solids_help import assert_printable_solid

SCALE = 76.2
ONE = RoofLightRequest("A", "3 m")
#: What a gable kit has in common at its hips is told by other tests.
TOUCHING_MM3 = 1e-4


def kit_with(*lights, structure=None, checked=False, chimneys=(), **values):
    settings = replace(
        settings_of(**{"kit__scale": "1:76.2", "mark__make": False, **values}), roof_lights=lights, chimneys=chimneys
    )
    return make_kit(structure or structure_of("gable"), settings, checked=checked)


def flat_kit(*lights, **values):
    return kit_with(*lights, structure=structure_from_building(building_of([(0, 0), (9, 0), (9, 5), (0, 5)])), **values)


@pytest.mark.parametrize(
    ("scale", "style"),
    [("1:76.2", "cast iron"), ("1:148", "patent glazing"), ("1:43.5", "modern"), ("1:148", "cast iron")],
)
def test_closed_bodies_that_overlap_nothing_and_pass_their_checks(scale, style):
    kit = kit_with(replace(ONE, style=style, count=2), checked=True, kit__scale=scale)
    lights = parts_of(kit, "roof light")
    assert [light.number for light in lights] == ["GA1", "GA2"]
    for part in lights:
        assert_printable_solid(part.solid)
    for kind in ("roof skin", "former"):
        for part in parts_of(kit, kind):
            assert_printable_solid(part.solid, crossings=False)
    numbers = {light.number for light in lights}
    assert not [found for found in overlaps(kit) if numbers & set(found[:2])]
    assert lift_fouls(kit) == []
    told = [(f.code, f.part) for f in kit.findings if f.part[:1] in ("G", "F") and f.severity is not Severity.NOTE]
    assert told == []


def test_it_stands_where_it_is_asked_to():
    (light,) = parts_of(kit_with(replace(ONE, up="1 m", width="0.8 m", height="1 m")), "roof light")
    corners = placed(light)
    pitch = np.arctan2(1.5, 2.5)
    np.testing.assert_allclose([corners[:, 0].min(), corners[:, 0].max()], np.array([2600, 3400]) / SCALE, atol=2e-3)
    # Its foot is a metre up the slope from the wall.
    up = corners @ np.array([0.0, np.cos(pitch), np.sin(pitch)]) - 2400 / SCALE * np.sin(pitch)
    np.testing.assert_allclose([up.min(), up.max()], np.array([1000, 2000]) / SCALE, atol=2e-3)


def test_an_overhang_does_not_move_it():
    flush, overhung = (
        parts_of(kit_with(ONE, roof__eaves_overhang_mm=eaves, roof__verge_overhang_mm=eaves / 2), "roof light")[0]
        for eaves in (0.0, 300.0)
    )
    np.testing.assert_allclose(placed(flush).min(axis=0), placed(overhung).min(axis=0), atol=2e-3)


def test_courses_of_the_covering_are_counted_and_a_smooth_roof_has_none():
    kit = kit_with(replace(ONE, up="4 courses"))
    gauge = kit.plan.roofs[0].courses.gauge_mm
    assert kit.plan.lights[0].low_mm[1] == pytest.approx(4 * gauge, abs=1e-6)
    with pytest.raises(KitError, match="no courses to count"):
        kit_with(replace(ONE, up="4 courses"), roof__covering="none")


def test_light_falls_through_the_roof_or_there_is_a_recess():
    through = kit_with(replace(ONE, up="1.2 m"))
    spot = placed(parts_of(through, "roof light")[0]).mean(axis=0)
    former = mesh(parts_of(through, "former")[0]).apply_transform(parts_of(through, "former")[0].place)
    assert former.euler_number == 0  # one opening through a body makes it a ring
    assert not former.contains([[spot[0], spot[1], former.bounds[1, 2] - 15.0]])[0]
    at_eaves = kit_with(replace(ONE, up="0.25 m"))
    assert mesh(parts_of(at_eaves, "former")[0]).euler_number == 2
    solid = kit_with(replace(ONE, up="1.2 m", glazing="solid"))
    assert mesh(parts_of(solid, "former")[0]).euler_number == 2
    assert mesh(parts_of(solid, "roof light")[0]).euler_number == 2


def test_panes_are_as_many_as_asked_and_bars_hold():
    for panes, holes in (("", 2), ("3x2", 6), ("12x12", None)):
        (part,) = parts_of(kit_with(replace(ONE, panes=panes)), "roof light")
        found = (2 - mesh(part).euler_number) // 2
        assert found == holes if holes else 6 <= found < 144


def test_slates_are_counted_without_those_it_takes_the_place_of():
    count = sum(sum(part.counts.values()) for part in parts_of(kit_with(), "roof skin"))
    with_lights = kit_with(replace(ONE, count=2, width="1 m", height="1.2 m", spacing="2 m"))
    fewer = sum(sum(part.counts.values()) for part in parts_of(with_lights, "roof skin"))
    # 500 x 250 slates at a gauge of 210 mm or less: at least 19 to the square metre.
    assert count - fewer >= 2 * 1.2 * 19 - 24


@pytest.mark.parametrize(("covering", "side_m"), [("slate", SOAKED_M), ("pantile", COVER_FLASHING_M)])
def test_lead_reaches_over_the_tiles_as_leadworkers_lay_it(covering, side_m):
    kit = kit_with(ONE, roof__covering=covering)
    (light,) = kit.plan.lights
    lead = light.lead(kit.settings, kit.scale)
    assert light.low_mm[1] - lead[:, 1].min() == pytest.approx(APRON_M * 1000 / SCALE)
    assert light.low_mm[0] - lead[:, 0].min() == pytest.approx(side_m * 1000 / SCALE)


def test_cuts_of_the_skin_go_round_it():
    kit = kit_with(replace(ONE, at="4 m"), seam__panel_limit_mm=60.0)
    assert len([part for part in parts_of(kit, "roof skin") if part.number.startswith("RA")]) == 2
    (light,) = kit.plan.lights
    overlap = [found for found in overlaps(kit) if "GA1" in found[:2]]
    assert overlap == []
    rings = [placed(part)[:, 0] for part in parts_of(kit, "roof skin") if part.number.startswith("RA")]
    seam = max(min(ring) for ring in rings)
    origin = light.slope.origin_m[0] * kit.scale.mm_per_m
    assert not light.low_mm[0] + origin < seam < light.high_mm[0] + origin


def test_a_row_across_the_only_places_for_a_cut_is_refused():
    with pytest.raises(KitError, match="would have to be parted where it stands"):
        kit_with(replace(ONE, at="4 m", width="5 m"), seam__panel_limit_mm=60.0)


@pytest.mark.parametrize(
    ("lights", "says"),
    [
        ([replace(ONE, slope="Z")], "name one of the slopes A, B"),
        ([replace(ONE, at="20 m")], "does not lie wholly on slope A"),
        ([replace(ONE, at="0.32 m")], "too near an edge"),
        ([replace(ONE, up="1.88 m")], "ridge or hip tiles"),
        ([ONE, replace(ONE, at="3.3 m")], "it stands in roof light 1, or too near it"),
        ([replace(ONE, count=2, spacing="0.6 m")], "larger spacing"),
        ([replace(ONE, width="50 mm")], "too small for a frame"),
        ([replace(ONE, width="much")], "roof light 1"),
    ],
)
def test_refusals(lights, says):
    with pytest.raises(KitError) as caught:
        kit_with(*lights)
    assert says in str(caught.value)


def test_over_the_eaves_and_in_a_chimney_there_is_no_room():
    with pytest.raises(KitError, match=r"reaches out over a wall|too near an edge"):
        kit_with(replace(ONE, up="0 m"), roof__eaves_overhang_mm=600.0)
    with pytest.raises(KitError, match="stands in a chimney"):
        kit_with(ONE, chimneys=(ChimneyRequest("A", "3 m", behind="1.3 m"),))


def test_on_a_flat_roof_a_kerb_stands_on_the_lid():
    kit = flat_kit(replace(ONE, style="modern", count=3, spacing="2 m", up="1.5 m"))
    lights = parts_of(kit, "roof light")
    assert len(lights) == 3 and [part for part in kit.parts if faults(part.solid)] == []
    assert overlaps(kit) == [] and lift_fouls(kit) == []
    (lid,) = parts_of(kit, "lid")
    top = placed(lid)[:, 2].max()
    assert min(placed(light)[:, 2].min() for light in lights) == pytest.approx(top, abs=2e-3)
    assert mesh(lid).euler_number == 2 - 2 * 3
    with pytest.raises(KitError, match="within the walls"):
        flat_kit(replace(ONE, at="0.2 m"))


def test_a_solid_one_carries_its_number_and_an_open_one_a_tab():
    solid, opened = (
        parts_of(kit_with(replace(ONE, glazing=glazing, width="1.2 m", height="1.4 m"), mark__make=True), "roof light")
        for glazing in ("solid", "open")
    )
    assert solid[0].notes == () and "tab" in opened[0].notes[0]
    assert opened[0].solid.size_mm[1] > solid[0].solid.size_mm[1] + 2


@pytest.mark.parametrize(
    ("scale", "style", "covering"), [("1:43.5", "modern", "slate"), ("1:148", "patent glazing", "pantile")]
)
def test_the_skin_round_it_is_neither_a_cup_nor_a_thin_plate(scale, style, covering):
    kit = kit_with(replace(ONE, style=style), checked=True, kit__scale=scale, roof__covering=covering)
    told = {(found.code, found.part) for found in kit.findings if found.severity is Severity.FAILURE}
    assert not {(code, part) for code, part in told if part.startswith("R") and code in ("cup", "plate-thin")}
