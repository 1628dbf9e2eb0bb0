import numpy as np

from halfbat.drawings.painting import Flat, painting_order


def square(x, y, size, depth):
    """A face square to the eye."""
    ring = np.array([[x, y], [x + size, y], [x + size, y + size], [x, y + size]], dtype=float)
    return Flat((ring,), np.array(depth if np.ndim(depth) else [0.0, 0.0, depth]))


def test_nearer_faces_come_later():
    assert painting_order([square(0, 0, 10, 3.0), square(5, 5, 10, 1.0), square(2, 2, 10, 2.0)]) == [1, 2, 0]


def test_a_small_face_just_over_a_large_one_whose_middle_is_nearer():
    # The large one leans: its middle is nearer than the small one, but not where the small one is.
    large = square(0, 0, 100, [0.5, 0.0, 0.0])
    small = square(1, 40, 3, 5.0)
    assert painting_order([small, large]) == [1, 0]
    assert painting_order([large, small]) == [0, 1]


def test_thin_faces_between_the_points_of_the_grid_are_seen_too():
    strip = Flat((np.array([[50.0, 10], [50.05, 10], [50.05, 90], [50.0, 90]]),), np.array([0.0, 0.0, -1.0]))
    cover = square(0, 0, 100, -5.0)
    assert painting_order([strip, cover]) == [1, 0]


def test_a_hole_covers_nothing():
    outer, hole = square(0, 0, 30, 10.0).rings[0], square(5, 5, 20, 0.0).rings[0][::-1]
    frame = Flat((outer, hole), np.array([0.0, 0.0, 10.0]))
    inside = square(10, 10, 5, 20.0)
    assert painting_order([inside, frame]) in ([0, 1], [1, 0])


def test_a_ring_of_faces_each_over_the_next_still_ends():
    faces = []
    for turn in range(3):
        angle = 2 * np.pi * turn / 3
        matrix = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        ring = np.array([[-10.0, -6], [10, -6], [10, -4], [-10, -4]]) @ matrix.T
        slope = matrix @ [1.0, 0.0]
        faces.append(Flat((ring,), np.array([*slope, 0.0])))
    assert sorted(painting_order(faces)) == [0, 1, 2]


def test_nothing():
    assert painting_order([]) == []
