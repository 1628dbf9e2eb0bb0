"""Usual joints against the making notes, and true joints in pixels against the published table."""

import pytest

from halfbat.printing.processes import PRESETS, preset_process
from halfbat.surfaces.joints import TRUE_JOINT_MM, snapped_joints, usual_joint
from halfbat.units import parse_scale

RESIN = [process for process in PRESETS if process.kind == "resin"]


@pytest.mark.parametrize(
    ("scale", "width_mm", "depth_mm", "times_true"),
    # Common practice, no source: width (times the true 10 mm joint) and depth that modellers use.
    [("1:148", 0.15, 0.12, 2.2), ("1:87", 0.18, 0.15, 1.6), ("OO", 0.20, 0.15, 1.5), ("O (British)", 0.28, 0.20, 1.2)],
)
def test_usual_joints(scale, width_mm, depth_mm, times_true):
    width, depth = usual_joint(parse_scale(scale))
    assert (width, depth) == pytest.approx((width_mm, depth_mm))
    assert width / (TRUE_JOINT_MM / float(parse_scale(scale).ratio)) == pytest.approx(times_true, abs=0.05)


@pytest.mark.parametrize("process", RESIN, ids=lambda process: process.preset)
@pytest.mark.parametrize("scale", ["1:220", "1:160", "1:148", "1:120", "1:87", "OO", "1:48", "O (British)", "1:32"])
def test_no_joint_is_lost_in_slicing(process, scale):
    # A common slicer closes gaps under 0.098 mm; 0.10 was reported lost and 0.11 kept. Under 3 pixels light bridges it.
    joints = snapped_joints(parse_scale(scale), process)
    for width_mm, pixel_mm in ((joints.perpend_mm, process.pixel_x_mm), (joints.bed_mm, process.pixel_y_mm)):
        assert width_mm >= 0.11 - 1e-12
        assert width_mm / pixel_mm == pytest.approx(round(width_mm / pixel_mm))
        assert round(width_mm / pixel_mm) >= 3
    assert joints.depth_mm >= 0.10 - 1e-12


@pytest.mark.parametrize(
    ("scale", "low_mm", "high_mm"),
    # Common practice, no source: the range in which joints look right.
    [("1:148", 0.12, 0.20), ("1:87", 0.14, 0.25), ("OO", 0.16, 0.28), ("O (British)", 0.22, 0.36)],
)
@pytest.mark.parametrize("process", RESIN, ids=lambda process: process.preset)
def test_snapped_joints_stay_in_the_range_that_looks_right(process, scale, low_mm, high_mm):
    joints = snapped_joints(parse_scale(scale), process)
    assert low_mm <= joints.perpend_mm <= high_mm
    assert low_mm <= joints.bed_mm <= high_mm
    assert joints.findings == ()


def test_pixels_of_a_twentieth_at_one_to_148():
    joints = snapped_joints(parse_scale("1:148"), preset_process("resin 0.05 mm"), course_mm=75 / 148)
    assert (joints.perpend_px, joints.bed_px, joints.layers) == (3, 3, 2)
    assert joints.perpend_mm == pytest.approx(0.15)
    assert joints.findings == ()
