import numpy as np
import pytest

from halfbat.drawings.drawing import signed_area
from halfbat.drawings.sections import level_section
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
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


def test_curves_drawn_finely_keep_their_shape():
    """Each corner of 2000 bends by less than can be seen, all together by a whole turn."""
    around = np.linspace(0.0, 2.0 * np.pi, 2000, endpoint=False)
    circle = np.column_stack([2.0 * np.cos(around), 2.0 * np.sin(around)])
    made = plate(
        Relief.flat(Figure((Layer.union([circle], 0),)), [1.0]), Relief.flat(Figure((Layer.union([circle], 0),)), [0.0])
    )
    (ring,) = level_section(made, np.eye(4), 0.5)
    assert abs(signed_area(ring)) == pytest.approx(4.0 * np.pi, rel=1e-3)
    assert len(ring) < 1000
