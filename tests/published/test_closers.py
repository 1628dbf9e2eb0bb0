"""Sizes of cut bricks and laps, UK metric. The source of each figure stands beside it."""

import numpy as np
import pytest

from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import End, lay_wall
from halfbat.surfaces.pieces import Kind
from halfbat.surfaces.rectangles import Lattice, rectangles
from halfbat.units import parse_scale

UK, FULL = get_format("uk_metric"), parse_scale("1:1")
NO_LATTICE = Lattice(0.0, 0.0)


def lay(key, length_mm, ends=(End.QUOIN, End.QUOIN)):
    bond = get_bond(key)
    return lay_wall(length_mm, set_courses(900, bond, UK, FULL), bond, UK, FULL, ends=ends)


def faces(laying):
    return rectangles(laying, 10.0, 10.0, NO_LATTICE, NO_LATTICE)


@pytest.mark.parametrize(
    ("key", "ends", "kind", "face_mm"),
    [
        ("stretcher", End.QUOIN, Kind.STRETCHER, 215),  # brickwork encyclopedia articles
        ("english", End.QUOIN, Kind.HEADER, 102.5),  # brickwork encyclopedia articles
        ("stretcher", End.STOPPED, Kind.HALF_BAT, 102.5),  # arithmetic
        ("header", End.QUOIN, Kind.THREE_QUARTER_BAT, 158.75),  # arithmetic
        ("english", End.QUOIN, Kind.QUEEN_CLOSER, 46.25),  # bricklaying book page on queen closers (cut 46)
    ],
)
def test_faces_of_pieces(key, ends, kind, face_mm):
    found = faces(lay(key, 3590, (ends, ends)))
    widths = (found.u1 - found.u0)[found.kind == kind]
    assert len(widths)
    np.testing.assert_allclose(widths, face_mm)


def test_gap_for_a_queen_closer_with_its_joints():
    # Bricklaying book page: a 66 mm gap takes the closer with both joints
    found = faces(lay("english", 3590))
    place = int(np.flatnonzero(found.kind == Kind.QUEEN_CLOSER)[0])
    assert found.u0[place + 1] - found.u1[place - 1] == pytest.approx(66, abs=0.5)


@pytest.mark.parametrize(
    ("key", "lap_mm"),
    [
        ("stretcher", 112.5),  # half bond: bricklaying glossary
        ("english", 56.25),  # quarter bond, "56": bricklaying glossary
        ("flemish", 56.25),  # quarter bond
        ("header", 56.25),  # quarter bond
        ("english_garden_wall", 56.25),  # quarter bond at the header course
        ("monk", 56.25),  # quarter bond
    ],
)
def test_least_lap(key, lap_mm):
    laying = lay(key, 224 * 56.25 - 10)
    laps = []
    for lower, upper in zip(laying.course_pattern[:-1], laying.course_pattern[1:], strict=True):
        one, other = (laying.patterns[pattern].bounds_mm[1:-1] for pattern in (lower, upper))
        laps.append(np.abs(one[:, None] - other).min())
    assert min(laps) == pytest.approx(lap_mm, rel=0.012)


def test_closers_stand_next_to_the_quoin_header_and_nowhere_else():
    # 19th-century textbook: next to the first header at each angle, nowhere else in face work
    for key in ("english", "flemish", "english_cross", "english_garden_wall", "monk"):
        laying = lay(key, 224 * 56.25 - 10)
        for pattern in laying.patterns:
            places = np.flatnonzero(pattern.kinds == Kind.QUEEN_CLOSER)
            assert set(places) <= {1, len(pattern.kinds) - 2}
            if len(places):
                assert pattern.kinds[0] == pattern.kinds[-1] == Kind.HEADER


def test_english_headers_are_centred_on_stretchers():
    # Bricklaying glossary: header centred on the stretcher, stretcher perpends in line
    laying = lay("english", 3590)
    stretchers, headers = laying.patterns
    joints = stretchers.bounds_mm[1:-1]
    centres = (headers.bounds_mm[:-1] + headers.bounds_mm[1:]) / 2
    np.testing.assert_allclose(np.abs(centres[:, None] - joints).min(axis=0), 0, atol=1e-9)


def test_flemish_headers_are_centred_on_stretchers():
    # Modern Buildings vol. 1: header in the middle of the stretcher below
    laying = lay("flemish", 52 * 56.25 - 10)
    assert not laying.broken
    first, second = laying.patterns
    middle = [(pattern.bounds_mm[:-1] + pattern.bounds_mm[1:]) / 2 for pattern in (first, second)]
    headers = middle[1][second.kinds == Kind.HEADER][1:-1]
    stretchers = middle[0][first.kinds == Kind.STRETCHER]
    np.testing.assert_allclose(np.abs(headers[:, None] - stretchers).min(axis=1), 0, atol=1e-9)


def test_three_bricks_on_edge_are_a_brick_length():
    # Bricklaying book on brick-on-edge copings: 75 pitch, 3 x 65 + 2 x 10 = 215
    assert 3 * UK.on_edge_header_module_m - UK.joint_m == pytest.approx(UK.length_m)
    assert UK.on_edge_header_module_m == pytest.approx(0.075)


def test_soldier_is_three_courses():
    # Bricklaying glossary; 215 = 225 with its joint = three courses of 75
    assert 3 * UK.gauge_m == pytest.approx(UK.stretcher_module_m)


@pytest.mark.parametrize(
    ("key", "length_mm"),
    [("english", 4940), ("flemish", 4940), ("header", 4940), ("stretcher", 4940), ("rat_trap", 5015)],
)
def test_laps_satisfy_the_german_and_european_minimum(key, length_mm):
    # DIN 1053-1: at least 0.4 of the height and 45 mm; EN 1996-1-1, 8.1.4 (from memory): 0.4 of the height and 40 mm
    laying = lay(key, length_mm)
    assert not laying.broken
    first, second = (laying.patterns[pattern].bounds_mm[1:-1] for pattern in laying.course_pattern[:2])
    assert np.abs(first[:, None] - second).min() >= max(45, 0.4 * 65)
