"""What a wall costs grows no faster than its bricks. Times are for the benchmarks; here calls and bytes are counted."""

import sys
import tracemalloc

import pytest

from figure_samples import arched_wall, plain_wall
from halfbat.solids.plate import plate
from halfbat.solids.sheet import lay
from halfbat.solids.verify import faults
from rival_solids import delaunay_count


def calls_of(work):
    """How many functions of Python and numpy a piece of work calls, once all is loaded."""
    work()
    count = 0

    def note(frame, event, argument):
        nonlocal count
        count += event in ("call", "c_call")

    sys.setprofile(note)
    try:
        work()
    finally:
        sys.setprofile(None)
    return count


def peak_bytes(work):
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize("wall", [plain_wall, arched_wall])
def test_no_loop_runs_over_bricks(wall):
    small, large = wall(20, 20), wall(160, 160)
    # Eight times as long a rim may be walked along; 64 times as many bricks may not.
    assert calls_of(lambda: plate(*large)) < 8 * calls_of(lambda: plate(*small))
    assert calls_of(lambda: plate(*plain_wall(160, 160))) < 25_000


def test_verifying_runs_over_whole_arrays():
    small, large = plate(*plain_wall(20, 20)), plate(*plain_wall(160, 160))
    assert calls_of(lambda: faults(large)) < 10 * calls_of(lambda: faults(small)) < 10_000


@pytest.mark.parametrize("wall", [plain_wall, arched_wall])
def test_a_brick_takes_under_ten_kilobytes(wall):
    """So a hundred thousand stay under 1 GB."""
    reliefs = wall(200, 100)
    assert peak_bytes(lambda: faults(plate(*reliefs))) < 20_000 * 5_000


def test_sixteen_triangles_to_a_plain_brick():
    for across, courses in ((40, 30), (120, 90)):
        solid = plate(*plain_wall(across, courses))
        assert len(solid.triangles) < 16.5 * across * courses


@pytest.mark.parametrize(("across", "courses"), [(20, 50), (60, 60), (80, 60)])
def test_triangles_within_a_fifth_of_a_constrained_delaunay_triangulation(across, courses):
    figure = arched_wall(across, courses)[0].figure
    sheet = lay(figure)
    assert len(sheet.triangles) <= 1.2 * delaunay_count(figure, sheet)
