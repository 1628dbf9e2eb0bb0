"""Rules that every plan of seams keeps, on random walls."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box, unary_union

from halfbat.errors import KitError
from halfbat.parts.cells import Side
from halfbat.parts.cuts import slivers
from halfbat.parts.seams import CutRequest, PanelLimits, SeamRules, SeamStyle, plan_seams
from halfbat.parts.toothing import LEAST_TOOTH_MM
from wall_samples import wall_run

BONDS = ("stretcher", "english", "flemish", "english_garden_wall", "stack", "monk")
SCALES = ("1:76.2", "1:148", "1:43.5", "1:120", "1:87.1")


@st.composite
def walls(draw):
    return wall_run(
        draw(st.floats(1.0, 30.0)),
        draw(st.floats(0.3, 8.0)),
        bond=draw(st.sampled_from(BONDS)),
        scale=draw(st.sampled_from(SCALES)),
        pixel=draw(st.sampled_from((0.019, 0.034, 0.05))),
        origin=draw(st.sampled_from((0.0, 0.011))),
        joint_px=draw(st.integers(3, 6)),
        extras=(draw(st.sampled_from((0.0, 0.4))), draw(st.sampled_from((0.0, 0.4)))),
    )


@st.composite
def cases(draw):
    wall = draw(walls())
    limits = PanelLimits(draw(st.floats(12.0, 140.0)), draw(st.floats(8.0, 140.0)))
    several = st.lists(st.sampled_from(SeamStyle), min_size=1, max_size=3, unique=True)
    styles = draw(st.one_of(st.just([SeamStyle.TOOTHED]), several))
    rules = SeamRules(tuple(styles), draw(st.sampled_from((0.0, 0.1, 0.15))))
    along = st.floats(0.0, wall.length_mm)
    inside = st.floats(0.05 * wall.length_mm, 0.95 * wall.length_mm)
    wanted = st.tuples(inside, st.sampled_from((None, None, *SeamStyle)))
    requests = [CutRequest(*request) for request in draw(st.lists(wanted, max_size=2))]
    spans = [
        (begin, begin + width) for begin, width in draw(st.lists(st.tuples(along, st.floats(0.1, 15)), max_size=2))
    ]
    return wall, limits, rules, requests, spans


def planned(case):
    try:
        return plan_seams(*case)
    except KitError as refused:
        assert str(refused).endswith(".")
        assume(False)


@settings(max_examples=120, deadline=None)
@given(cases())
def test_a_plan_keeps_every_rule(case):
    wall, limits, rules, requests, spans = case
    seams = planned(case)
    half = rules.gap_mm / 2

    for cell in seams.panels:
        u0, v0, u1, v1 = cell.bounds
        u0 -= wall.left_extra_mm * (Side.LEFT in cell.sides)
        u1 += wall.right_extra_mm * (Side.RIGHT in cell.sides)
        assert u1 - u0 <= limits.width_mm + 1e-5
        assert v1 - v0 <= limits.height_mm + 1e-5

    ends = [(0.0, 0.0), *((cut.low_mm, cut.high_mm) for cut in seams.cuts), (wall.length_mm, wall.length_mm)]
    assert all(right[0] - left[1] >= limits.least_mm - 1e-5 for left, right in pairwise(ends))
    assert sum(cut.asked for cut in seams.cuts) == len(requests)

    for cut in seams.cuts:
        assert all(cut.high_mm + half <= begin + 1e-5 or cut.low_mm - half >= end - 1e-5 for begin, end in spans)
        pixels = (cut.line[:, 0] - wall.lattice_u.origin_mm) / wall.lattice_u.pitch_mm
        assert np.allclose(pixels, np.round(pixels), atol=1e-5)
        steps = np.diff(cut.line, axis=0)
        if cut.style is SeamStyle.TOOTHED:
            assert np.abs(steps[1::2, 0]).min() >= LEAST_TOOTH_MM - 1e-6
            assert steps[2:-1:2, 1].min(initial=np.inf) >= LEAST_TOOTH_MM - wall.lattice_v.pitch_mm
        else:
            assert len(cut.line) == 2
            assert cut.sliver_mm == slivers(wall, np.array([cut.position_mm]), rules.gap_mm)[0]
    for level in seams.rows_mm:
        assert np.abs(wall.laying.bed_v_mm - level).min() <= wall.lattice_v.pitch_mm / 2 + 1e-6


@settings(max_examples=60, deadline=None)
@given(cases())
def test_panels_and_gaps_tile_the_wall(case):
    wall, _, rules, _, _ = case
    seams = planned(case)
    panels = [Polygon(cell.outline) for cell in seams.panels]
    assert all(panel.is_valid and panel.exterior.is_ccw for panel in panels)
    whole = box(0, 0, wall.length_mm, wall.height_mm)
    lines = [LineString(cut.line) for cut in seams.cuts]
    lines += [LineString([(0, level), (wall.length_mm, level)]) for level in seams.rows_mm]
    if rules.gap_mm:
        bands = [line.buffer(rules.gap_mm / 2, join_style="mitre", cap_style="square") for line in lines]
        whole = whole.difference(unary_union(bands))
    assert sum(panel.area for panel in panels) == pytest.approx(whole.area, abs=1e-6)
    assert unary_union(panels).symmetric_difference(whole).area == pytest.approx(0, abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(cases())
def test_the_same_wall_is_always_cut_the_same_way(case):
    wall, limits, rules, requests, spans = case
    first, second = planned(case), plan_seams(wall, limits, rules, requests[::-1], spans[::-1])
    assert [cell.outline.tobytes() for cell in first.panels] == [cell.outline.tobytes() for cell in second.panels]
    assert [cell.sides for cell in first.panels] == [cell.sides for cell in second.panels]
    assert first.rows_mm == second.rows_mm


@settings(max_examples=40, deadline=None)
@given(walls(), st.floats(20.0, 140.0))
def test_straight_cuts_make_as_few_panels_as_the_length_needs(wall, width):
    seams = plan_seams(wall, PanelLimits(width, 1000.0))
    if not seams.cuts:
        return
    # A pixel of each panel may be lost, since cuts lie on pixels.
    fits = width + 0.1 - wall.lattice_u.pitch_mm
    needs = np.ceil((wall.length_mm + 0.1 + wall.left_extra_mm + wall.right_extra_mm) / fits)
    assert len(seams.panels) <= max(needs, 2)
