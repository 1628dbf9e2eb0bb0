import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.units import parse_scale

UK, STRETCHER, FULL = get_format("uk_metric"), get_bond("stretcher"), parse_scale("1:1")


def courses(height_mm, top="adjust gauge", **more):
    return set_courses(height_mm, STRETCHER, UK, FULL, top, **more)


@pytest.mark.parametrize("top", ["adjust gauge", "cut course"])
def test_whole_courses_need_no_word(top):
    found = courses(3000, top)
    assert found.courses == 40
    assert found.gauge_mm == pytest.approx(75)
    assert found.findings == ()
    np.testing.assert_allclose(found.bed_v_mm, 5 + 75 * np.arange(40))


def test_gauge_is_adjusted_within_its_limit_and_told_with_figures():
    found = courses(3030)
    assert found.courses == 40
    assert found.gauge_mm == pytest.approx(75.75)
    assert [finding.code for finding in found.findings] == ["gauge-adjusted"]
    assert "75.8 mm instead of 75.0" in found.findings[0].text


def test_gauge_is_not_adjusted_beyond_its_limit():
    found = courses(500)
    assert found.gauge_mm == pytest.approx(75)
    assert [finding.code for finding in found.findings] == ["course-cut"]
    assert found.courses == 7


def test_top_course_is_cut_when_asked():
    found = courses(3045, "cut course")
    assert found.courses == 41
    assert found.bed_v_mm[-1] == pytest.approx(3005)
    assert found.height_mm == 3045


def test_thin_top_course_is_shared_with_the_one_below():
    found = courses(3010, "cut course")
    assert found.courses == 41
    assert found.height_mm - (found.bed_v_mm[-1] - 5) == pytest.approx(42.5)
    assert np.diff(found.bed_v_mm)[-1] == pytest.approx(42.5)


@pytest.mark.parametrize("height", [74, 10, 0, -5, float("nan")])
def test_walls_lower_than_a_course_are_refused(height):
    with pytest.raises(KitError, match="lower than one course"):
        courses(height)


def test_one_course_is_enough():
    assert courses(75).courses == 1


def test_scale_makes_everything_smaller_by_one_factor():
    scale = parse_scale("1:148")
    small = set_courses(3030 / 148, STRETCHER, UK, scale)
    np.testing.assert_allclose(small.bed_v_mm * 148, courses(3030).bed_v_mm)
