import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.settings import CoverRequest, OpeningRequest, SeamRequest
from halfbat.sites.shapes import shape_of
from site_samples import box_sites

SITES = box_sites(base_m=0.5)


def test_an_opening_looks_as_it_will_be_cut():
    window = OpeningRequest("A", "1 m", "0.9 m", "1.5 m", "0.9 m", head="semicircular arch", sill="stone")
    shape = shape_of(SITES, window, "window", "openings")
    assert shape.trouble == ""
    assert shape.place[:3, 3] == pytest.approx([1.45, 0.0, 1.4])
    hole, *units = shape.rings
    assert hole.min(axis=0) == pytest.approx([-0.45, 0.0], abs=0.01)
    assert hole.max(axis=0) == pytest.approx([0.45, 1.5], abs=0.01)
    assert len(hole) > 8 and len(units) > 5
    assert min(unit[:, 1].min() for unit in units) < -0.05
    assert 0 < shape.depth_m < 0.2


def test_what_has_no_room_is_shown_as_a_plain_hole_with_the_reason():
    shape = shape_of(SITES, OpeningRequest("A", "7.5 m", "0.9 m", "1.5 m"), "window", "openings")
    assert len(shape.rings) == 1 and len(shape.rings[0]) == 4
    assert "move it or make it smaller" in shape.trouble


def test_a_seam_is_a_line_up_its_wall():
    shape = shape_of(SITES, SeamRequest("B", "2 m"), "seam", "seams")
    assert shape.place[:3, 3] == pytest.approx([8.0, 2.0, 0.5])
    assert np.array_equal(shape.rings[0], [[0.0, 0.0], [0.0, 3.0]])
    assert shape.thick_m == pytest.approx(0.148)
    assert shape_of(SITES, SeamRequest("B", "2 m", "toothed"), "seam", "seams").thick_m == 0.0
    assert "off wall B" in shape_of(SITES, SeamRequest("B", "6 m"), "seam", "seams").trouble


@pytest.mark.parametrize(
    "request_", [SeamRequest("Z", "2 m"), SeamRequest("A", "two"), OpeningRequest("A", "1 m", "", "2 m")]
)
def test_what_says_no_place_is_refused(request_):
    with pytest.raises(KitError):
        shape_of(SITES, request_, "it", "seams")


def test_pipes_and_runs_without_a_seam_are_as_wide_as_those_over_seams():
    pipe, run = (shape_of(SITES, CoverRequest("A", "2 m"), "it", kind).thick_m for kind in ("downpipes", "cable_runs"))
    assert pipe == shape_of(SITES, SeamRequest("A", "2 m", "downpipe"), "it", "seams").thick_m
    assert run == shape_of(SITES, SeamRequest("A", "2 m", "cable run"), "it", "seams").thick_m
    assert 0.8 <= pipe * SITES.scale.mm_per_m < 2.0
