"""Where roofs of separate solids run into each other."""

import numpy as np
import pytest

from halfbat.building.bodies import bodies_of
from halfbat.building.roof_crossings import roof_crossings
from halfbat.building.survey import survey_mesh
from roof_solids import block, gabled, joined_meshes, lean_to, mesh_of_solid


def crossings(*solids):
    survey = survey_mesh(joined_meshes(*(mesh_of_solid(solid) for solid in solids)))
    roofs = [plane for body in bodies_of(survey) for plane in body if plane.normal[2] > 0.05]
    return roof_crossings(survey.tidy.points, roofs)


def test_a_flat_roof_runs_into_a_slope_along_a_level_line():
    found = crossings(lean_to(0, 0, 4, 6, 6.0, 2.0), block(1.0, 2, 7, 4, 3.0))
    assert found.shape == (1, 2, 2)
    assert np.sort(found[0], axis=0).tolist() == [pytest.approx([3.0, 2.0]), pytest.approx([3.0, 4.0])]


def test_slopes_that_share_an_edge_do_not_cross():
    assert len(crossings(gabled(0, 0, 8, 5, 3, 2))) == 0


def test_level_roofs_do_not_cross():
    assert len(crossings(block(0, 0, 4, 4, 3), block(2, 2, 6, 6, 4))) == 0
