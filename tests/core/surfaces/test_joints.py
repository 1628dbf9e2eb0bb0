from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.findings import Severity
from halfbat.settings import ResinProcess
from halfbat.surfaces.joints import part_steps_mm, snapped_joints, usual_joint
from halfbat.units import parse_scale

N = parse_scale("1:148")
pixels = st.floats(0.015, 0.08)


@given(pixels, pixels, st.floats(0.01, 0.1), st.floats(0.0, 0.6), st.floats(0.0, 0.4), st.integers(20, 300))
def test_whole_pixels_and_layers_within_half_a_step_of_what_was_asked(px, py, layer, width, depth, ratio):
    process = ResinProcess(pixel_x_mm=px, pixel_y_mm=py, layer_mm=layer)
    scale = parse_scale(ratio)
    joints = snapped_joints(scale, process, width_mm=width, depth_mm=depth)
    wanted, wanted_depth = width or usual_joint(scale)[0], depth or usual_joint(scale)[1]
    for made, count, step, want, least in (
        (joints.perpend_mm, joints.perpend_px, px, wanted, max(0.11, 3 * px)),
        (joints.bed_mm, joints.bed_px, py, wanted, max(0.11, 3 * py)),
        (joints.depth_mm, joints.layers, layer, wanted_depth, max(0.10, 2 * layer)),
    ):
        assert made == pytest.approx(count * step, abs=1e-8)
        assert made >= least - 1e-8
        assert made - max(want, least) <= step + 1e-8
        assert want - made <= step / 2 + 1e-8


@given(st.integers(20, 400), st.integers(20, 400))
def test_usual_joints_grow_with_the_model(a, b):
    small, large = sorted((a, b), reverse=True)
    assert usual_joint(parse_scale(small)) <= usual_joint(parse_scale(large))


def test_usual_joints_keep_their_share_beyond_the_table():
    width, depth = usual_joint(parse_scale("1:148"))
    assert usual_joint(parse_scale("1:296")) == pytest.approx((width / 2, depth / 2))


def test_pixels_that_are_not_square_make_two_widths():
    joints = snapped_joints(N, ResinProcess(pixel_x_mm=0.019, pixel_y_mm=0.024, layer_mm=0.03))
    assert joints.perpend_mm == pytest.approx(8 * 0.019)
    assert joints.bed_mm == pytest.approx(6 * 0.024)


def test_a_joint_too_narrow_to_print_is_widened_with_a_warning():
    joints = snapped_joints(N, ResinProcess(), width_mm=0.06, depth_mm=0.02)
    assert joints.perpend_mm == pytest.approx(0.15)
    assert [(item.severity, item.code) for item in joints.findings] == [
        (Severity.WARNING, "joint-width"),
        (Severity.WARNING, "joint-width"),
        (Severity.WARNING, "joint-depth"),
    ]
    assert "0.150 mm instead of 0.060 mm" in joints.findings[0].text


def test_rounding_what_was_asked_for_is_a_note_and_rounding_a_default_is_not_told():
    asked = snapped_joints(N, ResinProcess(pixel_x_mm=0.022, pixel_y_mm=0.022, layer_mm=0.03), width_mm=0.15)
    assert {item.severity for item in asked.findings} == {Severity.NOTE}
    assert snapped_joints(N, ResinProcess(pixel_x_mm=0.022, pixel_y_mm=0.022, layer_mm=0.03)).findings == ()


def test_joints_that_read_as_a_grid_are_reported():
    z = parse_scale("1:220")
    codes = {item.code for item in snapped_joints(z, ResinProcess(), course_mm=75 / 220).findings}
    assert {"joint-grid", "joint-coarse"} <= codes


def test_joints_deeper_than_wide_are_reported():
    codes = [item.code for item in snapped_joints(N, ResinProcess(), width_mm=0.15, depth_mm=0.4).findings]
    assert codes == ["joint-deep"]


def test_pixels_are_whole_after_the_correction_for_shrinkage():
    process = replace(ResinProcess(), scale_x=1.006, scale_y=0.99, scale_z=1.02)
    joints = snapped_joints(N, process, width_mm=0.2, depth_mm=0.2)
    assert joints.perpend_mm * 1.006 / 0.05 == pytest.approx(round(joints.perpend_mm * 1.006 / 0.05), abs=1e-6)
    assert joints.bed_mm * 0.99 / 0.05 == pytest.approx(4, abs=1e-6)
    assert joints.depth_mm * 1.02 / 0.05 == pytest.approx(4, abs=1e-6)
    assert part_steps_mm(ResinProcess()) == (0.05, 0.05, 0.05)
