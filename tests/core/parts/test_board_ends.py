"""Boards and gutters end at walls that run into them, whatever their angle."""

from math import cos, radians, sin

import manifold3d
import numpy as np
import pytest

from gabled_plans import overhanging_kit, settings_of, structure_of
from halfbat.building.structure import EdgeKind
from halfbat.kit import make_kit
from halfbat.parts.board_ends import gutter_off_walls, off_walls
from halfbat.parts.part import Part
from halfbat.parts.roof_boards import SHORTEST_MM, build_board
from halfbat.parts.standing import Standing
from kit_help import common_mm3, manifold

GAP_MM = 0.05


def fascia():
    return next(board for board in overhanging_kit("gable").plan.boards if board.kind is EdgeKind.EAVES)


def wall_across(board, share, turn_deg, foot_mm, top_mm, wall=99):
    """A skin 2 mm thick across a board at a share of its length, heights counted from the board's edge."""
    low, high = board.reach_mm()
    run = board.along[:2]
    middle = board.start[:2] + (low + share * (high - low)) * run
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    across, along = board.outward[:2] * c + run * s, run * c - board.outward[:2] * s
    ring = np.array([middle + a * 8.0 * across + b * along for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))])
    if np.cross(*np.pad(np.diff(ring[:3], axis=0), ((0, 0), (0, 1))))[2] < 0:
        ring = ring[::-1]
    level = float(board.start[2])
    return Standing(ring, (level + foot_mm, 0.0, 0.0), (level + top_mm, 0.0, 0.0), wall)


def solid_of(board):
    (piece,) = board.pieces_mm(1000.0, 0.1)
    solid, place = build_board(board, piece)
    return manifold(Part("E", "Fascia", "fascia", "resin", solid, place))


def body_of(wall):
    foot, top = wall.foot[0], wall.top[0]
    return manifold3d.CrossSection([wall.ring_mm]).extrude(top - foot).translate((0.0, 0.0, foot))


@pytest.mark.parametrize("turn_deg", [0.0, 10.0, -35.0, 60.0])
@pytest.mark.parametrize(("share", "pieces"), [(0.5, 2), (0.01, 1), (0.98, 1)])
def test_a_board_is_parted_by_a_wall_that_stands_in_it(share, pieces, turn_deg):
    board = fascia()
    wall = wall_across(board, share, turn_deg, -20.0, 5.0)
    assert common_mm3(solid_of(board), body_of(wall)) > 0.5
    left = list(off_walls(board, [wall], GAP_MM))
    assert len(left) == pieces
    assert [common_mm3(solid_of(one), body_of(wall)) for one in left] == pytest.approx([0.0] * pieces, abs=1e-6)
    whole, rest = np.diff(board.reach_mm())[0], sum(np.diff(one.reach_mm())[0] for one in left)
    thick = np.ptp(board.section_mm[:, 0])
    lost = (2.0 + 2 * GAP_MM) / cos(radians(turn_deg)) + 2 * thick * abs(np.tan(radians(turn_deg)))
    assert whole - rest < lost + (SHORTEST_MM + 0.03 * whole if pieces == 1 else 0.0) + 1e-6


@pytest.mark.parametrize(("foot_mm", "top_mm"), [(-30.0, -10.0), (10.0, 20.0)])
def test_a_wall_below_or_above_leaves_a_board_whole(foot_mm, top_mm):
    board = fascia()
    assert list(off_walls(board, [wall_across(board, 0.5, 0.0, foot_mm, top_mm)], GAP_MM)) == [board]
    own = wall_across(board, 0.5, 0.0, -20.0, 5.0, board.wall)
    assert list(off_walls(board, [own], GAP_MM)) == [board]


def test_a_gutter_is_stopped_at_a_wall():
    asked = {"kit__scale": "1:76.2", "roof__eaves_overhang_mm": 300.0, "roof__gutter": "half round"}
    kit = make_kit(structure_of("gable"), settings_of(**asked), checked=False)
    gutter = kit.plan.gutters[0]
    first, second = gutter_off_walls(gutter, [wall_across(gutter.run, 0.4, 0.0, -20.0, 5.0)], GAP_MM)
    assert first.stops == (gutter.stops[0], True) and second.stops == (True, gutter.stops[1])
    assert first.run.reach_mm()[1] + 2.0 + 2 * GAP_MM == pytest.approx(second.run.reach_mm()[0])
