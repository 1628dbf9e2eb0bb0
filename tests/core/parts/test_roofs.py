from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import plan_of, settings_of, structure_of
from halfbat.building.erect import structure_from_mesh
from halfbat.building.rings import ring_area
from halfbat.building.structure import EdgeKind
from halfbat.parts.masses import SEAT_MM, RoofSlope
from halfbat.parts.roofs import (
    aside_mm,
    eaves_m,
    folds_of,
    is_pitched,
    mass_stacks,
    masses_left_out,
    roof_slope,
    wall_outlines_mm,
)
from halfbat.units import parse_scale
from roof_solids import block, hull, lean_to, mesh_of_solid

SCALE = parse_scale("1:100")
FOOT = [(x, y, 0) for x in (0, 8) for y in (0, 5)]
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
    outlines = wall_outlines_mm(structure, 1.7, dict.fromkeys(range(4), 1.1), SCALE)
    # A skin of 1.7 square to the slope is 1.7 / cos(30.96) plumb.
    plumb = 1.7 * RAKE + SEAT_MM
    for wall in structure.walls:
        top = 39.0 if len(wall.outline_m) == 5 else 24.0
        assert outlines[wall.index][:, 1].max() == pytest.approx(top - plumb, abs=1e-3)
        assert np.ptp(outlines[wall.index][:, 0]) == pytest.approx(wall.length_m * 10)
    assert sorted(len(outline) for outline in outlines.values()) == [4, 4, 5, 5]


def test_walls_too_small_for_a_skin_are_left_out():
    structure = structure_of("gable")
    # Eaves of 2.4 m come to 2.7 mm, less than a skin needs; gables of 3.9 m less a skin of 0.5 to 3.75.
    left = wall_outlines_mm(structure, 0.5, dict.fromkeys(range(4), 1.1), parse_scale("1:900"))
    assert [len(outline) for outline in left.values()] == [5, 5]


def test_masses():
    (stack,) = mass_stacks(structure_of("gable"), dict.fromkeys(range(4), 1.1), 1.7, settings_of(), SCALE)
    np.testing.assert_allclose(np.ptp(stack.corners_mm, axis=0), [80, 50], atol=1e-6)
    assert stack.height_mm == pytest.approx(24.0) and stack.base_mm == pytest.approx(0.0)
    assert stack.rings[0].walled.all() and stack.rings[0].outer.all()
    np.testing.assert_allclose(stack.rings[0].skin_mm, 1.1)
    for slope in stack.slopes:
        assert slope.lowering_mm == pytest.approx(1.7 * RAKE + SEAT_MM)
        a, b, c = slope.plane
        # The ridge lies midway across, at 39 mm.
        assert a + b * 40 + c * 25 == pytest.approx(39.0)
        assert np.hypot(b, c) == pytest.approx(0.6)


def test_nothing_stands_on_a_plain_roof():
    assert masses_left_out(structure_of("hip")) == []
    plan, _, _ = plan_of("hip")
    assert plan.structure is structure_of("hip")


def lopsided():
    """A gable with its ridge a third of the way across, over a building of 8 x 5 m."""
    foot = [(x, y, z) for x in (0, 8) for y in (0, 5) for z in (0.0, 2.4)]
    return structure_from_mesh(mesh_of_solid(hull([*foot, (0, 1.7, 4.1), (8, 1.7, 4.1)])), smallest_face_m=0.5)


def test_a_wall_under_the_top_of_a_slope_is_as_low_as_the_slope_is_behind_it():
    # A lean-to that falls by 1.5 in 5 from the wall at x = 0.
    structure = structure_from_mesh(mesh_of_solid(lean_to(0, 0, 5, 8, 4.0, 2.5)), smallest_face_m=0.5)
    outlines = wall_outlines_mm(structure, 1.7, dict.fromkeys(range(4), 1.1), SCALE)
    plumb = 1.7 * np.hypot(5, 1.5) / 5 + SEAT_MM
    high = next(wall for wall in structure.walls if wall.outward[0] < -0.9)
    assert outlines[high.index][:, 1].max() == pytest.approx(40.0 - plumb - 1.1 * 0.3, abs=1e-3)
    low = next(wall for wall in structure.walls if wall.outward[0] > 0.9)
    assert outlines[low.index][:, 1].max() == pytest.approx(25.0 - plumb, abs=1e-3)


def test_undersides_of_unequal_slopes_meet_aside_of_the_ridge():
    structure = lopsided()
    (stack,) = mass_stacks(structure, dict.fromkeys(range(4), 1.1), 1.7, settings_of(), SCALE)
    (fold,) = stack.folds
    steep = max(stack.slopes, key=lambda slope: np.hypot(*slope.plane[1:]))
    flat = min(stack.slopes, key=lambda slope: np.hypot(*slope.plane[1:]))
    assert fold.plane == steep.plane
    # Along its inner side both undersides are equally high; along the ridge the steeper one is lower.
    apart = flat.under_mm(fold.ring_mm) - steep.under_mm(fold.ring_mm)
    np.testing.assert_allclose(apart[2:], 0.0, atol=1e-6)
    assert (apart[:2] > 0.1).all()


def test_equal_slopes_have_no_folds():
    (stack,) = mass_stacks(structure_of("hip"), dict.fromkeys(range(4), 1.1), 1.7, settings_of(), SCALE)
    assert stack.folds == ()


