import numpy as np
import pytest
import shapely

from halfbat.surfaces.roofing.face import RoofFace, squared

OUTLINE = np.array([[0, 0], [10, 0], [7, 6], [8, 9], [2, 8.0]])
HOLE = np.array([[3, 2], [5, 2.5], [4, 5.0]])


@pytest.fixture
def face():
    return RoofFace.of(OUTLINE, ("eaves", "hip", "verge", "ridge", "hip"), [HOLE], "here")


def test_area_left_of_lines_in_bands(face):
    low, high = np.array([-1.0, 0.0, 2.2, 5.5]), np.array([0.0, 2.2, 5.5, 9.0])
    lines = np.tile(np.linspace(-1, 11, 37), (4, 1))
    found = face.area_left_of(lines, low, high)
    shape = shapely.Polygon(OUTLINE, [HOLE])
    for row in range(4):
        for place in range(37):
            want = shape.intersection(shapely.box(-5, low[row], lines[row, place], high[row])).area
            assert found[row, place] == pytest.approx(want, abs=1e-9)


def test_lengths_and_sides():
    face = RoofFace.of([[0, 0], [4, 0], [4, 3], [1, 3]], ("eaves", "verge", "ridge", "hip"), [], "here")
    assert face.length_of_mm("eaves") == 4 and face.length_of_mm("ridge") == 3
    assert face.sides() == [(4.0, 0.0, 3.0)]
    assert face.side_bounds() == (None, 4.0)


def test_squared_outlines_have_no_edge_that_leans_a_hair():
    outline = np.array([[-14.598, 17.38], [-14.601, 30.428], [-21.061, 35.047], [-21.056, 17.378]])
    made = squared(outline)
    step = np.abs(made - np.roll(made, 1, axis=0))
    assert ((step == 0) | (step > 0.02)).all()
    assert np.abs(made - outline).max() < 0.02
    np.testing.assert_array_equal(squared(made), made)
