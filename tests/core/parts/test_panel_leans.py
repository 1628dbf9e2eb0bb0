import numpy as np
import pytest

from gabled_plans import plan_of
from halfbat.parts.panel_leans import cut_leans
from halfbat.parts.roof_skins import build_roof_panel
from halfbat.solids.plate import Lean

#: A triangle with leaning sides over a level base.
TRIANGLE = np.array([[0.0, 0.0], [20.0, 0.0], [10.0, 10.0]])
LEANS = (Lean((20.0, 0.0), (10.0, 10.0), 0.5, 1.5), Lean((10.0, 10.0), (0.0, 0.0), 0.5, 1.5))


def test_a_level_cut_keeps_its_corners_level():
    box = np.array([[-5.0, 4.0], [25.0, 15.0]])
    right, left, cut = cut_leans(LEANS, TRIANGLE, box)
    # Sides at 45 degrees, in by 0.5 for each millimetre of depth: 0.5 / sin 45 along the cut.
    ((place, move),) = right.cuts
    np.testing.assert_allclose([place, move], [[16.0, 4.0], [-0.5 * np.sqrt(2), 0.0]])
    ((place, move),) = left.cuts
    np.testing.assert_allclose([place, move], [[4.0, 4.0], [0.5 * np.sqrt(2), 0.0]])
    assert cut.slope == 0.0
    np.testing.assert_allclose([cut.start, cut.end], [[4.0, 4.0], [16.0, 4.0]])
    np.testing.assert_allclose([cut.start_move, cut.end_move], [[0.5 * np.sqrt(2), 0.0], [-0.5 * np.sqrt(2), 0.0]])


def test_a_slope_that_is_not_cut_keeps_its_leans():
    made = cut_leans(LEANS, TRIANGLE, np.array([[-5.0, -5.0], [25.0, 15.0]]))
    assert [(lean.start, lean.end, lean.cuts) for lean in made] == [(lean.start, lean.end, ()) for lean in LEANS]


def test_panels_of_a_hip_end_at_their_cuts_all_the_way_through():
    plan, settings, _ = plan_of("hip", "none")
    face = plan.roofs[0]
    low, high = face.face.outline_mm.min(axis=0), face.face.outline_mm.max(axis=0)
    middle = (low + high) / 2
    for side, axis in ((0, 1), (1, 1), (0, 0)):
        box = np.array([low - 5, high + 5])
        box[side, axis] = middle[axis]
        panel = build_roof_panel(face, box, settings, "RA1")
        origin = face.slope.origin_m * face.scale.mm_per_m
        points = panel.solid.vertices @ panel.place[:3, :3].T + panel.place[:3, 3] - origin
        at = points @ np.stack([face.slope.along, face.slope.up], axis=1)
        edge = at[:, axis].min() if side == 0 else at[:, axis].max()
        assert edge == pytest.approx(middle[axis], abs=2e-3)


def test_an_outline_that_bends_back_has_a_cut_in_two_pieces():
    # A notch from below: an upright cut through it meets the outline four times.
    notched = np.array(
        [[0.0, 0.0], [20.0, 0.0], [20.0, 10.0], [0.0, 10.0], [0.0, 7.0], [12.0, 6.0], [12.0, 4.0], [0.0, 3.0]]
    )
    top, low = Lean((20.0, 10.0), (0.0, 10.0), 0.5, 1.5), Lean((0.0, 0.0), (20.0, 0.0), -0.5, 1.5)
    made = [lean for lean in cut_leans((top, low), notched, np.array([[6.0, -5.0], [25.0, 15.0]])) if not lean.slope]
    spans = sorted(sorted((lean.start[1], lean.end[1])) for lean in made)
    np.testing.assert_allclose(spans, [[0.0, 3.5], [6.5, 10.0]])
    moves = {lean.start[1]: lean.start_move for lean in made} | {lean.end[1]: lean.end_move for lean in made}
    assert moves[10.0] == pytest.approx((0.0, -0.5)) and moves[0.0] == pytest.approx((0.0, -0.5))
    # A box that holds one of them only has that one.
    (alone,) = [lean for lean in cut_leans((top, low), notched, np.array([[6.0, 5.0], [25.0, 15.0]])) if not lean.slope]
    assert {round(alone.start[1], 6), round(alone.end[1], 6)} == {6.5, 10.0}
