import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.surfaces.rectangles import Lattice
from halfbat.surfaces.roofing import get_covering, set_roof_courses
from halfbat.units import parse_scale

N = parse_scale("1:148")
PLAIN = get_covering("plain tile")


def courses(length_mm, covering=PLAIN, pitch=40, **asked):
    return set_roof_courses(covering, N, pitch_deg=pitch, eaves_v_mm=2.0, top_v_mm=2.0 + length_mm, **asked)


def test_gauge_is_closed_up_to_whole_courses():
    made = courses(N.to_mm(4.05))
    assert made.count == 41
    assert made.gauge_mm == pytest.approx(N.to_mm(4.05) / 41)
    assert made.lap_m == pytest.approx(0.265 - 2 * 4.05 / 41)
    assert made.findings == ()


def test_top_course_is_cut_where_whole_ones_would_close_up_too_far():
    made = courses(N.to_mm(0.250))
    assert made.gauge_mm == pytest.approx(N.to_mm(0.100))
    assert [finding.code for finding in made.findings] == ["roof-top-course"]


def test_sheets_keep_their_lap():
    made = courses(N.to_mm(5.0), get_covering("fibre cement profile 6"), pitch=15)
    assert (made.count, made.lap_m) == (2, 0.150)


def test_no_slope_is_refused():
    with pytest.raises(KitError, match="above zero"):
        courses(0.0)


def test_lines_share_one_datum_and_leave_no_sliver():
    made = courses(20.0)
    whole = made.lines(2.0, 22.0, Lattice(0.0, 0.0))
    part = made.lines(2.0 + 5.1 * made.gauge_mm, 2.0 + 9.9 * made.gauge_mm, Lattice(0.0, 0.0))
    np.testing.assert_allclose(part[1:-1], whole[6:10])
    assert np.diff(part).min() >= 0.25 * made.gauge_mm
    np.testing.assert_array_equal(made.numbers(whole), np.arange(made.count))
    assert made.numbers(part)[0] == 5


@pytest.mark.parametrize("lift", [0.1, 0.3])
def test_heights_stay_within_the_steps_where_a_course_is_cut(lift):
    made = courses(20.0)
    lines = made.lines(2.0 - lift * made.gauge_mm, 22.0 + lift * made.gauge_mm, Lattice(0.0, 0.0))
    tails, heads = made.tails_and_heads(lines)
    assert (tails <= lines[:-1] + 1e-9).all() and (heads >= lines[1:] - 1e-9).all()
