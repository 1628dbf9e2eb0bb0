from dataclasses import replace

import numpy as np
import pytest

from halfbat.parts.cut_candidates import candidate_cuts
from halfbat.parts.cut_choice import Border
from halfbat.parts.cuts import (
    SEEN_PER_MM,
    SeamStyle,
    cover_hides,
    kept_out,
    least_cover_mm,
    pier_cuts,
    slivers,
    toothed_cuts,
)
from halfbat.surfaces import rectangles
from wall_samples import wall_run


def candidates(wall, *styles, keep_outs=(), largest=65.0, cover=1.0):
    stretch = (Border(0, 0, 0), Border(wall.length_mm, wall.length_mm, 0))
    return candidate_cuts(wall, styles, stretch, keep_outs, largest_mm=largest, gap_mm=0.1, cover_width_mm=cover)


def test_cuts_beside_piers_leave_the_pier_whole():
    wall = replace(wall_run(13.3, 1.0), piers_mm=((20.0, 24.0), (60.0, 64.0)))
    cuts = pier_cuts(wall, 0.1, asked=False)
    assert [cut.position_mm for cut in cuts] == pytest.approx([19.95, 24.05, 59.95, 64.05])
    assert all(cut.style is SeamStyle.PIER and not cut.covered for cut in cuts)
    # No seam may run through a pier, but one beside it may.
    assert not any(kept_out(cut, wall.piers_mm, 0.1) for cut in cuts)


def test_a_cable_run_shows_more_than_a_pier_where_piers_are_wanted():
    wall = replace(wall_run(13.3, 1.0), piers_mm=((40.0, 44.0),))
    places, cuts = candidates(wall, SeamStyle.PIER, SeamStyle.CABLE_RUN)
    beside = np.array([cut.style is SeamStyle.PIER for cut in cuts])
    assert beside.sum() == 2
    assert places.cost[beside].max() < places.cost[~beside].min()


def test_slivers_are_what_is_left_of_the_bricks_as_printed():
    wall = wall_run(5.0, 0.6, bond="flemish")
    bricks = rectangles(wall.laying, wall.joint_mm, wall.joint_mm, wall.lattice_u, wall.lattice_v)
    positions = np.arange(10, wall.length_mm * 20 - 10) * 0.05
    for position, told in zip(positions, slivers(wall, positions, 0.1), strict=True):
        left, right = position - 0.05, position + 0.05
        pieces = [
            *(left - bricks.u0[(bricks.u0 < left - 1e-6) & (bricks.u1 > left + 1e-6)]),
            *(bricks.u1[(bricks.u0 < right - 1e-6) & (bricks.u1 > right + 1e-6)] - right),
        ]
        assert told == pytest.approx(min(pieces, default=np.inf))


def test_there_is_a_clean_place_for_a_straight_cut_in_every_brick():
    wall = wall_run(13.3, 1.0)
    places, cuts = candidates(wall, SeamStyle.CABLE_RUN)
    clean = np.array([cut.position_mm for cut, cost in zip(cuts, places.cost, strict=True) if cost == 0])
    assert np.diff(clean).max() < wall.module_mm
    assert all(cut.sliver_mm >= 0.25 for cut, cost in zip(cuts, places.cost, strict=True) if cost == 0)


def test_what_is_seen_least_costs_least():
    wall = replace(wall_run(8.0, 2.0, scale="1:76"), piers_mm=((30.0, 36.0),))
    least = [int(candidates(wall, style)[0].cost.min()) for style in SeamStyle]
    by_style = dict(zip(SeamStyle, least, strict=True))
    assert sorted(by_style, key=by_style.get) == sorted(SeamStyle, key=SEEN_PER_MM.get)
    assert by_style[SeamStyle.CABLE_RUN] == 0
    narrow = candidates(wall, SeamStyle.CABLE_RUN, cover=0.4)[0].cost.min()
    assert narrow == by_style[SeamStyle.STRAIGHT]


def test_places_are_sorted_and_out_of_the_spans_kept_free():
    wall = wall_run(8.0, 2.0, scale="1:76", bond="english")
    spans = ((20.0, 31.0), (60.0, 70.0))
    places, cuts = candidates(wall, SeamStyle.CABLE_RUN, SeamStyle.TOOTHED, keep_outs=spans)
    assert {cut.style for cut in cuts} == {SeamStyle.CABLE_RUN, SeamStyle.TOOTHED}
    assert (np.diff(places.middle) >= 0).all()
    assert (places.low <= places.high).all()
    for low, high in zip(places.low, places.high, strict=True):
        assert all(high + 0.05 <= begin + 1e-6 or low - 0.05 >= end - 1e-6 for begin, end in spans)


def test_a_wall_kept_free_all_over_has_no_places():
    wall = wall_run(8.0, 2.0, scale="1:76")
    assert candidates(wall, SeamStyle.CABLE_RUN, SeamStyle.TOOTHED, keep_outs=((-1, 1000),))[1] == ()


def test_a_cut_touches_a_span_with_its_gap():
    wall = wall_run(8.0, 2.0, scale="1:76")
    cut = toothed_cuts(wall, asked=False)[3]
    assert kept_out(cut, [(cut.high_mm + 0.04, 1000)], 0.1) == (cut.high_mm + 0.04, 1000)
    assert kept_out(cut, [(cut.high_mm + 0.05, 1000), (0, cut.low_mm - 0.05)], 0.1) is None


def test_a_cover_hides_when_it_is_wide_enough():
    assert least_cover_mm(0.1) == pytest.approx(0.8)
    assert least_cover_mm(0.6) == pytest.approx(1.0)
    assert cover_hides(SeamStyle.CABLE_RUN, 0.8, 0.1)
    assert not cover_hides(SeamStyle.CABLE_RUN, 0.9, 0.6)
    assert not cover_hides(SeamStyle.STRAIGHT, 5.0, 0.1)
