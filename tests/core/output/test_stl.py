import io
import struct

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from halfbat.output.stl import BLOCK, stl_bytes, write_stl
from halfbat.solids.solid import Solid
from sample_kits import box_solid

sizes = st.floats(0.01, 300.0)


def read_back(data):
    return trimesh.load_mesh(io.BytesIO(data), file_type="stl")


@given(sizes, sizes, sizes)
def test_another_library_reads_the_same_solid(x, y, z):
    solid = box_solid(x, y, z)
    mesh = read_back(stl_bytes(solid))
    assert mesh.is_volume
    assert mesh.volume == pytest.approx(solid.volume_mm3, rel=1e-5)
    assert mesh.bounds == pytest.approx(solid.bounds_mm, abs=1e-4)


def test_layout_byte_by_byte():
    solid = box_solid(4.0, 3.0, 2.0)
    data = stl_bytes(solid)
    assert len(data) == 84 + 50 * 12
    assert not data.lower().startswith(b"solid")
    assert struct.unpack("<I", data[80:84]) == (12,)
    for index, triangle in enumerate(solid.triangles):
        values = struct.unpack("<12fH", data[84 + 50 * index : 134 + 50 * index])
        a, b, c = solid.vertices[triangle]
        normal = np.cross(b - a, c - a)
        assert values[:3] == pytest.approx(normal / np.linalg.norm(normal))
        assert values[3:12] == pytest.approx(np.concatenate([a, b, c]))
        assert values[12] == 0


def test_more_triangles_than_one_block():
    count = 2 * BLOCK + 7
    rng = np.random.default_rng(1)
    solid = Solid(rng.uniform(0, 100, (count, 3)), rng.integers(0, count, (count, 3)))
    data = np.frombuffer(stl_bytes(solid)[84:], dtype=np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")]))
    np.testing.assert_array_equal(data["c"], solid.vertices[solid.triangles].astype("<f4"))
    edges = np.diff(solid.vertices[solid.triangles], axis=1)
    normals = np.cross(edges[:, 0], edges[:, 1])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    np.testing.assert_allclose(data["n"], normals / np.where(lengths == 0, 1, lengths), atol=1e-6)
    assert not data["a"].any()


def test_a_triangle_without_area_has_no_normal_and_no_warning():
    data = stl_bytes(Solid(np.zeros((3, 3)), np.array([[0, 1, 2]])))
    assert struct.unpack("<3f", data[84:96]) == (0.0, 0.0, 0.0)


def test_the_file_holds_the_same_bytes_and_the_solid_is_not_changed(tmp_path):
    solid = box_solid(4.0, 3.0, 2.0)
    before = solid.vertices.copy(), solid.triangles.copy()
    write_stl(solid, tmp_path / "A1.stl")
    assert (tmp_path / "A1.stl").read_bytes() == stl_bytes(solid)
    np.testing.assert_array_equal(solid.vertices, before[0])
    np.testing.assert_array_equal(solid.triangles, before[1])


def test_nothing_is_a_file_too():
    data = stl_bytes(Solid(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64)))
    assert len(data) == 84
