"""What must hold for bricks laid on a wall of any length, in any format and bond."""

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.surfaces.bonds import BONDS, get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import FORMATS, custom_format
from halfbat.surfaces.laying import PERPEND_LIMIT_M, End, lay_wall
from halfbat.surfaces.pieces import Kind
from halfbat.surfaces.rectangles import Lattice, rectangles
from halfbat.units import parse_scale

SCALE = parse_scale("1:148")
BY_THE_QUOIN = 1
MODEL_MM = 1e-9

customs = st.builds(
    lambda width, joint, height, bed: custom_format(2 * width + joint, width, height, joint, height + bed),
    st.floats(0.07, 0.15),
    st.floats(0.004, 0.014),
    st.floats(0.04, 0.1),
    st.floats(0.004, 0.014),
)
bricks = st.one_of(st.sampled_from(FORMATS), customs)
bonds = st.builds(get_bond, st.sampled_from([bond.key for bond in BONDS]), st.integers(1, 6))
lengths = st.one_of(st.floats(0.3, 3.0), st.floats(3.0, 40.0))
phases = st.tuples(st.integers(0, 1), st.integers(0, 1))
ends = st.tuples(st.sampled_from([*End]), st.sampled_from([*End]))


@st.composite
def walls(draw, ends=ends, phases=phases):
    """A wall laid, with what it was laid from."""
    brick, bond, phase = draw(bricks), draw(bonds), draw(phases)
    length_mm = SCALE.to_mm(draw(lengths))
    stand = draw(ends)
    try:
        coursing = set_courses(SCALE.to_mm(draw(st.floats(1.0, 4.0))), bond, brick, SCALE)
        laying = lay_wall(length_mm, coursing, bond, brick, SCALE, phase[0], end_phase=phase[1], ends=stand)
    except KitError:
        # The bond does not suit the brick.
        assume(False)
    return laying, bond, brick, stand


quoins = st.just((End.QUOIN, End.QUOIN))


@given(walls())
@settings(deadline=None, max_examples=150)
def test_pieces_tile_every_course(wall):
    laying, _, brick, stand = wall
    joint = SCALE.to_mm(brick.joint_m)
    for pattern in laying.patterns:
        bounds = pattern.bounds_mm
        assert len(bounds) == len(pattern.kinds) + 1
        assert np.all(np.diff(bounds) > 0)
        for bound, edge, end, out in ((bounds[0], 0.0, stand[0], -1), (bounds[-1], laying.length_mm, stand[1], 1)):
            inside = end is End.RETURN and abs(bound - (edge - out * joint / 2)) < MODEL_MM
            assert inside or abs(bound - (edge + out * joint / 2)) < MODEL_MM
    assert len(laying.course_pattern) == len(laying.bed_v_mm)
    assert set(laying.course_pattern) <= set(range(len(laying.patterns)))


@given(walls())
@settings(deadline=None, max_examples=150)
def test_perpends_change_within_the_limit(wall):
    laying, *_ = wall
    assert abs(laying.perpend_change_m) <= PERPEND_LIMIT_M * (1 + 1e-6)
    assert laying.broken == any(finding.code == "broken-bond" for finding in laying.findings)


@given(walls(ends=quoins))
@settings(deadline=None, max_examples=150)
def test_no_piece_under_a_half_bat_but_headers_and_closers_at_the_quoin(wall):
    laying, bond, brick, _ = wall
    half = SCALE.to_mm(bond.modules(brick).unit_m * bond.modules(brick).ratio)
    squeezed = 1 - PERPEND_LIMIT_M / brick.stretcher_module_m
    for pattern in laying.patterns:
        narrow = np.flatnonzero(np.diff(pattern.bounds_mm) < half * squeezed - MODEL_MM)
        if len(pattern.kinds) == 1:
            continue
        for place in narrow:
            assert pattern.kinds[place] in (Kind.HEADER, Kind.QUEEN_CLOSER)


