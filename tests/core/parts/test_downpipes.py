import numpy as np
import pytest
import trimesh

from halfbat.parts.downpipes import build_downpipe, neck_mm, pipe_form
from halfbat.surfaces.dressing import Proud
from halfbat.units import parse_scale
from kit_help import settings_with
from solids_help import assert_printable_solid

LENGTH = 23.0


def built(scale="1:76.2", length=LENGTH, piece=None, eaves=0.0, lifted=0.0, proud=(), **values):
    settings = settings_with(**{f"downpipe__{key}": value for key, value in values.items()}, mark__make=False)
    form = pipe_form(settings, parse_scale(scale))
    stretch = piece or (0.0, length)
    solid = build_downpipe(length, stretch, form, settings, "CA1", eaves_mm=eaves, lifted_mm=lifted, proud=proud)
    assert_printable_solid(solid)
    return form, solid


def across(solid, x):
    """Corners of a section square to the pipe."""
    cut = trimesh.Trimesh(solid.vertices, solid.triangles, process=False).section((1, 0, 0), (x, 0, 0))
    return np.concatenate(cut.discrete)[:, 1:]


def high(solid, x):
    return across(solid, x)[:, 1].max()


def test_a_pipe_is_true_to_scale_in_whole_pixels_where_that_hides_a_seam():
    form, _ = built("1:43.5")
    # 68 mm at 1:43.5 are 1.563 mm: 32 pixels of 0.05 mm.
    assert form.width_mm == pytest.approx(1.60) and form.depth_mm == pytest.approx(0.80)
    # 30 mm of stand-off and half a pipe are 1.471 mm: layers of 0.05 mm.
    assert form.side_mm == pytest.approx(1.45)


def test_a_pipe_at_a_small_scale_is_wide_enough_to_hide_a_seam():
    form, _ = built("1:148")
    assert form.width_mm == pytest.approx(0.80)
    wide = pipe_form(settings_with(seam__gap_mm=0.6), parse_scale("1:148"))
    assert wide.width_mm == pytest.approx(1.0)


@pytest.mark.parametrize("shape", ["round", "square"])
def test_section_between_sockets(shape):
    form, solid = built(shape=shape, foot="into the ground", top="plain")
    ring = across(solid, 5.0)
    np.testing.assert_allclose(ring.min(axis=0), [-form.width_mm / 2, 0.0], atol=2e-3)
    np.testing.assert_allclose(ring.max(axis=0), [form.width_mm / 2, form.out_mm], atol=2e-3)
    upper = ring[ring[:, 1] > form.side_mm + 1e-3]
    if shape == "round":
        from_middle = np.hypot(upper[:, 0] / (form.width_mm / 2), (upper[:, 1] - form.side_mm) / form.depth_mm)
        assert from_middle.min() > np.cos(np.pi / 16) - 3e-3 and from_middle.max() < 1 + 3e-3  # eight facets
    else:
        flat = upper[upper[:, 1] > form.out_mm - 1e-3]
        assert np.ptp(flat[:, 0]) == pytest.approx(0.75 * form.width_mm, abs=0.01)


def test_sockets_are_spread_no_further_than_the_spacing():
    form, solid = built(foot="into the ground", top="plain", spacing_m=0.6)
    ears = solid.vertices[np.abs(solid.vertices[:, 1]) > form.width_mm / 2 + form.ear_mm - 1e-3]
    middles = np.unique(np.round(ears[:, 0], 3)).reshape(-1, 2).mean(axis=1)
    assert np.diff(middles).max() <= form.spacing_mm + 1e-6
    assert len(middles) == 4
    assert high(solid, middles[1]) == pytest.approx(form.out_mm + form.socket_out_mm, abs=2e-3)


def test_a_shoe_reaches_out_over_the_kerb_of_a_gully():
    form, solid = built(foot="shoe", top="plain")
    kerb, wide, deep = form.kerb_mm
    low = across(solid, kerb / 2)
    assert low[:, 1].max() == pytest.approx(deep, abs=2e-3) and np.ptp(low[:, 0]) == pytest.approx(wide, abs=2e-3)
    assert high(solid, kerb + 1e-3) == pytest.approx(form.out_mm + form.shoe_out_mm, abs=5e-3)
    assert high(solid, kerb + form.shoe_mm - 1e-3) == pytest.approx(form.out_mm, abs=5e-3)


def test_a_swan_neck_ends_at_the_edge_of_the_eaves():
    form, solid = built(eaves=3.0)
    assert high(solid, LENGTH - 1e-3) == pytest.approx(3.0, abs=0.01)
    neck = neck_mm(form, LENGTH, 0.0, 3.0)
    assert neck == pytest.approx(3.0 - form.out_mm)
    # It leans out by 45 degrees.
    assert high(solid, LENGTH - neck / 2) == pytest.approx(form.out_mm + neck / 2, abs=0.01)
    assert neck_mm(form, LENGTH, 0.0, form.out_mm) == 0.0
    assert neck_mm(form, 4.0, 0.0, 30.0) == 2.0


def test_a_hopper_head_is_wider_and_deeper_at_its_rim():
    form, solid = built(top="hopper head")
    tall, wide, deep = form.hopper_mm
    rim = across(solid, LENGTH - 0.05)
    assert np.ptp(rim[:, 0]) == pytest.approx(wide, abs=2e-3)
    assert rim[:, 1].max() == pytest.approx(deep + form.socket_out_mm, abs=2e-3)
    assert high(solid, LENGTH - tall - 0.05) < deep
    assert neck_mm(form, LENGTH, 0.0, 5.0) == 0.0


def test_hollows_let_what_stands_out_of_the_wall_pass():
    _, solid = built(lifted=0.3, proud=(Proud(8.0, 9.0, 0.4),))
    assert across(solid, 8.5)[:, 1].min() == pytest.approx(0.4, abs=1e-3)
    assert across(solid, 7.5)[:, 1].min() == pytest.approx(0.0, abs=1e-3)


def test_pieces_are_the_whole():
    _, whole = built(eaves=3.0)
    volumes = [built(eaves=3.0, piece=piece)[1].volume_mm3 for piece in ((0.0, 9.0), (9.0, 16.0), (16.0, LENGTH))]
    assert sum(volumes) == pytest.approx(whole.volume_mm3, abs=1e-3)


@pytest.mark.parametrize("scale", ["1:220", "1:148", "1:76.2", "1:22.5"])
@pytest.mark.parametrize("top", ["swan neck", "hopper head", "plain"])
@pytest.mark.parametrize("foot", ["shoe", "into the ground"])
@pytest.mark.parametrize("shape", ["round", "square"])
@pytest.mark.parametrize("length", [3.0, 12.0, 90.0])
def test_every_form_is_one_solid(scale, top, foot, shape, length):
    built(scale, length, top=top, foot=foot, shape=shape, eaves=4.0, lifted=0.2)


@pytest.mark.parametrize("size", [40.0, 300.0])
@pytest.mark.parametrize("stand_off", [0.0, 300.0])
def test_every_size_is_one_solid(size, stand_off):
    built(size_mm=size, stand_off_mm=stand_off, spacing_m=0.3, top="hopper head")
