import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from figure_samples import arched_wall, outline, ring
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief, raise_relief
from halfbat.solids.rim import rim_between
from solids_help import assert_printable_solid

BASE = outline(0, 0, 10, 10)


def sides_of(layers, back_layers, heights=(1.0,), back_heights=(0.0,)):
    upper = raise_relief(Relief.flat(Figure(layers), heights), upper=True)
    return upper, raise_relief(Relief.flat(Figure(back_layers), back_heights), upper=False)


def corners_of(rim, upper, lower):
    """Corners (M, 3, 3) of the rim's triangles in grid units."""
    return np.concatenate([upper.vertices, lower.vertices])[rim]


def areas_of(corners):
    return np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2 / 1e8


def test_a_plain_rim_is_two_triangles_a_side():
    upper, lower = sides_of((BASE,), (BASE,))
    rim = rim_between(upper, lower)
    assert len(rim) == 8
    np.testing.assert_allclose(areas_of(corners_of(rim, upper, lower)).sum(), 40.0)


def test_sides_with_points_of_their_own_are_joined_without_new_ones():
    bricks = Layer.rectangles([[1, 0, 2, 3], [4, 0, 5, 2], [0, 4, 3, 6]], 1)
    recesses = Layer.rectangles([[2.5, 0, 6, 1], [8, 8, 10, 9]], 1)
    upper, lower = sides_of((BASE, bricks), (BASE, recesses), (1.0, 1.2), (0.0, 0.0))
    rim = rim_between(upper, lower)
    assert len(rim) == len(upper.rim_from) + len(lower.rim_from)
    np.testing.assert_allclose(areas_of(corners_of(rim, upper, lower)).sum(), 40.0)


def test_strips_face_outward():
    upper, lower = sides_of((BASE,), (BASE,))
    corners = corners_of(rim_between(upper, lower), upper, lower)
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    middle = corners.mean(axis=1) - [50000, 50000, 5000]
    assert (np.einsum("ij,ij->i", normal, middle) > 0).all()


@pytest.mark.parametrize("deep", [(0.9, 0.1, 0.9, 0.0), (0.0, 0.9, 0.0, 0.9)])
def test_a_back_that_rises_and_falls_along_the_rim(deep):
    """No strip is folded, though the front has no point where the back bends."""
    strips = Layer.rectangles([[2.5 * k, 0, 2.5 * (k + 1), 10] for k in range(4)], range(4))
    ends = [0.5, *deep]
    planes = []
    for k in range(4):
        slope = (ends[k + 1] - ends[k]) / 2.5
        planes.append((ends[k] - slope * 2.5 * k, slope, 0.0))
    upper = raise_relief(Relief.flat(Figure((BASE,)), [1.0]), upper=True)
    lower = raise_relief(Relief(Figure((BASE, strips)), np.array(planes)), upper=False)
    assert not len(lower.steps)
    areas = areas_of(corners_of(rim_between(upper, lower), upper, lower))
    under = np.trapezoid(ends, dx=2.5) if hasattr(np, "trapezoid") else np.trapz(ends, dx=2.5)
    expected = 2 * (10.0 - under) + 10.0 * (1.0 - ends[0]) + 10.0 * (1.0 - ends[-1])
    np.testing.assert_allclose(areas.sum(), expected, atol=1e-3)


def test_openings_have_rims_too():
    front, back = arched_wall(20, 20)
    upper, lower = raise_relief(front, upper=True), raise_relief(back, upper=False)
    rim = rim_between(upper, lower)
    assert len(rim) == len(upper.rim_from) + len(lower.rim_from)


@pytest.mark.parametrize(
    "other",
    [
        (outline(0, 0, 10, 9.5),),
        (outline(1, 1, 9, 9),),
        (BASE, Layer.patches([ring(4, 4, 5, 5)], OUTSIDE)),
    ],
)
def test_outlines_that_differ_are_refused(other):
    with pytest.raises(ValueError, match="outlines of front and back differ"):
        rim_between(*sides_of((BASE,), other))
    with pytest.raises(ValueError, match="outlines of front and back differ"):
        rim_between(*sides_of(other, (BASE,)))


@given(st.floats(-0.001, 0.001), st.sampled_from([0, 90, 37]))
@example(0.0, 0)
def test_corners_of_one_side_rounded_off_a_slightly_slanting_edge_are_on_it(shift, turn):
    """A roof skin with a leaning strip at both ends of its back, and tiles in front, where front and back differed."""
    way = np.radians(turn)
    turned = np.array([[np.cos(way), np.sin(way)], [-np.sin(way), np.cos(way)]])
    left = [[-15.87698, 16.586768], [-15.963869, -16.586], [-15.50711, -16.585683]]
    right = [[15.506184, -16.564155], [15.962958, -16.563838], [15.656444, 16.423809], [15.199645, 16.42617]]
    outline = np.array([*left, *right, [-15.420228, 16.584408]]) + np.array([0.0, shift])
    slopes = np.array([[0.0, 0.0], [-1.751473, 0.004588], [1.751404, 0.016274]])
    planes = [[0.8 - slopes[k] @ outline[at] if k else 0.0, *(slopes[k] @ turned)] for k, at in enumerate((0, 1, 4))]
    tiles = [np.array([[x, -20.0], [x + 1.45, -20.0], [x + 1.45, 20.0], [x, 20.0]]) for x in np.arange(-17.05, 17, 1.6)]
    base = Layer.union([outline @ turned], 0)
    strips = Layer.tiles([outline[[0, 1, 2, 7]] @ turned, outline[[4, 5, 6, 3]] @ turned], [1, 2])
    front = Relief.flat(Figure((base, Layer.patches([tile @ turned for tile in tiles], 1))), [1.006, 1.2])
    assert_printable_solid(plate(front, Relief(Figure((base, strips)), np.array(planes))))


@pytest.mark.parametrize("apart", [0.1, -0.1, 0.3, -0.3])
def test_a_bend_that_is_hardly_one_may_be_rounded_far_along_its_edge(apart):
    """Two walls nearly in line behind a roof skin, 0.03 degrees off: where the bend lies is lost in rounding."""

    def bent_at(y):
        return Layer.union([np.array([(-7, -25), (7.35, -25), (7.35, y), (7.33, 25), (-7, 25)])], 0)

    rows = Layer.rectangles([[-8, y, 8, y + 0.65] for y in np.arange(-24.83, 24, 1.3)], 1)
    upper, lower = sides_of((bent_at(-13.3 + apart), rows), (bent_at(-13.3),), (1.5, 1.7), (0.0,))
    areas = areas_of(corners_of(rim_between(upper, lower), upper, lower))
    assert areas.sum() == pytest.approx(1.5 * (2 * 50.0 + 14.35 + 14.33), rel=1e-4)


def test_outlines_whose_bends_are_apart_differ():
    bent = Layer.union([np.array([(0, 0), (10, 0), (10.1, 4), (10, 10), (0, 10)])], 0)
    other = Layer.union([np.array([(0, 0), (10, 0), (10.1, 6), (10, 10), (0, 10)])], 0)
    with pytest.raises(ValueError, match="differ"):
        rim_between(*sides_of((bent,), (other,)))
