import numpy as np
import pytest

from halfbat.parts.masses import SEAT_MM, MassStack, PlanRing, RoofSlope, SkinBlock, freed
from halfbat.parts.outlines import area_mm2
from kit_help import settings_with, stack_of

PLAN = np.array([[0.0, 0.0], [60.0, 0.0], [60.0, 40.0], [0.0, 40.0]])


def test_a_slope_reaches_down_plumb():
    # A rise of 3 in 4: square 2.0 is plumb 2.0 * 5 / 4.
    slope = RoofSlope(PLAN, (10.0, 0.75, 0.0), 2.0)
    assert slope.lowering_mm == pytest.approx(2.5 + SEAT_MM)
    np.testing.assert_allclose(slope.under_mm(np.array([[0.0, 5.0], [4.0, 0.0]])), np.array([7.5, 10.5]) - SEAT_MM)


def test_sides_stand_back_by_their_own_skins():
    ring = PlanRing(PLAN, np.array([1.0, 2.0, 1.0, 0.0]), np.array([True, True, True, False]), np.ones(4, dtype=bool))
    np.testing.assert_allclose(ring.behind(0.5, 3.0), [[0.5, 4.0], [55.0, 4.0], [55.0, 36.0], [0.5, 36.0]], atol=1e-9)


def test_only_outer_quoins_lose_their_tips():
    outer = np.array([True, True, False, False])
    ring = PlanRing(PLAN, np.zeros(4), np.ones(4, dtype=bool), outer)
    made = ring.moved(np.zeros(4), 1.0)
    assert len(made) == 5
    np.testing.assert_allclose(made[1:3], [[59, 0], [60, 1]])


def test_a_side_that_vanishes_lets_its_neighbours_meet():
    # A stretch of 1 mm beside a corner that moves in by 3.
    plan = np.array([[0.0, 0.0], [60.0, 0.0], [60.0, 1.0], [60.0, 40.0], [0.0, 40.0]])
    ring = PlanRing(plan, np.full(5, 1.0), np.ones(5, dtype=bool), np.ones(5, dtype=bool))
    made = ring.behind(0.0, 2.0)
    assert sorted(made.round(6).tolist()) == [[3, 3], [3, 37], [57, 3], [57, 37]]


def test_height_of_the_shell_under_a_lid():
    stack = stack_of(PLAN, height=20.0)
    # Ledge 1.0 below, lid 1.6, in layers of 0.2: 20 + 1.0 - 1.6 = 19.4.
    assert stack.shell_top_mm(settings_with()) == pytest.approx(19.4)
    assert stack.shell_top_mm(settings_with(lid__make=False)) == pytest.approx(21.0)
    assert stack.floor_top_mm(settings_with()) == pytest.approx(1.2)


def test_height_of_the_shell_under_a_former():
    ring = stack_of(PLAN).rings[0]
    # Level with the foot at 20 along y = 0, rising 1 in 1; the former's edge lies 1.15 + 0.15 behind the face.
    slope = RoofSlope(PLAN, (20.0, 0.0, 1.0), 1.0)
    stack = MassStack((ring,), (slope,), 0.0, 20.0)
    under = 20.0 + 1.3 - np.sqrt(2)
    # Edge of 2.0, ledge of 1.0, whole layers of 0.2.
    assert stack.shell_top_mm(settings_with()) == pytest.approx(np.floor((under - 2.0 + 1.0) / 0.2) * 0.2)


def test_middle():
    np.testing.assert_allclose(stack_of(PLAN).centre_mm, [30, 20])


def test_skins_are_taken_out_of_what_stands_beside_them():
    block = SkinBlock(np.array([[0.0, 0.0], [0.0, 1.0], [10.0, 1.0], [10.0, 0.0]]), 0.0, 20.0)
    ring = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 8.0], [0.0, 8.0]])
    assert area_mm2(*freed([ring], [block], 0.0, 20.0)) == pytest.approx(70.0)
    # Not below or above it.
    assert area_mm2(*freed([ring], [block], 20.0, 25.0)) == pytest.approx(80.0)
    assert area_mm2(*freed([ring], [block], -5.0, 0.0)) == pytest.approx(80.0)
