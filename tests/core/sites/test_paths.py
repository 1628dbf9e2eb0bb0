"""Cable runs bent, moved and judged on their walls."""

from dataclasses import replace

import numpy as np
import pytest

from halfbat.settings import CableRunRequest, CoverRequest, SeamRequest, Settings
from halfbat.settings.paths import path_points
from halfbat.sites.moving import moved
from halfbat.sites.paths import aligned, bends, bent, corners_m, path_trouble
from halfbat.sites.shapes import shape_of
from halfbat.sites.spots import Spot
from site_samples import box_sites

SITES = box_sites(base_m=0.5)
RUN = CableRunRequest("A", "2 m")
DRAWN = [(2.0, -0.02), (2.01, 1.27), (3.4, 1.31), (3.38, 2.98)]
BENT = bent(SITES, RUN, DRAWN)


def test_a_drawn_line_is_written_on_courses_and_perpends():
    points = path_points(BENT.path)
    assert [up for _, up in points] == ["foot", "17 courses", "17 courses", "top"]
    assert points[0][0] == points[1][0] == BENT.at and points[2][0] == points[3][0]
    corners = corners_m(SITES, BENT)
    assert corners[:, 1] == pytest.approx([0.0, 1.275, 1.275, 3.0])
    perpends = SITES.wall("A").perpends_m
    assert all(np.abs(perpends - at).min() < 1e-3 for at in corners[:, 0])
    assert path_trouble(SITES, BENT, "cable_runs") == path_trouble(SITES, replace(BENT, seam=True), "cable_runs") == ""


def test_without_snapping_it_stays_where_it_was_drawn():
    free = bent(SITES, RUN, [(2.0, 0.5), (2.0, 1.27), (3.413, 1.31)], snap=False)
    assert corners_m(SITES, free) == pytest.approx(np.array([(2.0, 0.5), (2.0, 1.27), (3.413, 1.31)]), abs=1e-3)


@pytest.mark.parametrize("style", ["metric", "mm", "imperial"])
def test_it_reads_back_as_it_was_written(style):
    request = bent(SITES, replace(RUN, at="0"), DRAWN, style=style)
    again = bent(SITES, request, corners_m(SITES, request), style=style)
    assert again == request


def test_straightened_it_has_no_path():
    straight = bent(SITES, BENT, [(2.0, 0.0), (2.0, 1.2), (2.0, 2.97)])
    assert straight.path == "" and straight == replace(RUN, at=straight.at)
    assert bent(SITES, BENT, [(3.0, 1.0)]).path == ""


def test_drawn_from_the_top_it_is_told_from_the_foot():
    assert bent(SITES, RUN, DRAWN[::-1]) == BENT


def test_beside_the_wall_it_is_brought_to_its_edge():
    corners = corners_m(SITES, bent(SITES, RUN, [(2.0, 1.0), (12.0, 1.0), (12.0, 9.0)]))
    assert corners[:, 0].max() <= 8.0 and corners[:, 1].max() <= 3.0


def test_moved_it_keeps_its_shape_and_its_ends():
    before = corners_m(SITES, BENT)
    for spot in (Spot("A", 4.5, 0.0), Spot("B", 1.0, 0.7)):
        there = moved(SITES, BENT, spot)
        after = corners_m(SITES, there)
        assert there.wall == spot.wall and path_points(there.path)[0][1] == "foot"
        assert after - after[0] == pytest.approx(before - before[0], abs=2e-3)
    free = bent(SITES, RUN, [(2.0, 0.6), (2.0, 1.5), (3.4, 1.5)])
    up = corners_m(SITES, moved(SITES, free, Spot("A", 2.0, 1.2)))
    assert up[0, 1] == pytest.approx(1.2, abs=0.04)
    ended = corners_m(SITES, moved(SITES, BENT, Spot("A", 7.9, 0.0)))
    assert ended[:, 0].max() <= 8.0 + 1e-6


def test_its_place_written_anew_moves_all_of_it():
    there = aligned(SITES, replace(BENT, at="4 m"))
    assert path_points(there.path)[0] == ("4 m", "foot")
    assert corners_m(SITES, there)[2, 0] - 4.0 == pytest.approx(np.ptp(corners_m(SITES, BENT)[:, 0]), abs=2e-3)
    assert aligned(SITES, BENT) == BENT and aligned(SITES, RUN) == RUN


@pytest.mark.parametrize(
    ("request_", "kind", "says"),
    [
        (replace(RUN, path="2 m, 0; 2 m, 1 m; 5 m, 1 m", seam=True), "cable_runs", "No seam can lie under"),
        (SeamRequest("A", "2 m", "cable run", "2 m, 0; 2 m, 1 m; 5 m, 1 m"), "seams", "No seam can lie under"),
        (
            SeamRequest("A", "2 m", "toothed", BENT.path.replace(BENT.at, "2 m")),
            "seams",
            "bends under a cable run only",
        ),
        (replace(RUN, path="2 m, 0; 2 m, 1 m; 2.05 m, 1 m; 2.05 m, 2 m"), "cable_runs", "too little straight"),
        (replace(RUN, path="2 m, 0; 2 m, 1 m; 9 m, 1 m"), "cable_runs", "It is off wall A, 8.00 m long."),
    ],
)
def test_what_is_known_against_it_is_said(request_, kind, says):
    assert says in path_trouble(SITES, request_, kind)
    assert says in shape_of(SITES, request_, "it", kind).trouble


def test_it_looks_like_its_line_from_its_first_point():
    shape = shape_of(SITES, BENT, "it", "cable_runs")
    assert shape.place[2, 3] == pytest.approx(0.5) and shape.place[0, 3] == pytest.approx(corners_m(SITES, BENT)[0, 0])
    assert shape.rings[0][0] == pytest.approx([0.0, 0.0]) and len(shape.rings[0]) == 4
    assert shape.cable.thick_m == pytest.approx(shape.thick_m) and shape.cable.spacing_m == 1.0
    across, out, along = shape.cable.saddle_m
    assert across > shape.cable.thick_m and out > 0 and along > 0


def test_only_cable_runs_and_seams_under_them_bend():
    assert bends(SITES, RUN) and bends(SITES, SeamRequest("A", "1 m", "cable run"))
    assert not bends(SITES, SeamRequest("A", "1 m", "toothed")) and not bends(SITES, CoverRequest("A", "1 m"))
    assert bends(SITES, SeamRequest("A", "1 m")) == (Settings().seam.hide == "cable run")
