"""Rainwater goods against published sizes."""

import pytest

from halfbat.parts.downpipes import pipe_form
from halfbat.settings import DownpipeSettings
from halfbat.units import parse_scale
from kit_help import settings_with

#: A 68 mm pipe at 4, 3.5, 2 and 7 mm to the foot and its like, mm: a trade table of making notes.
PIPE_MM = {"1:148": 0.46, "1:87.1": 0.78, "1:76.2": 0.89, "1:43": 1.58}


@pytest.mark.parametrize(("scale", "true"), PIPE_MM.items())
def test_pipes_are_true_to_scale_but_wide_enough_for_a_seam(scale, true):
    # 0.8 mm hides a seam at any scale (making notes); widths are whole pixels of 0.05 mm, rounded up.
    width = pipe_form(settings_with(), parse_scale(scale)).width_mm
    least = max(true, 0.8)
    assert least - 0.006 <= width < least + 0.05


def test_usual_sizes_are_those_of_the_trade():
    usual = DownpipeSettings()
    # A half-round gutter of 112 mm goes with a round pipe of 68 (UK practice, BS EN 607 and BS EN 12200).
    assert (usual.shape, usual.size_mm) == ("round", 68.0)
    # Cast-iron pipes are fixed every 1.83 m at most (BS 460).
    assert usual.spacing_m <= 1.83
