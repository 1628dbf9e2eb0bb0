"""Walls of a single face that go on above the roof."""

import numpy as np
import pytest

from halfbat.building.border import Border
from halfbat.building.parapets import with_parapets
from halfbat.building.strips import Strip
from halfbat.building.survey import survey_mesh
from sample_meshes import mesh_of


def raised(*corners):
    """A strip of 8 m along x under a roof at 3.4 m, and one wall in its plane."""
    survey = survey_mesh(mesh_of([(u, 0.0, v) for u, v in corners]))
    border = Border(0, 1, 0, -1, 0, -1)
    strip = Strip(border, np.array([0.0, 0.0]), np.array([8.0, 0.0]), (0.0, 0.0), (3.4, 3.4))
    planes = [plane if plane.normal[1] < 0 else plane.flipped() for plane in survey.oriented.planes]
    return with_parapets(survey.tidy.points, planes, [strip])


def test_a_strip_is_as_high_as_its_wall():
    (strip,) = raised((0, 0), (8, 0), (8, 4.2), (0, 4.0))
    assert strip.high_m == pytest.approx((4.0, 4.2))


def test_a_wall_that_begins_just_off_the_end_is_no_endless_parapet():
    strips = raised((0.04, 0), (8, 0), (8, 4.0), (0.04, 4.0))
    assert np.isfinite([strip.high_m for strip in strips]).all()
    assert max(max(strip.high_m) for strip in strips) == pytest.approx(4.0, abs=0.01)
