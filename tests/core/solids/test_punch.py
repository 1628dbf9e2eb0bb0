import numpy as np
import pytest

from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.punch import FaceFrame, punch
from halfbat.solids.relief import Relief
from solids_help import assert_printable_solid

#: The face at y = 0 of a box 40 x 2 x 20, seen from below in y.
FRONT = FaceFrame(
    np.array([0.0, 0.0, 0.0]), np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0]), np.array([0.0, -1.0, 0.0])
)


def upright_box():
    base = Figure((Layer.rectangles([[0, 0, 40, 2]], 0),))
    return plate(Relief.flat(base, [20.0]), Relief.flat(base, [0.0]))


def ring(x0, y0, x1, y1):
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=np.float64)


def test_frame():
    np.testing.assert_allclose(FRONT.flat(np.array([[3.0, 1.0, 4.0]])), [[3.0, 4.0]])
    np.testing.assert_allclose(FRONT.depth(np.array([[3.0, 1.5, 4.0]])), [1.5])


def test_nothing_to_cut():
    solid = upright_box()
    assert punch(solid, FRONT, 2.0, []) is solid


def test_one_opening_takes_its_area_times_the_thickness():
    made = punch(upright_box(), FRONT, 2.0, [ring(5, 4, 15, 12)])
    assert_printable_solid(made, volume_mm3=40 * 2 * 20 - 10 * 8 * 2, size_mm=(40, 2, 20), genus=1)


def test_several_openings_one_of_them_round():
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    round_ring = np.stack([30 + 4 * np.cos(turn), 10 + 4 * np.sin(turn)], axis=1)
    made = punch(upright_box(), FRONT, 2.0, [ring(2, 2, 8, 18), ring(10, 2, 16, 10), round_ring])
    # A regular polygon of 24 corners: n / 2 * r^2 * sin(2 pi / n).
    area = 6 * 16 + 6 * 8 + 12 * 16 * np.sin(np.pi / 12)
    assert_printable_solid(made, volume_mm3=1600 - 2 * area, genus=3)


def test_openings_one_after_another():
    made = upright_box()
    for x in (3.0, 13.0, 23.0):
        made = punch(made, FRONT, 2.0, [ring(x, 3, x + 7, 17)])
    assert_printable_solid(made, volume_mm3=1600 - 3 * 7 * 14 * 2, genus=3)


def test_through_an_inner_face_only_part_of_the_height():
    """A tray: walls of 2 on a floor of 3, the opening above the floor."""
    outer = Layer.rectangles([[0, 0, 40, 20]], 0)
    front = Relief.flat(Figure((outer, Layer.rectangles([[2, 2, 38, 18]], 1))), [20.0, 3.0])
    tray = plate(front, Relief.flat(Figure((outer,)), [0.0]))
    made = punch(tray, FRONT, 2.0, [ring(10, 5, 20, 15)])
    assert_printable_solid(made, volume_mm3=tray.volume_mm3 - 200, genus=1)
    with pytest.raises(ValueError, match="does not lie inside"):
        punch(tray, FRONT, 2.0, [ring(10, 1, 20, 15)])


@pytest.mark.parametrize(
    ("opening", "thickness"), [(ring(50, 4, 60, 12), 2.0), (ring(5, 4, 15, 12), 1.0), (ring(35, 4, 45, 12), 2.0)]
)
def test_what_does_not_lie_in_both_faces_is_refused(opening, thickness):
    with pytest.raises(ValueError, match=r"does not lie inside|outline|cross"):
        punch(upright_box(), FRONT, thickness, [opening])
