"""What brickwork becomes at a scale, told before anything is made."""

from dataclasses import replace

import pytest

from halfbat.errors import KitError
from halfbat.settings import FinishRequest, ResinProcess, Settings, with_value
from halfbat.surfaces.scale_fit import fit_lines, require_scale, scale_fit
from halfbat.units import NAMED_SCALES


def at(scale, **resin):
    return replace(with_value(Settings(), "kit", "scale", scale), resin=ResinProcess(**resin))


def test_faces_and_joints_are_those_of_the_brick_less_its_joint():
    fit = scale_fit(at("1:148"))
    # A gauge of 75 mm (UK metric, BS EN 771-1 work size 65 mm and a 10 mm joint), joints three pixels of 0.05 mm.
    assert fit.joint_mm == pytest.approx(0.15)
    assert fit.face_mm == pytest.approx(75 / 148 - 0.15)
    assert fit.findings == () and fit.refusal == ""


def test_the_smallest_scale_is_where_faces_are_just_wide_enough():
    # 75 / n - 0.15 >= 0.15 up to n = 250.
    assert scale_fit(at("1:148")).finest_ratio == 250
    # Pixels of 0.022 mm make joints of five, 0.11 mm, the least that a slicer leaves open; 75 / n >= 0.26 up to 288.
    assert scale_fit(at("1:148", pixel_x_mm=0.022, pixel_y_mm=0.022)).finest_ratio == 288
    assert not scale_fit(at("1:250")).findings
    assert [finding.code for finding in scale_fit(at("1:251")).findings] == ["scale-small"]


def test_a_scale_at_which_no_brick_is_left_is_refused_before_making():
    with pytest.raises(KitError, match=r"at 1:700 not a pixel of a brick is left .*kit\.scale.*1:250 is the smallest"):
        require_scale(at("1:700"))
    assert fit_lines(scale_fit(at("1:700")))[-1].startswith("no brickwork can be made: ")
    plain = replace(at("1:700"), finishes=(FinishRequest("all", "render"),))
    assert require_scale(plain) == ()
    band = replace(at("1:700"), finishes=(FinishRequest("all", "render", top="1 m"),))
    with pytest.raises(KitError):
        require_scale(band)


def test_joints_that_a_slicer_would_close_are_told():
    fine = at("1:220", pixel_x_mm=0.03, pixel_y_mm=0.03, min_groove_mm=0.06)
    (finding,) = scale_fit(fine).findings
    assert finding.code == "joint-closes" and "0.098 mm" in finding.text


def test_wide_joints_ask_for_a_larger_scale():
    wide = with_value(at("1:220"), "brick", "joint_width_mm", 0.6)
    fit = scale_fit(wide)
    assert fit.refusal and 0 < fit.finest_ratio < 220


@pytest.mark.parametrize("scale", [scale for scale in NAMED_SCALES if 32 <= scale.ratio <= 220], ids=lambda s: s.name)
def test_every_published_scale_to_1_220_suits_the_usual_printer(scale):
    assert require_scale(at(scale.name)) == ()
