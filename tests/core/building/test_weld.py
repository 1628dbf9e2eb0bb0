import numpy as np
from scipy.spatial import cKDTree

from halfbat.building.weld import linked, weld


def test_points_join_across_cell_borders_and_chains():
    points = np.array([[0.0009999, 0, 0], [0.0010001, 0, 0], [0.0018, 0, 0], [0.5, 0, 0], [-0.3, 0, 0]])
    welded, index = weld(points, 0.001)
    assert index.tolist() == [0, 0, 0, 1, 2]
    assert np.array_equal(welded, points[[0, 3, 4]])


def test_many_copies_of_one_point():
    points = np.repeat(np.array([[0.0, 0.0, 0.0], [1.0, 2.0, 3.0]]), 50_000, axis=0)
    welded, index = weld(points, 0.001)
    assert len(welded) == 2
    assert np.array_equal(np.bincount(index), [50_000, 50_000])


def test_groups_are_those_of_a_tree_search():
    random = np.random.default_rng(5)
    points = random.uniform(0, 0.03, (600, 2))
    pairs = cKDTree(points).query_pairs(0.001, output_type="ndarray")
    expected = linked(len(points), pairs[:, 0], pairs[:, 1])
    _, index = weld(points, 0.001)
    first = np.array([np.flatnonzero(index == group)[0] for group in range(index.max() + 1)])
    assert np.array_equal(first[index], expected)


def test_nothing_to_weld():
    welded, index = weld(np.zeros((0, 3)), 0.001)
    assert len(welded) == len(index) == 0
