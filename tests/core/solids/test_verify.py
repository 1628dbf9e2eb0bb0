import numpy as np
import pytest

from figure_samples import arched_wall, plain_wall
from halfbat.errors import KitError
from halfbat.solids.plate import plate
from halfbat.solids.solid import Solid
from halfbat.solids.verify import faults, require_printable
from sample_kits import box_solid

BOX = box_solid(4.0, 3.0, 2.0)


def both(one, two):
    return Solid(
        np.concatenate([one.vertices, two.vertices]),
        np.concatenate([one.triangles, two.triangles + len(one.vertices)]),
    )


def moved(solid, by):
    return Solid(solid.vertices + np.asarray(by, dtype=np.float64), solid.triangles)


def test_good_solids_have_no_faults():
    assert faults(BOX) == ()
    assert faults(plate(*plain_wall(12, 9))) == ()
    assert faults(plate(*arched_wall(20, 30))) == ()
    require_printable(BOX, "box")


def test_no_triangles():
    assert faults(Solid(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64))) == ("has no triangles",)
    assert faults(Solid(BOX.vertices, BOX.triangles[:0])) == ("has no triangles",)


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_coordinates_that_are_not_finite(value):
    vertices = BOX.vertices.copy()
    vertices[3, 1] = value
    assert faults(Solid(vertices, BOX.triangles)) == ("has coordinates that are not finite",)


def test_a_hole():
    assert faults(Solid(BOX.vertices, BOX.triangles[1:])) == ("3 edges have no partner running the other way",)


def test_a_turned_triangle():
    triangles = BOX.triangles.copy()
    triangles[4] = triangles[4][::-1]
    assert faults(Solid(BOX.vertices, triangles)) == (
        "3 edges have no partner running the other way",
        "3 edges are used more than once in one direction",
    )


def test_a_triangle_twice():
    found = faults(Solid(BOX.vertices, np.concatenate([BOX.triangles, BOX.triangles[:1]])))
    assert "3 edges are used more than once in one direction" in found


def test_two_bodies():
    assert faults(both(BOX, moved(BOX, (9, 0, 0)))) == ("is 2 bodies instead of one",)


def test_many_bodies():
    row = BOX
    for k in range(1, 7):
        row = both(row, moved(BOX, (9 * k, 0, 0)))
    assert faults(row) == ("is 7 bodies instead of one",)


def test_two_bodies_that_share_an_edge():
    met = moved(BOX, (4, 3, 0))
    found = faults(both(BOX, met))
    assert any("used more than once" in fault for fault in found)


def test_inside_out():
    assert faults(Solid(BOX.vertices, BOX.triangles[:, ::-1])) == ("is turned inside out",)


def test_a_hollow_is_a_second_body():
    inner = moved(Solid(BOX.vertices * 0.5, BOX.triangles[:, ::-1]), (1, 1, 0.5))
    assert faults(both(BOX, inner)) == ("is 2 bodies instead of one",)


def test_a_triangle_without_area():
    # A point halfway along an edge, with a triangle that has all its corners on that edge.
    a, b, c = BOX.triangles[0]
    vertices = np.vstack([BOX.vertices, (BOX.vertices[a] + BOX.vertices[b]) / 2])
    new = len(vertices) - 1
    triangles = np.vstack([BOX.triangles[1:], [[a, new, c], [new, b, c], [a, b, new]]])
    assert faults(Solid(vertices, triangles)) == ("1 triangles have no area",)


def test_vertices_that_fall_together_in_single_precision():
    far = moved(BOX, (0, 0, 0))
    vertices = far.vertices.copy() + 1e5
    a, b, c = BOX.triangles[0]
    middle = vertices[[a, b, c]].mean(axis=0)
    vertices = np.vstack([vertices, middle + np.array([[0, 0, 0], [1e-4, 0, 0], [0, 1e-4, 0]])])
    n = len(vertices) - 3
    fan = [[a, b, n], [b, n + 1, n], [b, c, n + 1], [c, n + 2, n + 1], [c, a, n + 2], [a, n, n + 2], [n, n + 1, n + 2]]
    found = faults(Solid(vertices, np.vstack([BOX.triangles[1:], fan])))
    assert found[0] == "2 vertices fall together in single precision"
    assert any("no area" in fault for fault in found)


def test_two_vertices_at_one_place_count_as_one():
    """A mesh whose triangles do not share their vertices is judged as its STL would be."""
    loose = Solid(BOX.vertices[BOX.triangles].reshape(-1, 3), np.arange(36).reshape(-1, 3))
    assert faults(loose) == ("28 vertices fall together in single precision",)


def test_vertices_that_nobody_uses_do_no_harm():
    vertices = np.vstack([BOX.vertices, BOX.vertices[:2], [[50.0, 50.0, 50.0]]])
    assert faults(Solid(vertices, BOX.triangles)) == ()


def test_zero_and_minus_zero_are_one_place():
    corner = int(np.flatnonzero((BOX.vertices == BOX.vertices.min(axis=0)).all(axis=1))[0])
    vertices = BOX.vertices - BOX.vertices[corner]
    vertices = np.vstack([vertices, [[-0.0, -0.0, -0.0]]])
    triangles = BOX.triangles.copy()
    row = int(np.flatnonzero((triangles == corner).any(axis=1))[0])
    triangles[row][triangles[row] == corner] = len(vertices) - 1
    assert faults(Solid(vertices, triangles)) == ("1 vertices fall together in single precision",)


def test_small_integers_will_do_for_triangles():
    assert faults(Solid(BOX.vertices, BOX.triangles.astype(np.int32))) == ()


def test_require_printable_says_where():
    with pytest.raises(KitError) as refused:
        require_printable(Solid(BOX.vertices, BOX.triangles[1:]), "panel A1")
    assert refused.value.where == "panel A1"
    assert "3 edges have no partner" in str(refused.value)
