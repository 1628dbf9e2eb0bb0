"""Each check that knows where says where: the place holds the fault that was made there, and little else."""

import numpy as np
import pytest

from halfbat.findings import Place
from halfbat.printing.checks import check_part
from halfbat.printing.checks.places import place_of, place_of_triangles
from halfbat.printing.rasters import Grid
from halfbat.settings import Settings
from halfbat.solids.solid import Solid
from printed_parts import box, brick_plate, make, marked, settings, stepped
from sample_kits import box_solid

NEAR_MM = 0.6


def toothed():
    outline = np.array([[0, 0], [20, 0], [20, 12], [10.6, 12], [10.6, 14], [10, 14], [10, 12], [0, 12]])
    return make(stepped(outline, [(2.0, ())]))


def over(solid, **more):
    return make(Solid(solid.vertices * (1.0, -1.0, -1.0), solid.triangles), **more)


def table():
    return over(stepped(box(0, 0, 20, 12), [(3.0, ()), (8.0, [box(8, 4, 12, 8)])]), kind="box", process="filament")


def islands():
    return over(stepped(box(0, 0, 10, 6), [(1.0, ()), (3.0, [box(0, 0, 2, 6)]), (2.0, [box(7, 0, 10, 6)])]), kind="box")


def crossed():
    good = box_solid(10.0, 8.0, 2.0)
    moved = good.vertices + np.array([4.0, 3.0, 0.0])
    return make(Solid(np.concatenate([good.vertices, moved]), np.concatenate([good.triangles, good.triangles + 8])))


def plates(levels, **more):
    return make(stepped(box(0, 0, 20, 12), levels, **more), kind="cover")


def ring():
    outline, inner = box(0, 0, 40, 30), box(1.5, 1.5, 38.5, 28.5)
    return make(stepped(outline, [(10.0, ())], holes=[inner]), kind="shell", process="filament", number="S1")


FAULTS = {  # code, part, the fault's box in the print frame, settings
    "neck-thin": (toothed, (0.0, 5.0, 0.0, 0.6, 7.0, 2.0), {}),
    "plate-thin": (lambda: plates([(1.6, ()), (0.6, [box(4, 3, 9, 9)])]), (-6, -3, 0, -1, 3, 1.6), {}),
    # Near the outline a part may taper, so the stretch ends the height of the part before it.
    "section-change": (lambda: plates([(1.0, ()), (2.4, [box(0, 0, 20, 6)])]), (-7.6, -0.3, 0, 7.6, 0.3, 2.4), {}),
    "pocket": (
        lambda: make(stepped(box(0, 0, 20, 12), [(1.5, ())], back=[(0.5, [box(5, 3, 9, 8)])])),
        (-5, -3, 0, -1, 2, 0.5),
        {},
    ),
    "cup": (lambda: plates([(4.0, ()), (1.0, [box(2, 2, 18, 10)])]), (-8, -4, 1, 8, 4, 4), {}),
    "hole-small": (
        lambda: make(stepped(box(0, 0, 20, 12), [(2.0, ())], holes=[box(8, 5, 8.3, 5.3)])),
        (-2, -1, 0, -1.7, -0.7, 2),
        {},
    ),
    "first-layers-fine": (
        lambda: make(stepped(box(0, 0, 20, 12), [(1.2, ())], back=[(0.3, [box(2, 5, 18, 5.4)])])),
        (-8, -1, 0, 8, -0.6, 0.5),
        {},
    ),
    "overhang": (table, (-10, -6, 8 - 3, 10, 6, 8 - 3), {}),
    "island": (islands, (2, -3, 1, 5, 3, 1), {}),
    "self-cross": (crossed, (-3, -2.5, 0, 3, 2.5, 2), {}),
    "mark-unreadable": (lambda: make(marked("WA1"), number="WB2"), None, {}),
    "mark-mirrored": (lambda: make(marked("WA1", mirrored=True)), None, {}),
    "mark-deep": (lambda: make(marked("WA1", thickness=0.9, depth=0.5)), None, {}),
    "land-thin": (lambda: make(brick_plate(land=0.03)), (-10, -6, 0, -9, 6, 1.1), {}),
    "wall-lines": (ring, None, {}),
}


def place(code, part, chosen=None):
    told = {finding.code: finding for finding in check_part(part, chosen or Settings()).findings}
    return told[code].place


@pytest.mark.parametrize("code", sorted(FAULTS))
def test_a_fault_is_where_it_was_made(code):
    making, wanted, chosen = FAULTS[code]
    part = making()
    found = place(code, part, settings(**chosen))
    assert isinstance(found, Place) and found.of == part.number
    low, high = np.array(found.low_mm), np.array(found.high_mm)
    bounds = part.solid.bounds_mm
    assert (low <= high).all() and (low >= bounds[0] - NEAR_MM).all() and (high <= bounds[1] + NEAR_MM).all()
    if wanted is not None:
        assert low == pytest.approx(wanted[:3], abs=NEAR_MM)
        assert high == pytest.approx(wanted[3:], abs=NEAR_MM)


def test_a_mark_is_held_by_its_place():
    part = make(marked("WA1"), number="WB2")
    found = place("mark-unreadable", part)
    size = np.subtract(found.high_mm, found.low_mm)
    assert size[:2] == pytest.approx(np.array(part.solid.size_mm[:2]) - 6.0, abs=NEAR_MM)
    assert found.low_mm[2] == pytest.approx(0.0) and found.high_mm[2] == pytest.approx(0.3, abs=1e-3)


def test_a_wall_that_is_no_whole_line_is_measured_across():
    found = place("wall-lines", ring())
    across = np.subtract(found.high_mm, found.low_mm)[:2]
    assert sorted(across.tolist()) == pytest.approx([0.0, 1.5], abs=1e-3)


def test_the_corner_that_lifts():
    large = settings(filament={"usable_x_mm": 300.0, "usable_y_mm": 300.0})
    part = make(box_solid(160.0, 130.0, 4.0), kind="lid", process="filament")
    found = place("lift", part, large)
    assert np.abs(np.array([found.low_mm, found.high_mm])[:, :2]).max(axis=0) == pytest.approx([80, 65], abs=2.0)
    assert np.subtract(found.high_mm, found.low_mm)[:2].max() < 12.0


def test_of_several_pieces_the_largest():
    grid = Grid((-10, -5), (20, 10), (0.5, 1.0))
    mask = np.zeros((10, 20), dtype=bool)
    mask[1:3, 2:4] = mask[5:9, 10:16] = True
    part = make(box_solid(10.0, 10.0, 2.0))
    assert place_of(part, mask, grid) == Place("WA1", (0.0, 0.0, 0.0), (3.0, 4.0, 2.0))
    assert place_of(part, mask & False, grid) is None


def test_triangles_that_hang_together_with_the_largest():
    one, other = box_solid(2.0, 2.0, 2.0), box_solid(6.0, 4.0, 2.0)
    both = Solid(
        np.concatenate([one.vertices + np.array([20.0, 0.0, 0.0]), other.vertices]),
        np.concatenate([one.triangles, other.triangles + 8]),
    )
    part = make(both)
    corners = part.solid.vertices[part.solid.triangles]
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    found = place_of_triangles(part, np.ones(len(areas), dtype=bool), areas)
    assert np.subtract(found.high_mm, found.low_mm) == pytest.approx([6.0, 4.0, 2.0])
    assert place_of_triangles(part, np.zeros(len(areas), dtype=bool), areas) is None
