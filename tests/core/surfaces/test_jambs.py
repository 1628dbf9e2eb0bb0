import re
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.surfaces import Kind
from halfbat.surfaces.openings import openings_of
from halfbat.surfaces.quantities import count_units
from halfbat.surfaces.remnants import remnant_beds
from opening_samples import HEADS, boxes, laid, masonry, polygon, spec

BONDS = ("stretcher", "english", "flemish", "english_garden_wall", "header", "monk")
WALLS = {bond: masonry(6.74, 3.0, bond=bond) for bond in BONDS}


def pieces(laying, course):
    pattern = laying.patterns[laying.course_pattern[course]]
    return list(zip(pattern.kinds.tolist(), np.diff(pattern.bounds_mm).tolist(), strict=True)), pattern.bounds_mm


@settings(deadline=None, max_examples=25)
@given(st.sampled_from(BONDS), st.floats(0.3, 1.8), st.floats(0.4, 1.2), st.floats(0.4, 2.0))
def test_courses_beside_jambs_are_whole_bricks_bats_and_closers_of_the_bond(bond, left, width, gap):
    wall = WALLS[bond]
    second = left + width + gap
    openings = openings_of(
        [spec(wall, left, 0.6, width, head="soldier course"), spec(wall, second, 0.6, 0.685, head="soldier course")],
        wall,
    )
    laying, _ = laid(wall, openings, bond)
    whole, quarter = 2 * wall.half_mm, wall.half_mm / 2
    rows = [course for course in range(laying.courses) if Kind.VOID in dict(pieces(laying, course)[0])]
    assert len(rows) > 12
    for course in rows:
        made, bounds = pieces(laying, course)
        assert np.all(np.diff(bounds) > 0)
        assert bounds[0] == wall.laying.patterns[0].bounds_mm[0]
        assert bounds[-1] == wall.laying.patterns[0].bounds_mm[-1]
        for kind, size in made:
            if kind == Kind.VOID:
                continue
            limit = quarter if kind == Kind.QUEEN_CLOSER or bond != "stretcher" else 2 * quarter
            assert size >= limit * 0.97, (course, Kind(kind).label, size / whole)
            assert size <= whole * 1.03
        for (before, _), (kind, _), (after, _) in zip(made, made[1:], made[2:], strict=False):
            if kind == Kind.QUEEN_CLOSER:
                assert Kind.HEADER in (before, after)
    # Every second course repeats, so perpends stay plumb.
    for lower, upper in pairwise(rows[2:-4:2]):
        if bond in ("stretcher", "english", "flemish", "header"):
            assert np.allclose(pieces(laying, lower)[1], pieces(laying, upper)[1])


def test_a_jamb_on_the_bond_leaves_the_wall_as_it_is():
    wall = masonry()
    laying, bricks = laid(wall, openings_of([spec(wall, left=1.125 - 0.01, head="soldier course")], wall))
    plain = wall.laying
    for course in range(plain.courses):
        own = plain.patterns[plain.course_pattern[course]].bounds_mm
        made, bounds = pieces(laying, course)
        void = next((place for place, (kind, _) in enumerate(made) if kind == Kind.VOID), None)
        perpends = bounds if void is None else np.delete(bounds, (void, void + 1))
        assert all(np.abs(own - u).min() < wall.mm(0.001) for u in perpends)
    assert (bricks.kind != Kind.VOID).all()


def test_over_the_head_and_under_the_sill_the_bond_goes_on():
    wall = masonry()
    laying, _ = laid(wall, openings_of([spec(wall, 1.2)], wall))
    for course in (0, 7, laying.courses - 1):
        assert np.array_equal(
            laying.patterns[laying.course_pattern[course]].bounds_mm,
            wall.laying.patterns[wall.laying.course_pattern[course]].bounds_mm,
        )


