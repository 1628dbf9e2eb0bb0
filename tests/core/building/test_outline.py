import pytest

from halfbat.building.orient import orient_planes
from halfbat.building.outline import Fault, measure_wall
from halfbat.building.planes import find_planes
from halfbat.building.tidy import tidy_mesh
from sample_meshes import SQUARE, mesh_of, prism_rings

OUTLINES = {
    "plain": ([(0, 0), (6, 0), (6, 3), (0, 3)], None),
    "fall": ([(0, 0), (6, 0), (6, 3.2), (0, 3)], None),
    "low ridge": ([(0, 0), (6, 0), (6, 3), (3, 3.1), (0, 3)], None),
    "rake": ([(0, 0), (6, 0), (6, 3.6), (0, 3)], Fault.TOP),
    "gable": ([(0, 0), (6, 0), (6, 3), (3, 5), (0, 3)], Fault.TOP),
    "step": ([(0, 0), (6, 0), (6, 2), (3, 2), (3, 3), (0, 3)], Fault.STEP),
    "door": ([(0, 0), (2, 0), (2, 2), (3, 2), (3, 0), (6, 0), (6, 3), (0, 3)], Fault.NOTCH),
    "slot": ([(0, 0), (6, 0), (6, 1), (3, 1), (3, 2), (6, 2), (6, 3), (0, 3)], Fault.NOTCH),
    "stepped ground": ([(0, 0), (3, 0), (3, 1), (6, 1), (6, 3), (0, 3)], Fault.FOOT),
    "sloping ground": ([(0, 0), (6, 0.5), (6, 3), (0, 3)], Fault.FOOT),
    "course of play": ([(0, 0), (6, 0.03), (6, 3), (0, 3.02)], None),
}


@pytest.mark.parametrize("name", OUTLINES)
def test_outlines(name):
    outline, fault = OUTLINES[name]
    tidy = tidy_mesh(mesh_of([(u, 0, v) for u, v in outline], *prism_rings(SQUARE)[1:]))
    planes = orient_planes(tidy.points, find_planes(tidy)).planes
    wall = measure_wall(tidy.points, next(plane for plane in planes if 0 in plane.faces))
    assert wall.fault is fault
    assert wall.left_m.tolist() == [0, 0]
    assert wall.right_m.tolist() == [6, 0]
    assert wall.length_m == 6
    assert wall.high_m == pytest.approx(max(v for _, v in outline))
