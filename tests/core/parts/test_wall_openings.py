from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from halfbat.building.structure import HoleOpening
from halfbat.errors import KitError
from halfbat.kit import make_kit
from halfbat.parts.wall_openings import (
    BACKED_MM,
    BRICKS_BESIDE,
    REBATE_MM,
    SHELL_LEFT_MM,
    WIDEST_BRIDGE_MM,
    check_clear,
    insert_requests,
    seamless_boxes,
    shell_box,
    shell_openings,
)
from halfbat.settings import OpeningRequest
from halfbat.surfaces.opening_units import OpeningUnits
from kit_help import building_of, settings_with

BOX = [[0, 0], [6, 0], [6, 4], [0, 4]]
SETTINGS = settings_with(kit__scale="1:100")
FACING = make_kit(building_of(BOX), SETTINGS, checked=False).plan.walls[0].facing


def hole(x0, y0, x1, y1):
    ring = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=np.float64)
    return OpeningUnits(ring, (), (), (x0, y0, x1, y1), None, ())


def test_the_opening_of_the_shell_is_larger_by_a_rebate():
    box = shell_box(hole(10, 8, 20, 18), (3.0, 57.0), 28.0)
    np.testing.assert_allclose(box, [[10 - REBATE_MM, 8 - REBATE_MM], [20 + REBATE_MM, 18 + REBATE_MM]])


def test_it_stays_clear_of_the_corners_the_floor_and_the_top_of_the_shell():
    box = shell_box(hole(2, 0, 56.5, 27.8), (3.0, 57.0), 28.0)
    np.testing.assert_allclose(box, [[3 + SHELL_LEFT_MM, SHELL_LEFT_MM], [57 - SHELL_LEFT_MM, 28 - SHELL_LEFT_MM]])
    assert shell_box(hole(0.5, 8, 3.2, 18), (3.0, 57.0), 28.0) is None
    assert shell_box(hole(10, 28, 20, 35), (3.0, 57.0), 28.0) is None


def test_openings_of_the_shell_lie_behind_those_of_the_skin():
    facing = replace(FACING, openings=(hole(10, 8, 20, 18), hole(30, 8, 40, 18)))
    made, told = shell_openings(facing, (3.0, 57.0), 28.0, SETTINGS)
    assert told == [] and len(made.rings_mm) == 2
    # The shell's face: a skin and the glue gap behind the brick face.
    gap = (FACING.foot_mm - made.frame.origin) @ made.frame.outward
    assert gap == pytest.approx(FACING.depth_mm + 0.12)


@pytest.mark.parametrize(("wide", "top", "rise"), [(18.0, 28.0, 0.0), (21.0, 28.0, 1.5), (40.0, 20.0, 0.6)])
def test_a_head_too_wide_to_be_bridged_rises_at_45_degrees(wide, top, rise):
    facing = replace(FACING, openings=(hole(8, 8, 8 + wide, 18),))
    (ring,) = shell_openings(facing, (1.0, 59.0), top, SETTINGS)[0].rings_mm
    head = ring[ring[:, 1] == ring[:, 1].max()]
    assert ring[:, 1].max() == pytest.approx(18 + REBATE_MM + rise)
    assert np.ptp(head[:, 0]) == pytest.approx(wide + 2 * REBATE_MM - 2 * rise)
    assert rise == 0.0 or np.ptp(head[:, 0]) <= WIDEST_BRIDGE_MM + 1e-6 or ring[:, 1].max() > top - SHELL_LEFT_MM - 1e-9
    area = 0.5 * abs(np.sum(ring[:, 0] * np.roll(ring[:, 1], -1) - np.roll(ring[:, 0], -1) * ring[:, 1]))
    assert area == pytest.approx((wide + 1.6) * 11.6 + rise * (wide + 1.6 - rise))


def test_openings_that_would_leave_a_thread_between_them_become_one():
    facing = replace(FACING, openings=(hole(10, 8, 20, 18), hole(21.8, 8, 30, 20)))
    (ring,) = shell_openings(facing, (3.0, 57.0), 28.0, SETTINGS)[0].rings_mm
    np.testing.assert_allclose([ring.min(axis=0), ring.max(axis=0)], [[9.2, 7.2], [30.8, 20.8 + 1.0]])


def test_what_the_shell_backs_is_told():
    facing = replace(FACING, openings=(hole(1, 8, 10, 18),))
    _, (found,) = shell_openings(facing, (3.0, 57.0), 28.0, SETTINGS)
    assert found.code == "opening-backed"
    nothing, _ = shell_openings(replace(FACING, openings=(hole(0.5, 8, 3.2, 18),)), (3.0, 57.0), 28.0, SETTINGS)
    assert nothing is None


def test_seams_keep_two_bricks_away():
    ((u0, v0, u1, v1),) = seamless_boxes([hole(10, 8, 20, 18)], 2.25)
    assert (u0, u1) == (10 - 2.25 * BRICKS_BESIDE, 20 + 2.25 * BRICKS_BESIDE)
    assert (v0, v1) == (8 - REBATE_MM - BACKED_MM, 18 + REBATE_MM + BACKED_MM)


def test_an_opening_in_a_corner_is_refused():
    check_clear(replace(FACING, openings=(hole(5, 8, 20, 18),)))
    with pytest.raises(KitError, match="from a corner leaves the skin no edge"):
        check_clear(replace(FACING, openings=(hole(0.1, 8, 20, 18),)))


@pytest.mark.parametrize(
    ("ring", "insert", "leaves"),
    [
        ([[1, 0], [1.9, 0], [1.9, 2], [1, 2]], "panelled door", 1),
        ([[1, 0], [2.8, 0], [2.8, 2], [1, 2]], "panelled door", 2),
        ([[1, 0.9], [2.8, 0.9], [2.8, 2], [1, 2]], "casement window", 1),
    ],
)
def test_holes_of_the_mesh_get_a_door_or_a_window(ring, insert, leaves):
    wall = SimpleNamespace(letter="A", openings=(HoleOpening(np.array(ring, dtype=np.float64), None),))
    (request,) = insert_requests(wall, SETTINGS, 1)
    assert (request.insert, request.leaves, request.at) == (insert, leaves, "1.000 m")


def test_requests_come_before_holes():
    asked = OpeningRequest("A", "3 m", "1 m", "1 m", insert="vent")
    wall = SimpleNamespace(
        letter="A", openings=(HoleOpening(np.array([[1, 0], [2, 0], [2, 2], [1, 2]], dtype=np.float64), None),)
    )
    settings = replace(SETTINGS, openings=(asked, replace(asked, wall="B")))
    assert [request.insert for request in insert_requests(wall, settings, 2)] == ["vent", "panelled door"]


@pytest.mark.parametrize(("top", "opened"), [(18.6, True), (17.8, True), (17.4, False), (9.0, False)])
def test_the_shell_opens_behind_the_whole_of_an_opening_or_not_at_all(top, opened):
    assert (shell_box(hole(10, 8, 20, 18), (3.0, 57.0), top) is not None) is opened
