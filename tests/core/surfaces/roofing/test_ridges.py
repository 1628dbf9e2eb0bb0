import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.surfaces.roofing import ridge_run
from halfbat.units import parse_scale

OO = parse_scale("1:76.2")


@pytest.mark.parametrize("kind", ["half round", "angle"])
@pytest.mark.parametrize("slopes", [(40, 40), (30, 50), (60, 60), (0, 12), (22.5, 22.5)])
def test_section_sits_on_the_slopes_and_covers_them(kind, slopes):
    run = ridge_run(60.0, kind, OO, slopes)
    ring = run.section_mm
    nxt = np.roll(ring, -1, axis=0)
    assert (ring[:, 0] * nxt[:, 1] - ring[:, 1] * nxt[:, 0]).sum() > 0
    left, crown, right = ring[:3]
    np.testing.assert_allclose(left[1], left[0] * np.tan(np.radians(slopes[0])), atol=1e-9)
    np.testing.assert_allclose(right[1], -right[0] * np.tan(np.radians(slopes[1])), atol=1e-9)
    np.testing.assert_array_equal(crown, [0, 0])
    # Above the slopes everywhere else.
    falls = np.where(ring[3:, 0] < 0, np.tan(np.radians(slopes[0])), -np.tan(np.radians(slopes[1])))
    assert (ring[3:, 1] > falls * ring[3:, 0] - 1e-9).all()
    assert min(run.wings_mm) >= OO.to_mm(0.075)


def test_lengths():
    run = ridge_run(OO.to_mm(10.0), "half round", OO, (40, 40))
    assert run.count == 23 and len(run.joints_mm) == 22
    assert run.tile_mm <= OO.to_mm(0.450)
    assert run.count * run.tile_mm == pytest.approx(OO.to_mm(10.0))


@pytest.mark.parametrize(("length", "slopes"), [(0, (40, 40)), (10, (-5, 40)), (10, (89, 40))])
def test_refusals(length, slopes):
    with pytest.raises(KitError, match="no ridge tiles"):
        ridge_run(length, "angle", OO, slopes)
