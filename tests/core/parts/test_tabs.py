import numpy as np
import pytest
from shapely import Polygon, unary_union

from halfbat.parts.tabs import NECK_MM, TAB_MARGIN_MM, number_tab
from halfbat.settings import ResinProcess


def test_the_tab_is_as_large_as_its_number_and_hangs_on_a_neck():
    tab = number_tab("CA1", 2.2, ResinProcess())
    strokes = unary_union([Polygon(ring) for ring in tab.strokes])
    plate, neck = Polygon(tab.plate), Polygon(tab.neck)
    assert plate.contains(strokes)
    np.testing.assert_allclose(
        np.subtract(strokes.bounds, plate.bounds), np.array([1, 1, -1, -1]) * TAB_MARGIN_MM, atol=1e-9
    )
    assert plate.bounds[0] == pytest.approx(-tab.length_mm)
    assert plate.bounds[2] == -NECK_MM
    assert neck.bounds[0] < plate.bounds[2] and neck.bounds[2] > 0
    assert neck.bounds[3] - neck.bounds[1] == pytest.approx(NECK_MM)
    assert tab.depth_mm == pytest.approx(0.3)


@pytest.mark.parametrize(("quarters", "reaches"), [(0, (-1, 0)), (1, (0, -1)), (2, (1, 0)), (3, (0, 1))])
def test_turned(quarters, reaches):
    tab = number_tab("CA1", 2.2, ResinProcess())
    turned = tab.placed(quarters, (10.0, 20.0))
    away = np.array(Polygon(turned.plate).centroid.coords[0]) - [10.0, 20.0]
    np.testing.assert_allclose(away / np.linalg.norm(away), reaches, atol=1e-9)
    assert Polygon(turned.plate).area == pytest.approx(Polygon(tab.plate).area)
    # Turned, never mirrored.
    assert all(Polygon(ring).exterior.is_ccw for ring in (turned.neck, turned.plate, *turned.strokes))