@pytest.mark.parametrize("jog_m", [0.005, 0.01])
def test_undersides_meet_aside_of_a_ridge_beside_which_an_edge_is_short(jog_m):
    structure = lopsided()
    flat, steep = sorted(
        (structure.slopes[index] for index in structure.masses[0].slopes), key=lambda own: own.pitch_deg
    )
    # The verge beside the ridge's end steps aside after less than the undersides meet from the ridge.
    (place,) = (k for k, edge in enumerate(flat.edges) if edge.kind is EdgeKind.RIDGE)
    count = len(flat.edges)
    end = flat.outline_m[(place + 1) % count]
    verge = flat.edges[(place + 1) % count]
    inward = np.sign(flat.outline_m[place, 0] - end[0])
    steps = [end, end - (0.0, jog_m), end - (0.0, jog_m) + (inward * jog_m, 0.0)]
    ring = [*np.roll(flat.outline_m, -place, axis=0)[:1], *steps, *np.roll(flat.outline_m, -place, axis=0)[2:]]
    ring[4] = ring[4] + (inward * jog_m, 0.0)
    edges = [flat.edges[place], verge, verge, verge, *np.roll(np.array(flat.edges, dtype=object), -place)[2:]]
    jogged = replace(flat, outline_m=np.array(ring), edges=tuple(edges))
    (fold,) = folds_of([jogged, steep], 1.7, SCALE)
    own, other = (roof_slope(slope, 1.7, SCALE) for slope in (flat, steep))
    apart = own.under_mm(fold.ring_mm) - other.under_mm(fold.ring_mm)
    np.testing.assert_allclose(apart[2:], 0.0, atol=1e-6)


def test_undersides_meet_at_the_foot_of_the_mitre_where_an_edge_is_not_where_the_planes_cross():
    # Two nearly even slopes whose border leads down them aslant of where they cross.
    one, two = (RoofSlope(np.zeros((3, 2)), (0.0, -0.67, grade), 1.8) for grade in (1.165, 1.24))
    inward = np.array([-0.5, 1.0]) / np.hypot(0.5, 1.0)
    square = np.array([0.67, -1.2, 1.0]) / np.linalg.norm([0.67, -1.2, 1.0])
    assert aside_mm(one, two, inward) == pytest.approx(-1.8 * float(square[:2] @ inward), rel=0.02)
    assert aside_mm(two, one, -inward) == 0.0


def test_the_strip_beside_a_ridge_is_as_wide_up_to_an_edge_that_runs_on_in_line():
    mesh = mesh_of_solid(hull([(0, 0, 3), (8, 0, 3), (0, 5, 2), (8, 5, 2), *FOOT, (0, 1, 4), (8, 1, 4)]))
    slopes = structure_from_mesh(mesh, smallest_face_m=0.2).slopes
    whole = {round(float(np.ptp(strip.ring_mm[:, 0]))): strip for strip in folds_of(slopes, 1.7, SCALE)}[80]
    # The ridge is parted in its middle, and from there on nothing lies beyond it.
    parted = []
    for slope in slopes:
        k = next(k for k, edge in enumerate(slope.edges) if edge.kind is EdgeKind.RIDGE)
        ahead = np.roll(slope.outline_m, -1, axis=0)
        outline = np.insert(slope.outline_m, k + 1, (slope.outline_m[k] + ahead[k]) / 2, axis=0)
        ends = [replace(slope.edges[k], kind=EdgeKind.VERGE, neighbour=None), slope.edges[k]]
        kept = ends if slope.place(slope.outline_m)[k, 0] < slope.place(ahead)[k, 0] else ends[::-1]
        parted.append(replace(slope, outline_m=outline, edges=(*slope.edges[:k], *kept, *slope.edges[k + 1 :])))
    (strip,) = folds_of(parted, 1.7, SCALE)
    assert np.ptp(strip.ring_mm[:, 1]) == pytest.approx(np.ptp(whole.ring_mm[:, 1]), abs=1e-6)
    # No narrower at either end: a strip of 40 mm, square but for a mitre.
    wide = np.ptp(strip.ring_mm[:, 1])
    x, y = strip.ring_mm.T
    assert abs(np.roll(y, -1) @ x - y @ np.roll(x, -1)) / 2 == pytest.approx(40 * wide, rel=0.05)


@pytest.mark.parametrize("top", [4.0, 9.0])
def test_a_courtyard_and_a_tower_in_the_midst_have_outlines_of_their_own(top):
    plan = block(0, 0, 14, 12, 4.0)
    solid = plan - block(5, 4, 9, 8, 5, -1) if top == 4.0 else plan + block(5, 4, 9, 8, top)
    structure = structure_from_mesh(mesh_of_solid(solid), smallest_face_m=0.2)
    stack = mass_stacks(structure, dict.fromkeys(range(len(structure.walls)), 1.1), 1.7, settings_of(), SCALE)[0]
    outline, court = stack.rings
    if top > 4.0:
        assert not court.outer.any()
        np.testing.assert_allclose(np.ptp(court.corners_mm, axis=0), [40, 40], atol=1e-6)
        return
    np.testing.assert_allclose(np.ptp(outline.corners_mm, axis=0), [140, 120], atol=1e-6)
    np.testing.assert_allclose(np.ptp(court.corners_mm, axis=0), [40, 40], atol=1e-6)
    assert court.walled.all() and court.outer.all() and ring_area(court.corners_mm) < 0
    # The shell stands behind the skins of its walls, away from the courtyard.
    np.testing.assert_allclose(np.ptp(stack.behind(0.0, 0.0)[1], axis=0), [42.2, 42.2], atol=1e-6)
