import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy import ndimage

from halfbat.printing.rasters import (
    Grid,
    dilated,
    enclosed,
    eroded,
    fine_pitch_mm,
    opened,
    pieces,
    raster,
    runs,
    step_px,
    thin_places,
    winding,
)
from halfbat.printing.sections import section
from printed_parts import box, stepped
from sample_kits import box_solid

MASKS = arrays(bool, st.tuples(st.integers(1, 24), st.integers(1, 24)))


def disc(radius):
    reach = int(radius)
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    return x * x + y * y <= radius * radius


def test_a_box_as_pixels():
    segments = section(box_solid(4.0, 2.0, 3.0), 1.0)
    grid = Grid.over(np.array([[-2, -1], [2, 1]]), 0.1, 0.05)
    mask = raster(segments, grid)
    assert mask.sum() == 40 * 40
    assert mask.sum() * grid.pixel_mm2 == pytest.approx(8.0)
    assert set(np.unique(winding(segments, grid))) == {0, 1}


def test_what_lies_twice_is_wound_twice():
    segments = section(box_solid(4.0, 2.0, 3.0), 1.0)
    grid = Grid.over(np.array([[-3, -2], [3, 2]]), 0.1)
    assert winding(np.concatenate([segments, segments]), grid).max() == 2
    assert winding(segments[:, [2, 3, 0, 1]], grid).min() == -1


@hypothesis_settings(max_examples=60)
@given(MASKS, st.floats(0, 5))
def test_growing_and_shrinking_are_those_of_a_disc(mask, radius):
    assert (dilated(mask, radius) == ndimage.binary_dilation(mask, disc(radius))).all()
    assert (eroded(mask, radius) == ndimage.binary_erosion(mask, disc(radius))).all()


@hypothesis_settings(max_examples=60)
@given(MASKS, st.booleans())
def test_pieces_are_those_of_another_library(mask, diagonal):
    labels, count = ndimage.label(mask, np.ones((3, 3)) if diagonal else None)
    found = pieces(mask, diagonal=diagonal)
    assert found.count == count
    assert sorted(found.sizes_px) == sorted(np.bincount(labels.ravel())[1:])
    assert (found.mask(np.ones(count, dtype=bool)) == mask).all()
    if count:
        first = found.mask(np.arange(count) == 0)
        assert len(set(labels[first])) == 1
        assert found.touching(first)[0]
    assert (enclosed(mask) == (ndimage.binary_fill_holes(mask, np.ones((3, 3))) & ~mask)).all()


@given(MASKS)
def test_runs_make_up_the_mask(mask):
    _row, start, end = runs(mask)
    assert (end > start).all()
    assert int((end - start).sum()) == mask.sum()


@pytest.mark.parametrize(("width", "thin"), [(0.8, False), (0.81, False), (0.65, True), (0.3, True)])
@pytest.mark.parametrize("degrees", [0, 30, 45])
def test_thin_places_are_found_whichever_way_they_run(width, thin, degrees):
    turn = np.radians(degrees)
    ring = box(-4, -width / 2, 4, width / 2) @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    outline = np.concatenate([ring, np.roll(ring, -1, axis=0)], axis=1)
    mask = raster(outline, Grid.over(np.array([[-5, -5], [5, 5]]), fine_pitch_mm(0.8)))
    found = pieces(thin_places(mask))
    assert bool(found.count and found.sizes_px.max() > 30) == thin


def test_square_corners_are_not_thin():
    solid = stepped(box(0, 0, 10, 6), [(1.0, ())])
    mask = raster(section(solid, 0.5), Grid.over(solid.bounds_mm[:, :2], fine_pitch_mm(0.8)))
    assert not thin_places(mask).any()
    assert (opened(mask, 3) <= mask).all()


def test_steps():
    assert step_px(0.3, 0.1) == 3
    assert step_px(0.31, 0.1) == 4
