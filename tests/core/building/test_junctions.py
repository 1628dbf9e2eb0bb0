import numpy as np

from halfbat.building.junctions import find_junctions, split_at_junctions
from halfbat.building.polygons import edges_of, polygons_from


def test_points_on_an_edge_are_found_in_order_and_put_into_its_faces():
    points = np.array(
        [[0, 0, 0], [4, 0, 0], [4, 0, 2], [0, 0, 2], [3, 0, 2.0004], [1, 0, 2], [1, 0, 3], [3, 0, 3]], float
    )
    polygons = polygons_from([(0, 1, 2, 3), (5, 4, 7, 6)])
    edges = edges_of(polygons)
    edge, point, share = find_junctions(points, polygons, edges, 0.001)
    assert edges.ends[edge].tolist() == [[2, 3], [2, 3]]
    assert point.tolist() == [4, 5]
    assert np.allclose(share, [0.25, 0.75], atol=1e-3)
    split = split_at_junctions(polygons, edges, edge, point)
    assert split.ring(0).tolist() == [0, 1, 2, 4, 5, 3]
    assert split.ring(1).tolist() == [5, 4, 7, 6]


def test_all_found_on_edges_of_very_different_lengths():
    random = np.random.default_rng(2)
    corners = random.uniform(-20, 20, (90, 3)) * random.choice([0.01, 1.0, 20.0], (30, 1)).repeat(3, axis=0)
    ends = corners.reshape(-1, 3, 3)
    shares = random.uniform(0.1, 0.9, 30)
    on = ends[:, 0] + shares[:, None] * (ends[:, 1] - ends[:, 0])
    spurs = np.stack([on, on + np.array([0.0, 0.3, 3.0]), on + np.array([0.2, 0.0, 3.0])], axis=1).reshape(-1, 3)
    polygons = polygons_from(np.arange(180).reshape(-1, 3).tolist())
    edges = edges_of(polygons)
    edge, point, _ = find_junctions(np.vstack([corners, spurs]), polygons, edges, 0.001)
    found = {(*edges.ends[e].tolist(), int(p)) for e, p in zip(edge, point, strict=True)}
    assert {(3 * i, 3 * i + 1, 90 + 3 * i) for i in range(30)} <= found
