"""Random gables, hips, lean-tos and stepped blocks: areas agree with a boolean library."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from halfbat.building.erect import structure_from_mesh
from roof_solids import areas_of, block, gabled, hipped, joined_meshes, lean_to, mesh_of_solid, union
from structure_help import assert_sound, edges_of_kind, plan_area, slope_area, wall_area

SMALLEST = 0.5
turns = st.integers(0, 3599).map(lambda tenths: tenths / 10.0)
sizes = st.floats(3.0, 12.0)
spans = st.integers(3, 9).map(float)


def made(mesh):
    structure = structure_from_mesh(mesh, smallest_face_m=SMALLEST)
    assert_sound(structure)
    return structure


def assert_same_areas(structure, mesh):
    walls, plan, slopes = areas_of(mesh)
    assert wall_area(structure) == pytest.approx(walls, rel=1e-4)
    assert plan_area(structure) == pytest.approx(plan, rel=1e-4)
    assert slope_area(structure) == pytest.approx(slopes, rel=1e-4)


@given(turns, sizes, sizes, st.floats(2.5, 6.0), st.floats(15.0, 60.0))
@settings(max_examples=12, deadline=None)
def test_a_gable_roof(turn, length, span, eaves, pitch):
    rise = span / 2.0 * math.tan(math.radians(pitch))
    mesh = mesh_of_solid(gabled(0, 0, length, span, eaves, rise), turn)
    structure = made(mesh)
    assert_same_areas(structure, mesh)
    assert (len(structure.walls), len(structure.slopes), len(structure.masses)) == (4, 2, 1)
    assert [len(edges_of_kind(structure, kind)) for kind in ("ridge", "eaves", "verge")] == [2, 2, 4]
    assert all(slope.pitch_deg == pytest.approx(pitch, abs=0.01) for slope in structure.slopes)
    assert all(wall.left.whole and wall.right.whole for wall in structure.walls)


@given(turns, sizes, sizes, st.floats(2.5, 6.0), st.floats(15.0, 60.0))
@settings(max_examples=12, deadline=None)
def test_a_hip_roof(turn, length, extra, eaves, pitch):
    mesh = mesh_of_solid(hipped(0, 0, length + extra, length, eaves, pitch), turn)
    structure = made(mesh)
    assert_same_areas(structure, mesh)
    assert [len(edges_of_kind(structure, kind)) for kind in ("ridge", "hip", "eaves")] == [2, 8, 4]


def arms(shape, span, first, second):
    """Rectangles of an L, T or U plan of one span."""
    rows = [(0.0, 0.0, first + 2 * span, span)]
    wing = (0.0, span + second)
    middle = (first + span) / 2.0
    starts = {"L": [0.0], "T": [middle], "U": [0.0, first + span]}[shape]
    return rows + [(start, wing[0], start + span, wing[1]) for start in starts]


@given(st.sampled_from("LTU"), turns, spans, st.floats(2.0, 6.0), st.floats(2.0, 6.0), st.floats(20.0, 55.0))
@settings(max_examples=12, deadline=None)
def test_hips_over_wings(shape, turn, span, first, second, pitch):
    rectangles = arms(shape, span, first, second + span)
    mesh = mesh_of_solid(union(*(hipped(*rectangle, 3.0, pitch) for rectangle in rectangles)), turn)
    structure = made(mesh)
    assert_same_areas(structure, mesh)
    outline = shapely.union_all([shapely.box(*rectangle) for rectangle in rectangles])
    assert plan_area(structure) == pytest.approx(outline.area, rel=1e-6)
    assert slope_area(structure) == pytest.approx(outline.area / math.cos(math.radians(pitch)), rel=1e-4)
    assert len(structure.masses) == 1
    # One valley runs from each inner corner, and shows in the two slopes beside it.
    assert len(edges_of_kind(structure, "valley")) == 2 * {"L": 1, "T": 2, "U": 2}[shape]
    assert sum(1 for wall in structure.walls if wall.right.corner_deg > 200.0) == {"L": 1, "T": 2, "U": 2}[shape]


@given(st.sampled_from("LTU"), turns, spans, st.floats(2.0, 6.0), st.floats(2.0, 6.0), st.floats(20.0, 55.0))
@settings(max_examples=12, deadline=None)
def test_gables_over_wings(shape, turn, span, first, second, pitch):
    rise = span / 2.0 * math.tan(math.radians(pitch))
    rectangles = arms(shape, span, first, second)
    solids = [gabled(*rectangle, 3.0, rise, along_x=i == 0) for i, rectangle in enumerate(rectangles)]
    mesh = mesh_of_solid(union(*solids), turn)
    assert_same_areas(made(mesh), mesh)


@given(turns, sizes, sizes, st.floats(1.5, 4.0), st.floats(2.2, 3.0), st.floats(0.3, 2.0), st.floats(0.7, 3.0))
@settings(max_examples=12, deadline=None)
def test_a_lean_to_against_a_block(turn, length, width, depth, low, rise, more):
    main = block(-width, 0, 0, length, low + rise + more)
    part = lean_to(0, 0, depth, length, low + rise, low)
    whole = mesh_of_solid(union(main, part), turn)
    structure = made(whole)
    assert_same_areas(structure, whole)
    assert len(edges_of_kind(structure, "abutment")) == 1
    apart = made(joined_meshes(mesh_of_solid(main, turn), mesh_of_solid(part, turn)))
    assert wall_area(apart) == pytest.approx(wall_area(structure), rel=1e-4)
    assert len(apart.walls) == len(structure.walls)


@st.composite
def stepped(draw):
    """Sizes of blocks that share walls, no two of one height."""
    columns, rows = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    heights = draw(st.permutations(range(3, 3 + columns * rows)))
    widths = draw(st.lists(spans, min_size=columns, max_size=columns))
    depths = draw(st.lists(spans, min_size=rows, max_size=rows))
    left_out = draw(st.sets(st.integers(0, columns * rows - 1), max_size=columns * rows - 1))
    found = []
    for place, height in enumerate(heights):
        i, j = divmod(place, rows)
        x, y = sum(widths[:i]), sum(depths[:j])
        if place not in left_out:
            found.append((x, y, x + widths[i], y + depths[j], float(height)))
    return found


@given(stepped(), turns)
@settings(max_examples=12, deadline=None)
def test_stepped_blocks(sizes, turn):
    blocks = [block(*size) for size in sizes]
    whole = mesh_of_solid(union(*blocks), turn)
    assert_same_areas(made(joined_meshes(*(mesh_of_solid(one, turn) for one in blocks))), whole)
    assert_same_areas(made(whole), whole)
