"""What a cut leaves of a face is ended where it is too thin to hold; judged by shapely."""

from math import radians, tan

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from halfbat.parts.cells import panel_cells
from halfbat.parts.held_pieces import held_box, held_boxes, held_cells
from halfbat.parts.sturdy import TIP_DEG, sturdy

WALL_MM = 0.8
GAP = 0.1


def inside(ring, box):
    low, high = np.clip(box, -1000, 1000)
    return shapely.Polygon(ring).intersection(shapely.box(*low, *high))


def gable(width, eaves, pitch_deg):
    top = eaves + width / 2 * tan(radians(pitch_deg))
    return np.array([(0, 0), (width, 0), (width, eaves), (width / 2, top), (0, eaves)], dtype=float)


def test_a_plain_piece_is_left_alone():
    box, lost = held_box(np.array([(0, 0), (20, 0), (20, 9), (0, 9)], dtype=float), WALL_MM)
    assert not np.isfinite(box).any() and lost == 0


def test_the_tip_that_a_cut_leaves_of_a_slope_is_ended_where_it_is_as_wide_as_a_wall():
    # A slope of one in four under a level cut at 4: its tip is cut off upright.
    ring = np.array([(0, 0), (16, 4), (0, 4)], dtype=float)
    box, lost = held_box(ring, WALL_MM)
    left = inside(ring, box)
    # 0.8 mm, and a little more, at one in four.
    assert left.bounds == pytest.approx((0.0, 0.0, 16 - 4 * WALL_MM, 4.0), abs=0.2)
    assert lost == pytest.approx(32 - left.area) and lost == pytest.approx(WALL_MM**2 * 4 / 2, rel=0.1)


def test_a_strip_beside_a_cut_is_left_out_and_a_piece_that_is_nothing_else_too():
    ring = np.array([(0, 0), (30, 0), (30, 0.5), (12, 0.5), (12, 9), (0, 9)], dtype=float)
    box, lost = held_box(ring, WALL_MM)
    assert inside(ring, box).bounds == (0.0, 0.0, 12.0, 9.0) and lost == pytest.approx(18 * 0.5)
    assert held_box(np.array([(0, 0), (30, 0), (30, 0.5), (0, 0.5)], dtype=float), WALL_MM) == (None, 15.0)


def test_rows_of_a_gable_end_before_its_rakes_make_tips_of_them():
    outline = gable(50.0, 10.0, 28.0)
    lower, upper = panel_cells(50.0, float(outline[:, 1].max()), [], [14.0], GAP)
    (first, second), lost = held_cells((lower, upper), outline, WALL_MM)
    assert first.outline.tolist() == lower.outline.tolist()
    assert second.index == upper.index and lost > 0
    left, right = second.bounds[0], 50.0 - second.bounds[2]
    foot = (upper.bounds[1] - 10.0) / tan(radians(28.0))
    assert left == pytest.approx(right) and left == pytest.approx(foot + WALL_MM / tan(radians(28.0)), rel=0.05)


@given(st.floats(12, 80), st.floats(3, 30), st.floats(8, 70), st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_no_piece_of_a_gable_has_a_sharp_tip_or_a_strip(width, eaves, pitch, row, column):
    outline = gable(width, eaves, pitch)
    top = float(outline[:, 1].max())
    u, v = column * width, row * top
    boxes = [
        np.array([[-5, -5], [u - GAP / 2, v - GAP / 2]]),
        np.array([[u + GAP / 2, -5], [width + 5, v - GAP / 2]]),
        np.array([[-5, v + GAP / 2], [u - GAP / 2, top + 5]]),
        np.array([[u + GAP / 2, v + GAP / 2], [width + 5, top + 5]]),
    ]
    made, lost = held_boxes(boxes, outline, WALL_MM)
    pieces = [inside(outline, box) for box in made]
    # Areas are those of rings rounded to 0.001 mm.
    assert lost == pytest.approx(
        sum(inside(outline, box).area for box in boxes) - sum(p.area for p in pieces), abs=0.01 + 0.0005 * 2 * width
    )
    for piece in pieces:
        # An eighth under the width, as an opening of round shape leaves corners.
        wide = piece.buffer(-WALL_MM / 2.3, join_style="mitre")
        assert not wide.is_empty
        ring = np.array(shapely.geometry.polygon.orient(piece).exterior.coords)[:-1]
        kept, _ = sturdy(ring, WALL_MM)
        assert shapely.Polygon(kept).area > piece.area - 4 * WALL_MM**2 / tan(radians(TIP_DEG / 2))
