import math

import pytest
import trimesh

from halfbat.building import mesh_from_box
from halfbat.building.mesh import face_list, face_names
from halfbat.errors import KitError


def test_box_is_closed_and_outward():
    mesh = mesh_from_box(9.89, 5.39, 3.0)
    triangles = [(face[0], *face[i : i + 2]) for face in mesh.faces for i in (1, 2)]
    judge = trimesh.Trimesh(mesh.vertices, triangles, process=False)
    assert judge.is_volume
    assert judge.volume == pytest.approx(9.89 * 5.39 * 3.0)


@pytest.mark.parametrize("size", [0.0, -1.0, math.nan, math.inf])
def test_box_without_size_is_refused(size):
    with pytest.raises(KitError, match="width"):
        mesh_from_box(1.0, size, 1.0)


def test_faces_are_named_as_the_maker_counts_them():
    mesh = mesh_from_box(1, 1, 1)
    assert face_names(mesh, [4]) == "face 5"
    assert face_names(mesh, [4, 0, 4]) == "faces 1 and 5"
    assert face_names(mesh, range(7)) == "faces 1, 2, 3, 4, 5, 6 and 7"
    assert face_names(mesh, range(20)) == "faces 1, 2, 3, 4, 5, 6 and 14 more"
    assert face_list(mesh, [0]) == "box, face 1"
