from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import plan_of, structure_of
from halfbat.parts.roofs import eaves_m, is_pitched, mass_stacks, masses_left_out, wall_outlines_mm
from halfbat.units import parse_scale

SCALE = parse_scale("1:100")
RAKE = np.hypot(2.5, 1.5) / 2.5


def test_pitched():
    slopes = structure_of("gable").slopes
    assert [round(slope.pitch_deg, 2) for slope in slopes] == [30.96, 30.96]
    assert all(is_pitched(slope) for slope in slopes)
    assert not is_pitched(replace(slopes[0], pitch_deg=3.5))


def test_eaves():
    assert eaves_m(structure_of("gable")) == pytest.approx(2.4)
    assert eaves_m(structure_of("hip")) == pytest.approx(2.4)


def test_walls_end_under_the_skins_of_the_roof():
    structure = structure_of("gable")
    outlines = wall_outlines_mm(structure, 1.7, SCALE)
    # A skin of 1.7 square to the slope is 1.7 / cos(30.96) plumb.
    plumb = 1.7 * RAKE
    for wall in structure.walls:
        top = 39.0 if len(wall.outline_m) == 5 else 24.0
        assert outlines[wall.index][:, 1].max() == pytest.approx(top - plumb, abs=1e-3)
        assert np.ptp(outlines[wall.index][:, 0]) == pytest.approx(wall.length_m * 10)
    assert sorted(len(outline) for outline in outlines.values()) == [4, 4, 5, 5]


def test_walls_too_small_for_a_skin_are_left_out():
    structure = structure_of("gable")
    # Eaves of 2.4 m come to 2.7 mm, less than a skin needs; gables of 3.9 m less a skin of 0.5 to 3.75.
    left = wall_outlines_mm(structure, 0.5, parse_scale("1:900"))
    assert [len(outline) for outline in left.values()] == [5, 5]


def test_masses():
    (stack,) = mass_stacks(structure_of("gable"), dict.fromkeys(range(4), 1.1), 1.7, SCALE)
    np.testing.assert_allclose(np.ptp(stack.corners_mm, axis=0), [80, 50], atol=1e-6)
    assert stack.height_mm == pytest.approx(24.0) and stack.base_mm == pytest.approx(0.0)
    assert stack.rings[0].walled.all() and stack.rings[0].outer.all()
    np.testing.assert_allclose(stack.rings[0].skin_mm, 1.1)
    for slope in stack.slopes:
        assert slope.lowering_mm == pytest.approx(1.7 * RAKE)
        a, b, c = slope.plane
        # The ridge lies midway across, at 39 mm.
        assert a + b * 40 + c * 25 == pytest.approx(39.0)
        assert np.hypot(b, c) == pytest.approx(0.6)


def test_nothing_stands_on_a_plain_roof():
    assert masses_left_out(structure_of("hip")) == []
    plan, _, _ = plan_of("hip")
    assert plan.structure is structure_of("hip")
