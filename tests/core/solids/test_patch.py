import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from halfbat.solids.patch import triangulate


def area(points, triangles):
    a, b, c = (points[triangles[:, k]] for k in range(3))
    twice = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    assert (twice > 0).all()
    return twice.sum() / 2


def assert_covers(points, outline, holes, triangles):
    """Triangles fill the patch, and its edges are those of its rings, each walked once."""
    points = np.asarray(points)
    shape = shapely.Polygon(points[outline], [points[hole] for hole in holes])
    assert area(points, triangles) == pytest.approx(shape.area)
    edges = {(a, b) for t in triangles.tolist() for a, b in zip(t, (*t[1:], t[0]), strict=True)}
    assert len(edges) == 3 * len(triangles)
    rim = {edge for edge in edges if edge[::-1] not in edges}
    assert rim == {(a, b) for ring in (outline, *holes) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)}


def test_square():
    points = np.array([[0, 0], [10, 0], [10, 10], [0, 10]])
    triangles = triangulate(points, range(4), [])
    assert len(triangles) == 2
    assert_covers(points, [0, 1, 2, 3], [], triangles)


def test_square_with_a_square_hole_takes_eight_triangles():
    points = np.array([[0, 0], [30, 0], [30, 30], [0, 30], [10, 10], [10, 20], [20, 20], [20, 10]])
    triangles = triangulate(points, [0, 1, 2, 3], [[4, 5, 6, 7]])
    # Corners plus two for each hole, less two: 8 + 2 - 2.
    assert len(triangles) == 8
    assert_covers(points, [0, 1, 2, 3], [[4, 5, 6, 7]], triangles)


def test_corners_on_straight_stretches_are_kept():
    points = np.array([[0, 0], [10, 0], [20, 0], [30, 0], [30, 10], [30, 20], [0, 20], [0, 10]])
    triangles = triangulate(points, range(8), [])
    assert set(triangles.ravel().tolist()) == set(range(8))
    assert_covers(points, list(range(8)), [], triangles)


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 4), st.integers(1, 4), st.randoms(use_true_random=False))
def test_any_number_of_holes_in_a_row_or_a_grid(columns, rows, random):
    points = [[0, 0], [columns * 100, 0], [columns * 100, rows * 100], [0, rows * 100]]
    holes = []
    for x in range(columns):
        for y in range(rows):
            u0, v0 = x * 100 + random.randint(1, 40), y * 100 + random.randint(1, 40)
            u1, v1 = u0 + random.randint(1, 50), v0 + random.randint(1, 50)
            holes.append([len(points) + k for k in range(4)])
            points += [[u0, v0], [u0, v1], [u1, v1], [u1, v0]]
    triangles = triangulate(np.array(points), range(4), holes)
    assert_covers(points, [0, 1, 2, 3], holes, triangles)


def test_a_hole_over_the_outline_is_refused():
    points = np.array([[0, 0], [30, 0], [30, 30], [0, 30], [10, 10], [10, 20], [40, 20], [40, 10]])
    with pytest.raises(ValueError, match="cross"):
        triangulate(points, [0, 1, 2, 3], [[4, 5, 6, 7]])


def test_a_ring_that_crosses_itself_is_refused():
    points = np.array([[0, 0], [10, 10], [10, 0], [0, 10]])
    with pytest.raises(ValueError, match="cross"):
        triangulate(points, range(4), [])
