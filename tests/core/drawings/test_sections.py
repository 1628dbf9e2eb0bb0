import numpy as np
import pytest

from halfbat.drawings.drawing import signed_area
from halfbat.drawings.sections import level_section
from made_kits import long_box
from sample_kits import box_solid


def test_a_box_is_cut_to_its_plan():
    (ring,) = level_section(box_solid(4.0, 2.0, 3.0), np.eye(4), 1.0)
    assert abs(signed_area(ring)) == pytest.approx(8.0)
    assert len(ring) == 4


def test_over_and_under_a_solid_there_is_nothing():
    assert level_section(box_solid(4.0, 2.0, 3.0), np.eye(4), 3.5) == ()
    assert level_section(box_solid(4.0, 2.0, 3.0), np.eye(4), -0.5) == ()


def test_a_shell_is_cut_into_two_rings_that_run_against_each_other():
    kit = long_box()
    shell = kit.parts[0]
    rings = level_section(shell.solid, shell.place, kit.plan.height_mm * 0.7)
    areas = sorted(signed_area(ring) for ring in rings)
    assert len(areas) == 2 and areas[0] * areas[1] < 0
    wall = kit.settings.shell.wall_lines * kit.settings.filament.line_width_mm
    long, short = np.ptp(max(rings, key=lambda ring: abs(signed_area(ring))), axis=0)
    assert abs(sum(areas)) == pytest.approx(2 * wall * (long + short - 2 * wall), rel=0.01)
