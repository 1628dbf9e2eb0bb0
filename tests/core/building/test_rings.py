import numpy as np
import pytest
import shapely

from halfbat.building.rings import inner_spot, inside_rings, ring_area, straighten, trace_rings

HOLED = [np.array([(0, 0), (6, 0), (6, 4), (0, 4)], float), np.array([(1, 1), (1, 3), (5, 3), (5, 1)], float)]


def edges(*rings):
    return [(a, b) for ring in rings for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]


def test_areas_touching_at_a_corner_become_two_rings():
    flat = np.array([(0, 0), (1, 0), (1, 1), (0, 1), (2, 1), (2, 2), (1, 2)], float)
    rings = trace_rings(edges([0, 1, 2, 3], [2, 4, 5, 6]), flat)
    assert sorted(ring_area(flat[ring]) for ring in rings) == [1.0, 1.0]


def test_a_hole_touching_the_border_becomes_a_notch():
    flat = np.array([(0, 0), (2, 0), (4, 0), (4, 4), (0, 4), (1, 2), (3, 2)], float)
    (ring,) = trace_rings(edges([0, 1, 2, 3, 4], [1, 5, 6]), flat)
    assert ring_area(flat[ring]) == 14.0


def test_a_true_hole_stays_a_ring():
    flat = np.vstack(HOLED)
    rings = trace_rings(edges([0, 1, 2, 3], [4, 5, 6, 7]), flat)
    assert sorted(ring_area(flat[ring]) for ring in rings) == [-8.0, 24.0]


def test_straightening_keeps_corners_and_long_arcs():
    line = [(x, 0.0005 * (x % 2)) for x in range(20)]
    ring = np.array([*line, (19.0, 8.0), (0.0, 8.0)])
    assert straighten(np.arange(len(ring)), ring, 0.001).tolist() in (
        [0, 19, 20, 21],
        [20, 21, 0, 19],
        [21, 0, 19, 20],
        [19, 20, 21, 0],
    )
    angles = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    circle = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    kept = straighten(np.arange(720), circle, 0.001)
    assert shapely.Polygon(circle[kept]).exterior.hausdorff_distance(shapely.Polygon(circle).exterior) <= 0.001 + 1e-9
    assert 40 < len(kept) <= 128


def test_inside_agrees_with_shapely():
    random = np.random.default_rng(3)
    spots = random.uniform(-1, 7, (2000, 2))
    shape = shapely.Polygon(HOLED[0], [HOLED[1]])
    assert np.array_equal(inside_rings(HOLED, spots), shapely.contains_xy(shape, spots))


@pytest.mark.parametrize(
    "rings", [HOLED, HOLED[:1], [np.array([(0, 0), (9, 0), (9, 0.01), (0.01, 0.01), (0.01, 5), (0, 5)])]]
)
def test_inner_spot_is_inside(rings):
    assert inside_rings(rings, inner_spot(rings)[None]).all()