@pytest.mark.parametrize("head", HEADS)
@pytest.mark.parametrize("bond", ["stretcher", "flemish"])
def test_bricks_reach_every_jamb_and_none_lies_in_the_hole_unclipped(head, bond):
    wall = WALLS[bond]
    (opening,) = openings_of([spec(wall, 1.3, head=head, rings=2)], wall)
    _, bricks = laid(wall, [opening], bond)
    covered = shapely.union_all([polygon(ring) for ring in opening.areas])
    shapes = boxes(bricks)
    assert not any(covered.buffer(-wall.joint_u_mm).contains(shape) for shape in shapes)
    # Seen from the hole and its head outwards, nothing wider than a joint and a brick's least remnant is bare.
    seen = shapely.union_all([covered, *shapes])
    around = covered.buffer(wall.joint_u_mm * 1.5).difference(seen.buffer(wall.joint_u_mm * 0.55))
    assert around.area < 0.02 * covered.area


@pytest.mark.parametrize("scale", ["1:148", "1:76.2"])
@pytest.mark.parametrize("head", HEADS)
def test_no_remnant_is_a_sliver(head, scale):
    wall = masonry(3.365, 3.0, scale=scale)
    (opening,) = openings_of([spec(wall, 1.17, head=head, rings=2)], wall)
    _, bricks = laid(wall, [opening])
    gone = shapely.union_all([polygon(r) for r in (*opening.areas, *remnant_beds(opening, bricks, wall.least_mm))])
    for shape in boxes(bricks):
        left = shape.difference(gone)
        for piece in getattr(left, "geoms", [left]):
            assert piece.area < 2e-3 or not piece.buffer(-wall.least_mm * 0.4).is_empty


def test_voids_are_counted_nowhere():
    wall = masonry()
    laying, bricks = laid(wall, openings_of([spec(wall, 5 * 0.225 - 0.010)], wall))
    counts = count_units(laying)
    assert Kind.VOID not in counts
    assert sum(counts.values()) == len(bricks)
    # By hand: sixteen courses lose four stretchers, or three and two are cut to half bats; the lintel, half a brick
    # longer each way, takes five in one course, and four and two half bats in the other.
    assert sum(count_units(wall.laying).values()) - sum(counts.values()) == 8 * 4 + 8 * 3 + 5 + 4
    assert counts[Kind.HALF_BAT] == 8 * 2 + 2


def test_broken_piers_are_told_once():
    wall = masonry(6.74)
    found = laid(wall, openings_of([spec(wall, 1.3), spec(wall, 3.0)], wall), where="wall A")[0].findings
    codes = [(item.code, item.part) for item in found]
    assert codes and set(codes) == {("broken-pier", "wall A")} and len(found) == len(set(found))


@pytest.mark.parametrize("bond", ["flemish", "english", "stretcher"])
def test_lengths_told_for_a_broken_pier_need_no_broken_bond(bond):
    wall = masonry(8.1, bond=bond)
    findings = laid(wall, openings_of([spec(wall, 1.3)], wall), bond, where="wall A")[0].findings
    first = next(finding for finding in findings if "pier from 0.00 to " in finding.text)
    lengths = [float(size) for size in re.findall(r"(\d\.\d{3}) m", first.remedy)]
    assert len(lengths) == 2 and lengths[0] < 1.3 < lengths[1]
    for length in lengths:
        findings = laid(wall, openings_of([spec(wall, length)], wall), bond, where="wall A")[0].findings
        assert not any("pier from 0.00 to " in finding.text for finding in findings)


def test_a_wall_without_openings_is_left_alone():
    wall = masonry()
    assert laid(wall, [])[0] is wall.laying


@settings(deadline=None, max_examples=20)
@given(st.sampled_from(HEADS), st.floats(0.12, 5.0), st.floats(0.3, 1.6))
def test_any_opening_can_be_laid(head, left, width):
    wall = WALLS["stretcher"]
    try:
        openings = openings_of([spec(wall, left, 0.7, width, max(1.0, width / 2 + 0.1), head=head)], wall)
    except KitError:
        return
    laying, bricks = laid(wall, openings)
    assert np.all(bricks.u1 > bricks.u0)
    for pattern in laying.patterns:
        assert np.all(np.diff(pattern.bounds_mm) > 0)
