import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.parts.corners import End
from halfbat.parts.wall_face import wall_face, with_bends

OBLONG = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 12.0], [0.0, 12.0]])
GABLE = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 12.0], [15.0, 20.0], [0.0, 12.0]])
MITRE = End(0.05, 1.0, ((0.75, 0.7), (1.5, 1.2)))


def test_only_the_two_upright_edges_are_ended():
    made = wall_face(GABLE, End(0.1), End(0.2), 1.2, "wall A")
    np.testing.assert_allclose(
        made.outline_mm, [[0.1, 0], [29.8, 0], [29.8, 12 + 0.2 * 8 / 15], [15, 20], [0.1, 12 + 0.1 * 8 / 15]], atol=1e-9
    )
    assert made.leans == () and made.strips_mm == ()


def test_mitres_lean_and_leave_a_flat_back():
    made = wall_face(OBLONG, MITRE, MITRE, 1.2, "wall A")
    assert len(made.leans) == 2 and {lean.slope for lean in made.leans} == {1.0}
    assert made.flat_mm[:, 0].min() == pytest.approx(1.5) and made.flat_mm[:, 0].max() == pytest.approx(28.5)
    assert len(made.strips_mm) == 2
    for strip, (a, b, c) in zip(made.strips_mm, made.planes, strict=True):
        inner = min(strip[:, 0], key=lambda x: abs(x - 15))
        assert a + b * inner + c * 3 == pytest.approx(0.0)
        assert c == 0.0


def test_an_edge_inside_a_wall_is_not_a_corner():
    step = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [10.0, 20.0], [10.0, 12.0], [0.0, 12.0]])
    made = wall_face(step, MITRE, MITRE, 1.2, "wall A")
    assert len(made.leans) == 2
    assert (made.outline_mm == [10.0, 20.0]).all(axis=1).any()


def test_nothing_left_of_the_back():
    narrow = np.array([[0.0, 0.0], [3.0, 0.0], [3.0, 12.0], [0.0, 12.0]])
    with pytest.raises(KitError, match="no back left between its corners"):
        wall_face(narrow, MITRE, MITRE, 1.2, "wall A")


def test_bends():
    ring = with_bends(GABLE, [5.0, 15.0, 40.0])
    # One on the foot and one on the left rake at 5; at 15 the foot's only, the ridge has a corner already.
    np.testing.assert_allclose(
        ring, [[0, 0], [5, 0], [15, 0], [30, 0], [30, 12], [15, 20], [5, 12 + 8 / 3], [0, 12]], atol=1e-9
    )


@pytest.mark.parametrize(
    ("outline", "right"),
    [
        # Two steps of a raking top within the thickness of the next skin; one joined leaves the other too short.
        ([[0, 0], [7.067, 0], [7.067, 89.594], [7.018, 90.066], [7.018, 90.974], [0, 89.113]], 0.141),
        # A strip beside the corner that is narrower than the skin, under a chimney breast.
        (
            [
                [0, 0],
                [60, 0],
                [60, 21.607],
                [58.511, 21.607],
                [58.511, 81.155],
                [56.6, 81.155],
                [56.6, 21.6],
                [0, 21.8],
            ],
            1.54,
        ),
    ],
)
def test_steps_within_the_thickness_of_the_next_skin_go(outline, right):
    made = wall_face(
        np.array(outline, dtype=np.float64), End(0.3), End(right, 0.5, ((0.0, 0.9), (0.7, 1.2))), 1.2, "wall A"
    )
    ring = made.outline_mm
    assert ring[:, 0].max() == pytest.approx(outline[1][0] - right)
    steps = np.roll(ring, -1, axis=0) - ring
    assert np.hypot(*steps.T).min() > 1e-6