@given(walls(ends=quoins))
@settings(deadline=None, max_examples=150)
def test_closers_stand_only_next_to_a_quoin_header(wall):
    laying, *_ = wall
    for pattern in laying.patterns:
        last = len(pattern.kinds) - 1
        for place in np.flatnonzero(pattern.kinds == Kind.QUEEN_CLOSER):
            beside = [place - 1] if place == BY_THE_QUOIN else []
            beside += [place + 1] if place == last - BY_THE_QUOIN else []
            assert any(pattern.kinds[neighbour] == Kind.HEADER for neighbour in beside)


@given(walls(ends=quoins))
@settings(deadline=None, max_examples=150)
def test_laps_hold_a_quarter_brick(wall):
    laying, bond, brick, _ = wall
    quarter = SCALE.to_mm(brick.stretcher_module_m / 4)
    # In mid wall a broken bond may have to do with less; short walls are all middle.
    about = 8 * 4 * quarter if laying.broken else 0.0
    squeezed = 1 - PERPEND_LIMIT_M / brick.stretcher_module_m
    if not bond.alternates:
        return
    for lower, upper in zip(laying.course_pattern[:-1], laying.course_pattern[1:], strict=True):
        one, other = (laying.patterns[pattern].bounds_mm[1:-1] for pattern in (lower, upper))
        one = one[np.abs(one - laying.length_mm / 2) >= about]
        if len(one) and len(other):
            assert np.abs(one[:, None] - other).min() >= quarter * squeezed - MODEL_MM


@given(walls(ends=quoins, phases=st.sampled_from([(0, 0), (1, 1)])))
@settings(deadline=None, max_examples=150)
def test_unbroken_walls_are_their_own_mirror_image(wall):
    laying, *_ = wall
    if laying.broken:
        return
    for pattern in laying.patterns:
        np.testing.assert_array_equal(pattern.kinds, pattern.kinds[::-1])
        np.testing.assert_allclose(pattern.bounds_mm, laying.length_mm - pattern.bounds_mm[::-1], atol=1e-6)


@given(walls())
@settings(deadline=None, max_examples=100)
def test_perpends_of_the_same_row_are_plumb(wall):
    laying, bond, *_ = wall
    cycle = np.lcm(len(bond.courses), 2)
    np.testing.assert_array_equal(laying.course_pattern[cycle:], laying.course_pattern[:-cycle])


@given(bricks, bonds, lengths, phases)
@settings(deadline=None, max_examples=60)
def test_same_wall_same_bricks(brick, bond, length_m, phase):
    try:
        coursing = set_courses(SCALE.to_mm(2.0), bond, brick, SCALE)
        first, second = (
            lay_wall(SCALE.to_mm(length_m), coursing, bond, brick, SCALE, phase[0], end_phase=phase[1])
            for _ in range(2)
        )
    except KitError:
        return
    for one, other in zip(first.patterns, second.patterns, strict=True):
        assert one.bounds_mm.tobytes() == other.bounds_mm.tobytes()
        assert one.kinds.tobytes() == other.kinds.tobytes()


@given(walls(), st.floats(0.02, 0.08), st.integers(2, 4), st.floats(0.0, 0.1))
@settings(deadline=None, max_examples=100)
def test_joints_are_whole_pixels_and_bricks_do_not_overlap(wall, pitch, pixels, origin):
    laying, *_ = wall
    joint = pixels * pitch
    # Joints wider than the narrowest piece are refused long before this.
    assume(joint < min(np.diff(pattern.bounds_mm).min() for pattern in laying.patterns) - 2 * pitch)
    lattice = Lattice(origin, pitch)
    found = rectangles(laying, joint, joint, lattice, lattice)
    assert len(found) == sum(len(laying.patterns[pattern].kinds) for pattern in laying.course_pattern)
    assert np.all(found.u1 > found.u0)
    assert np.all(found.v1 > found.v0)
    assert found.u0.min() >= 0
    assert found.u1.max() <= laying.length_mm
    assert found.v1.max() == laying.height_mm
    same = found.course[1:] == found.course[:-1]
    np.testing.assert_allclose((found.u0[1:] - found.u1[:-1])[same], joint, atol=1e-9)
