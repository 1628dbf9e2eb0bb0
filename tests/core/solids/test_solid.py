import numpy as np
import pytest
import trimesh

from halfbat.solids.solid import Solid
from sample_kits import box_solid


def test_volume_and_bounds_against_another_library():
    solid = box_solid(60.0, 1.2, 20.0)
    mesh = trimesh.Trimesh(solid.vertices, solid.triangles, process=False)
    assert solid.volume_mm3 == pytest.approx(mesh.volume) == pytest.approx(1440.0)
    assert solid.bounds_mm == pytest.approx(mesh.bounds)
    assert solid.size_mm == pytest.approx([60.0, 1.2, 20.0])


def test_a_solid_turned_inside_out_has_a_negative_volume():
    solid = box_solid(2.0, 3.0, 4.0)
    assert Solid(solid.vertices, solid.triangles[:, ::-1]).volume_mm3 == pytest.approx(-24.0)


def test_volume_keeps_its_digits_far_from_the_origin():
    solid = box_solid(0.1, 0.1, 0.1)
    assert Solid(solid.vertices + 1e4, solid.triangles).volume_mm3 == pytest.approx(1e-3, rel=1e-6)


def test_nothing():
    nothing = Solid(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64))
    assert nothing.volume_mm3 == 0.0
    assert not nothing.bounds_mm.any()
