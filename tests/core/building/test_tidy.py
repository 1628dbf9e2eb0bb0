import numpy as np
import pytest

from halfbat.building import Mesh, mesh_from_box
from halfbat.building.tidy import tidy_mesh
from halfbat.errors import KitError
from sample_meshes import SQUARE, joined, mesh_of, prism, prism_rings


def test_sound_box_has_no_defects():
    tidy = tidy_mesh(mesh_from_box(4, 3, 2))
    assert set(tidy.defects.values()) == {0}
    assert tidy.dropped == ()


def test_worthless_faces_are_counted_and_left_out():
    rings = prism_rings(SQUARE)
    mesh = mesh_of(*rings, rings[0][::-1], [(0, 0, 0), (3, 0, 0), (6, 0, 0.0001)], [(0, 0, 0), (0, 0, 0), (6, 0, 0)])
    tidy = tidy_mesh(mesh)
    assert tidy.defects["duplicate faces"] == 1
    assert tidy.defects["zero-area faces"] == 2
    assert tidy.defects["unwelded vertices"] == 4 * 6 + 4 + 2 + 1 - 8 + 3 - 1
    assert tidy.dropped == (6, 7, 8)
    assert tidy.polygons.count == 6


def test_open_shared_and_clashing_edges_are_counted():
    box = prism_rings(SQUARE)
    tidy = tidy_mesh(mesh_of(*box[:-1]))
    assert tidy.defects["open edges"] == 4
    tidy = tidy_mesh(mesh_of(box[0][::-1], *box[1:]))
    assert tidy.defects["edges run twice the same way"] == 4
    partition = mesh_of([(0, 0, 0), (6, 4, 0), (6, 4, 3), (0, 0, 3)])
    assert tidy_mesh(joined(prism(SQUARE), partition)).defects["edges with more than two faces"] == 2


def with_point(value):
    mesh = mesh_from_box(1, 1, 1)
    vertices = mesh.vertices.copy()
    vertices[5] = value
    return Mesh(vertices, mesh.faces)


@pytest.mark.parametrize(
    ("mesh", "words"),
    [
        (Mesh(np.zeros((0, 3)), ()), "empty"),
        (Mesh(np.zeros((3, 3)), ()), "empty"),
        (Mesh(np.zeros((4, 3)), ((0, 1, 2),)), "one place"),
        (Mesh(np.zeros((4, 2)), ((0, 1, 2),)), "three coordinates"),
        (Mesh(np.eye(3), ((0, 1, 3),)), "does not exist"),
        (Mesh(np.eye(3), ((0, 1, -1),)), "does not exist"),
        (Mesh(np.eye(3), ((0, 1),)), "fewer than three"),
        (with_point(np.nan), "faces 2, 3 and 6"),
        (with_point(np.inf), "not a finite number"),
        (mesh_of([(0, 0, 0), (5, 0, 0), (9, 0, 0)]), "has an area"),
        (mesh_from_box(0.05, 0.04, 0.03), "0.05 m in size"),
        (mesh_from_box(9890, 5390, 3000), "millimetres"),
    ],
)
def test_what_cannot_be_tidied_is_refused(mesh, words):
    with pytest.raises(KitError) as refusal:
        tidy_mesh(mesh)
    assert words in str(refusal.value)


def test_unused_points_do_not_matter():
    mesh = mesh_from_box(4, 3, 2)
    vertices = np.vstack([mesh.vertices, [[np.nan, 0, 0], [1e9, 0, 0]]])
    assert tidy_mesh(Mesh(vertices, mesh.faces)).polygons.count == 6
