import numpy as np
import shapely

from halfbat.building.plan import crossing_pairs


def test_rings_are_simple_where_shapely_says_so():
    random = np.random.default_rng(4)
    for _ in range(300):
        ring = np.round(random.uniform(0, 4, (random.integers(3, 8), 2)))
        steps = np.roll(ring, -1, axis=0) - ring
        if not np.abs(steps).sum(axis=1).all():
            continue
        simple = len(crossing_pairs(ring, np.roll(ring, -1, axis=0))) == 0
        unique = len(np.unique(ring, axis=0)) == len(ring)
        if unique:
            assert simple == shapely.LinearRing(ring).is_simple, ring


def test_only_true_crossings():
    starts, ends = np.array([[0, 0], [0, 2], [2, 0.0]]), np.array([[2, 2], [2, 0], [1, 1.0]])
    nodes = np.arange(6).reshape(-1, 2)
    assert crossing_pairs(starts, ends, nodes, touching=False).tolist() == [[0, 1]]
    assert crossing_pairs(starts, ends, nodes).tolist() == [[0, 1], [0, 2], [1, 2]]
