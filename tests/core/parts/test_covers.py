import numpy as np
import pytest
import trimesh

from halfbat.parts.covers import build_cable_run, saddle_heights_mm
from halfbat.units import parse_scale
from kit_help import settings_with
from solids_help import assert_printable_solid

SCALE = parse_scale("1:148")


def built(length=23.0, number="CA1", beside=False, **values):
    run = build_cable_run(length, SCALE, settings_with(**values), number, tab_beside=beside)
    assert_printable_solid(run.solid)
    return run


def test_size_and_profile_between_saddles():
    run = built(mark__make=False)
    np.testing.assert_allclose(run.solid.bounds_mm, [[0, -0.9, 0], [23, 0.9, 0.7]], atol=1e-3)
    box = trimesh.Trimesh(run.solid.vertices, run.solid.triangles, process=False)
    ring = box.section((1, 0, 0), (0.5, 0, 0)).discrete[0]
    np.testing.assert_allclose(ring[:, 1:].min(axis=0), [-0.5, 0], atol=1e-3)
    np.testing.assert_allclose(ring[:, 1:].max(axis=0), [0.5, 0.6], atol=1e-3)
    edges = ring[np.abs(np.abs(ring[:, 1]) - 0.5) < 1e-3]
    # The sides stand 0.4 of the height and slope from there.
    assert edges[:, 2].max() == pytest.approx(0.24, abs=2e-3)


@pytest.mark.parametrize(("spacing", "count"), [(1.0, 3), (0.5, 7), (10.0, 1), (0.1, 10)])
def test_saddles_are_spread_evenly_at_about_the_spacing(spacing, count):
    # 23 mm are 3.4 m; saddles never stand nearer than three of their own lengths.
    settings = settings_with(seam__saddle_spacing_m=spacing)
    heights = saddle_heights_mm(23.0, SCALE, settings)
    assert len(heights) == count
    assert heights.min() == pytest.approx(23.0 / count / 2)
    np.testing.assert_allclose(np.diff(heights), 23.0 / count)
    assert built(seam__saddle_spacing_m=spacing).saddles == count


def test_the_number_is_on_a_tab_below_or_beside():
    below, beside = built(), built(beside=True)
    assert below.solid.bounds_mm[0, 0] < -5 and below.solid.bounds_mm[1, 0] == pytest.approx(23)
    assert beside.solid.bounds_mm[0, 0] == pytest.approx(0, abs=1e-9)
    assert beside.solid.bounds_mm[0, 1] < -5 and beside.solid.bounds_mm[1, 1] == pytest.approx(0.9)
    assert below.solid.volume_mm3 == pytest.approx(beside.solid.volume_mm3, abs=0.05)
    assert below.marked and not built(mark__make=False).marked


@pytest.mark.parametrize(
    "values",
    [
        {"seam__cover_width_mm": 0.5, "seam__cover_height_mm": 0.2},
        {"seam__cover_width_mm": 10.0, "seam__cover_height_mm": 10.0},
        {"resin__min_stroke_mm": 2.0},
        {"mark__resin_height_mm": 20.0},
    ],
)
@pytest.mark.parametrize("length", [2.0, 23.0, 100.0])
@pytest.mark.parametrize("beside", [False, True])
def test_every_size_is_one_solid(values, length, beside):
    built(length, "CAB12", beside, **values)
