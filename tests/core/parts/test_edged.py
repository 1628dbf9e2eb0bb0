import numpy as np
import pytest

from halfbat.parts.corners import End
from halfbat.parts.edged import edged
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.verify import faults

SQUARE = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 10.0], [0.0, 10.0]])


def test_upright_edges_move_in_by_their_gap():
    made = edged(SQUARE, [End(0.0), End(0.1), End(0.2), End(0.3)], 1.5)
    np.testing.assert_allclose(made.outline_mm, [[0.3, 0], [19.9, 0], [19.9, 9.8], [0.3, 9.8]], atol=1e-9)
    np.testing.assert_allclose(made.flat_mm, made.outline_mm)
    assert made.strips_mm == () and made.planes == () and made.leans == ()


def test_a_leaning_edge():
    # A mitre of 45 degrees over the whole depth: no strip, one leaning end face.
    made = edged(SQUARE, [End(0.0), End(0.05, 1.0, ((1.55, 1.5),)), End(0.0), End(0.0)], 1.5)
    (lean,) = [one for one in made.leans if one.slope]
    # The upright edges beside it are told too, since its corners move along them.
    assert [one.slope for one in made.leans] == [0.0, 1.0, 0.0]
    assert lean.slope == 1.0 and lean.face_mm == 1.5
    np.testing.assert_allclose([lean.start, lean.end], [[19.95, 0], [19.95, 10]], atol=1e-9)
    # Its corners move straight in, along the neighbouring edges.
    np.testing.assert_allclose([lean.start_move, lean.end_move], [[-1, 0], [-1, 0]], atol=1e-9)
    assert made.strips_mm == ()
    tips = sorted(tip.round(6).tolist() for _, tip in made.lips_mm)
    np.testing.assert_allclose(tips, [[18.45, 0], [18.45, 10]])


def test_a_strip_of_the_back_rises_from_the_land_to_the_flat():
    # From depth 0.5 at the edge to the whole depth 1.5 two millimetres in.
    made = edged(SQUARE, [End(0.0), End(0.0, 0.0, ((0.0, 0.5), (2.0, 1.5))), End(0.0), End(0.0)], 1.5)
    (strip,), ((a, b, c),) = made.strips_mm, made.planes
    np.testing.assert_allclose(strip, [[20, 0], [20, 10], [18, 10], [18, 0]], atol=1e-9)
    # At the edge the back stands 1.0 above the flat back, at the strip's end on it.
    assert a + b * 20 + c * 5 == pytest.approx(1.0)
    assert a + b * 18 + c * 5 == pytest.approx(0.0)
    np.testing.assert_allclose(made.flat_mm, [[0, 0], [18, 0], [18, 10], [0, 10]], atol=1e-9)
    # The upright neighbours have corners where the strip ends.
    corners = {tuple(corner) for corner in made.outline_mm.round(6).tolist()}
    assert {(18.0, 0.0), (18.0, 10.0), (20.0, 0.0), (20.0, 10.0)} <= corners


@pytest.mark.parametrize("flip", [False, True])
def test_what_lies_on_a_strip_where_its_end_leans_stays_on_the_strip(flip):
    # Eaves undercut to a lip, between two hips whose mitres lean; vertices within its ends, as cuts leave
    ring = np.array([[0.0, 0.0], [40.0, 0.0], [34.0, 10.0], [10.0, 10.0]])
    if flip:
        ring = (ring * (-1, 1))[[1, 0, 3, 2]] + (40.0, 0.0)
    eaves, hip = End(0.0, -0.167, ((-0.1, 0.6), (2.25, 1.9))), End(0.05, 0.12, ((0.278, 1.9),))
    made = edged(ring, [eaves, hip, End(0.0), hip], 1.9)
    (strip,), (plane,) = made.strips_mm, made.planes
    middle = [(strip[0] + strip[3]) / 2, (strip[1] + strip[2]) / 2]
    halves = [
        np.array([strip[0], strip[1], middle[1], middle[0]]),
        np.array([middle[0], middle[1], strip[2], strip[3]]),
    ]
    base = Layer.union([made.outline_mm], 0)
    planes = np.array([(0.0, 0.0, 0.0), plane, plane])
    back = Relief(Figure((base, Layer.tiles(halves, (1, 2)))), planes)
    solid = plate(Relief.flat(Figure((base,)), [1.9]), back, made.leans)
    assert faults(solid) == ()
    # Between the lip, which moves with its own edge, and the flat.
    within = solid.vertices[(solid.vertices[:, 2] > 0.1) & (solid.vertices[:, 2] < 1.2)]
    assert len(within) == 2
    np.testing.assert_allclose(within[:, 2], plane[0] + within[:, :2] @ plane[1:], atol=2e-3)


def test_the_outline_behind_a_face_follows_its_leaning_ends():
    triangle = np.array([[0.0, 0.0], [20.0, 0.0], [10.0, 10.0]])
    made = edged(triangle, [End(0.0, -0.5), End(0.0, 0.4), End(0.0, 0.4)], 2.0)
    inward = 0.4 * 2.0 * np.sqrt(2.0)
    # Eaves reach out by 1 mm, both hips come in by 0.8 mm square to them.
    expected = [[inward - 1.0, -1.0], [21.0 - inward, -1.0], [10.0, 10.0 - inward]]
    np.testing.assert_allclose(made.back_mm(2.0), expected, atol=1e-9)
    np.testing.assert_allclose(made.back_mm(0.0), made.outline_mm)
