import numpy as np
import pytest
import shapely

from gabled_plans import kit_of_shape, plan_of
from halfbat.parts.former import SETTLED_MM, build_former, with_meetings
from halfbat.parts.former_underside import INTO_RIB_MM, PAD_RIM_MM, pad_of
from halfbat.parts.marks import Room
from halfbat.parts.part import Part
from halfbat.printing.checks.first_layers import check_fine_features
from halfbat.printing.checks.marks import check_reading
from halfbat.printing.checks.overhangs import check_overhangs
from halfbat.printing.checks.subject import Subject
from kit_help import common_mm3, manifold, parts_of, section
from solids_help import assert_printable_solid


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_one_closed_solid_with_its_top_under_the_skins(shape):
    plan, settings, _ = plan_of(shape)
    (mass,) = plan.masses
    built = build_former(mass, settings, "F1")
    assert_printable_solid(built.solid, crossings=False)
    assert built.mark is not None
    places = built.solid.vertices @ built.place[:3, :3].T + built.place[:3, 3]
    over = np.min([slope.under_mm(places[:, :2]) for slope in mass.slopes], axis=0)
    # Corners lie on the grid of 0.001.
    assert (places[:, 2] <= over + 3e-3).all()
    # It touches the skins along the ridge, its lip hangs 3.5 into the shell, whose top is its seat.
    assert (over - places[:, 2]).min() < 3e-3
    seat = mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings)
    assert places[:, 2].min() == pytest.approx(seat - settings.lid.lip_depth_mm + SETTLED_MM, abs=1e-6)


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_it_lifts_straight_off_the_shell_and_stands_clear_of_the_skins(shape):
    kit = kit_of_shape(shape, marks=False)
    (former,) = parts_of(kit, "former")
    for lift in (0.0, 0.5, 2.0):
        body = manifold(former, (0.0, 0.0, lift))
        for other in (*parts_of(kit, "shell"), *parts_of(kit, "skin")):
            assert common_mm3(body, manifold(other)) < 1e-3


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_nothing_fine_is_cut_into_its_first_layers(shape):
    plan, settings, _ = plan_of(shape)
    (mass,) = plan.masses
    built = build_former(mass, settings, "F1")
    assert built.mark is not None
    subject = Subject.of(Part("F1", "Roof former", "former", "filament", built.solid, built.place), settings)
    assert check_fine_features(subject) == ()
    assert check_reading(subject) == ()


def test_the_pad_of_the_number_reaches_into_the_ribs_beside_it():
    bay = [np.array([[0.0, 0.0], [15.0, 0.0], [15.0, 30.0], [0.0, 30.0]])]
    pad = pad_of(Room((0.4, 2.0), (14.6, 28.0)), bay)
    assert (pad[0, 0], pad[1, 0]) == pytest.approx((-INTO_RIB_MM, 15.0 + INTO_RIB_MM))
    far = pad_of(Room((5.0, 2.0), (9.0, 28.0)), bay)
    # No rib near: a rim of its own, so that no digit is open to the side.
    assert (far[0, 0], far[1, 0]) == (5.0 - PAD_RIM_MM, 9.0 + PAD_RIM_MM)


def test_meetings():
    # Two planes along one border of 10: one level at 2, one rising from 0 to 4; they meet midway.
    left = np.array([[0.0, 0.0], [5.0, 0.0], [5.0, 10.0], [0.0, 10.0]])
    right = np.array([[5.0, 0.0], [9.0, 0.0], [9.0, 10.0], [5.0, 10.0]])
    made = with_meetings([left, right], [[2.0, 0.0, 0.0], [0.0, 0.0, 0.4]])
    for ring in made:
        assert len(ring) == 5
        assert (ring == [5.0, 5.0]).all(axis=1).any()
    same = with_meetings([left, right], [[2.0, 0.0, 0.0], [2.0, 0.0, 0.0]])
    assert [len(ring) for ring in same] == [4, 4]


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_it_prints_standing_on_its_lip_without_support(shape):
    plan, settings, _ = plan_of(shape)
    (mass,) = plan.masses
    built = build_former(mass, settings, "F1")
    part = Part("F1", "Roof former", "former", "filament", built.solid, built.place)
    assert check_overhangs(Subject.of(part, settings)) == ()


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_bumps_touch_the_shell_where_the_lip_has_play(shape):
    kit = kit_of_shape(shape, marks=False)
    (former,), (shell,) = parts_of(kit, "former"), parts_of(kit, "shell")
    body, other = manifold(former), manifold(shell)
    assert common_mm3(body, other) < 1e-3
    # Pushed by less than the play it meets the shell with its bumps alone, on each of its four sides.
    fit = kit.settings.filament.fit_mm
    for push in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        shared = manifold(former, (push[0] * fit / 2, push[1] * fit / 2, 0.0)) ^ other
        assert 0 < shared.volume() < 2 * 2.4 * fit * kit.settings.lid.lip_depth_mm
    assert former.solid.bounds_mm[0, 2] == 0


def test_the_lip_has_a_lead_in_and_finger_notches():
    kit = kit_of_shape("gable", marks=False)
    (former,) = parts_of(kit, "former")
    low, high = (section(former.solid, height).area for height in (0.02, 2.0))
    # At its end the lip is narrower by the lead-in all round.
    assert low < high - 200 * 0.4
    lip = section(former.solid, 2.0)
    middle = lip.centroid
    x0, y0, x1, y1 = lip.bounds
    for y in (y0, y1):
        beside = shapely.box(middle.x - 5, y - 1.0, middle.x + 5, y + 1.0)
        assert lip.intersection(beside).area < 1e-6
    assert x1 - x0 > 70
