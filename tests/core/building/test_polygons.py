import numpy as np

from halfbat.building.polygons import area_vectors, edges_of, polygons_from


def test_area_of_a_keyhole_far_from_the_origin():
    ring = [(0, 0), (6, 0), (6, 4), (0, 4), (0, 0), (1, 1), (1, 2), (2, 2), (2, 1), (1, 1)]
    points = np.array([(x + 5e5, y + 5e6, 7.0) for x, y in ring])
    vectors = area_vectors(points, polygons_from([range(10)]))
    assert np.allclose(vectors, [[0, 0, 23]], atol=1e-6)


def test_edges_are_counted_each_way():
    polygons = polygons_from([(0, 1, 2), (2, 1, 3), (0, 1, 4)])
    edges = edges_of(polygons)
    uses = {
        tuple(ends): (int(f), int(b))
        for ends, f, b in zip(edges.ends.tolist(), edges.forward, edges.backward, strict=True)
    }
    assert uses[(0, 1)] == (2, 0)
    assert uses[(1, 2)] == (1, 1)
    assert polygons.following.tolist() == [1, 2, 0, 1, 3, 2, 1, 4, 0]
