import numpy as np
import pytest

from gabled_plans import kit_of_shape, plan_of
from halfbat.parts.former import build_former, with_meetings
from kit_help import common_mm3, manifold, parts_of
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
    assert places[:, 2].min() == pytest.approx(seat - settings.lid.lip_depth_mm, abs=1e-6)


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_it_lifts_straight_off_the_shell_and_stands_clear_of_the_skins(shape):
    kit = kit_of_shape(shape, marks=False)
    (former,) = parts_of(kit, "former")
    for lift in (0.0, 0.5, 2.0):
        body = manifold(former, (0.0, 0.0, lift))
        for other in (*parts_of(kit, "shell"), *parts_of(kit, "skin")):
            assert common_mm3(body, manifold(other)) < 1e-3


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
