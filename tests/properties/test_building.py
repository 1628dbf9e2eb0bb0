"""Any box and any simple plan, however its mesh is made, gives its walls back."""

import itertools

import numpy as np
import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from halfbat.building import Mesh, building_from_mesh, building_from_plan, inspect_mesh
from halfbat.building.erect import structure_from_mesh
from halfbat.building.simplify import simplify_plan
from halfbat.errors import KitError

SIZES = st.floats(1.0, 40.0)
PLANS = {
    "box": [(0, 0), (1, 0), (1, 1), (0, 1)],
    "L": [(0, 0), (1, 0), (1, 0.4), (0.5, 0.4), (0.5, 1), (0, 1)],
    "U": [(0, 0), (1, 0), (1, 1), (0.7, 1), (0.7, 0.3), (0.3, 0.3), (0.3, 1), (0, 1)],
    "T": [(0.3, 0), (0.7, 0), (0.7, 0.6), (1, 0.6), (1, 1), (0, 1), (0, 0.6), (0.3, 0.6)],
    "five corners": [(0, 0), (1, 0), (1, 0.6), (0.6, 1), (0, 1)],
    "bay": [(0, 0), (0.3, 0), (0.4, -0.1), (0.6, -0.1), (0.7, 0), (1, 0), (1, 1), (0, 1)],
}


@st.composite
def plans(draw):
    """A plan at least 1 m in every edge, scaled unevenly, turned and moved."""
    plan = np.array(PLANS[draw(st.sampled_from(sorted(PLANS)))])
    shape = plan * [draw(st.floats(10.0, 40.0)), draw(st.floats(10.0, 40.0))]
    angle = draw(st.floats(0.0, 2 * np.pi))
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    return shape @ turn + [draw(st.floats(-5000.0, 5000.0)), draw(st.floats(-5000.0, 5000.0))]


@st.composite
def wall_faces(draw, left, right, base, top):
    """One wall as a quad, triangles, strips either way, or strips that leave T-junctions."""
    way = draw(st.sampled_from(["quad", "triangles", "courses", "strips", "T"]))
    a, b, c, d = (*left, base), (*right, base), (*right, top), (*left, top)

    def at(share, height):
        x, y = np.asarray(left) + share * (np.asarray(right) - np.asarray(left))
        return (float(x), float(y), base + height * (top - base))

    if way == "quad":
        return [[a, b, c, d]]
    if way == "triangles":
        return [[a, b, c], [a, c, d]]
    cuts = sorted({0.0, *draw(st.lists(st.sampled_from([0.2, 0.35, 0.5, 0.7, 0.9]), max_size=3)), 1.0})
    pairs = list(itertools.pairwise(cuts))
    if way == "courses":
        return [[at(0, low), at(1, low), at(1, high), at(0, high)] for low, high in pairs]
    if way == "strips":
        return [[at(low, 0), at(high, 0), at(high, 1), at(low, 1)] for low, high in pairs]
    upper = [[at(low, 0.5), at(high, 0.5), at(high, 1), at(low, 1)] for low, high in pairs]
    return [[a, b, at(1, 0.5), at(0, 0.5)], *upper]


@st.composite
def meshes(draw):
    """A mesh of a plan, with the walls as they were meant."""
    plan = draw(plans())
    base, height = draw(st.floats(-20.0, 200.0)), draw(st.floats(2.0, 15.0))
    polygons = []
    for left, right in zip(plan, np.roll(plan, -1, axis=0), strict=True):
        polygons += draw(wall_faces(tuple(left.tolist()), tuple(right.tolist()), base, base + height))
    if draw(st.booleans()):
        polygons.append([(x, y, base) for x, y in plan[::-1].tolist()])
    if draw(st.booleans()):
        polygons.append([(x, y, base + height) for x, y in plan.tolist()])
    turned = draw(st.sampled_from(["out", "in", "mixed"]))
    if turned != "out":
        flips = [turned == "in" or draw(st.booleans()) for _ in polygons]
        polygons = [ring[::-1] if flip else ring for ring, flip in zip(polygons, flips, strict=True)]
    if draw(st.booleans()):
        polygons.append(polygons[draw(st.integers(0, len(polygons) - 1))][::-1])
    polygons = draw(st.permutations(polygons))
    points: list[tuple[float, float, float]] = []
    faces = []
    shared: dict[tuple[float, float, float], int] = {}
    welded = draw(st.booleans())
    for ring in polygons:
        face = []
        for point in ring:
            if not welded or point not in shared:
                shared[point] = len(points)
                points.append(point)
            face.append(shared[point])
        faces.append(tuple(face))
    noise = draw(st.sampled_from([0.0, 0.0002]))
    random = np.random.default_rng(draw(st.integers(0, 1000)))
    vertices = np.array(points) + random.uniform(-noise, noise, (len(points), 3))
    return Mesh(vertices, tuple(faces), "drawn.obj"), plan, base, height


@settings(max_examples=60, deadline=None)
@given(meshes())
def test_every_mesh_of_a_plan_gives_its_walls(drawn):
    mesh, plan, base, height = drawn
    before = mesh.vertices.copy()
    building = building_from_mesh(mesh, smallest_face_m=0.3)
    assert np.array_equal(before, mesh.vertices)
    assert len(building.walls) == len(plan)
    assert building.base_m == pytest.approx(base, abs=0.001)
    assert building.height_m == pytest.approx(height, abs=0.002)
    gaps = np.linalg.norm(building.plan_m[:, None] - plan[None], axis=2).min(axis=0)
    assert gaps.max() < 0.002
    outline = shapely.Polygon(building.plan_m)
    assert outline.is_valid
    assert outline.exterior.is_ccw
    assert outline.area == pytest.approx(shapely.Polygon(plan).area, rel=1e-3)
    for wall, ahead in zip(building.walls, building.walls[1:] + building.walls[:1], strict=True):
        assert np.array_equal(wall.end_m, ahead.start_m)
        assert wall.length_m == pytest.approx(np.hypot(*(wall.end_m - wall.start_m)))
    inside = sum(180.0 - wall.corner_deg for wall in building.walls)
    assert inside == pytest.approx(360.0)
    assert inspect_mesh(mesh, smallest_face_m=0.3).can_be_made


@st.composite
def ragged_plans(draw):
    """A star-shaped plan with as many short edges as chance gives."""
    count = draw(st.integers(4, 24))
    radii = draw(st.lists(st.floats(0.6, 6.0), min_size=count, max_size=count))
    angles = np.sort(draw(st.lists(st.floats(0, 2 * np.pi), min_size=count, max_size=count, unique=True)))
    plan = np.stack([np.cos(angles), np.sin(angles)], axis=1) * np.array(radii)[:, None]
    outline = shapely.Polygon(plan)
    assume(outline.is_valid and outline.exterior.is_ccw and outline.area > 4.0)
    steps = np.hypot(*(np.roll(plan, -1, axis=0) - plan).T)
    assume(steps.min() > 0.005)
    return plan


@settings(max_examples=100, deadline=None)
@given(ragged_plans(), st.sampled_from([0.05, 0.2, 0.444, 0.9]))
def test_simplified_plans_are_simple_and_near_or_refused(plan, smallest):
    try:
        simple = simplify_plan(plan, smallest)
    except KitError as error:
        assert error.remedy
        return
    outline = shapely.Polygon(simple.corners_m)
    assert outline.is_valid
    assert outline.exterior.is_ccw
    assert min(wall.length_m for wall in building_from_plan(simple.corners_m, 0, 3).walls) >= smallest
    moved = outline.exterior.hausdorff_distance(shapely.Polygon(plan).exterior)
    assert moved <= simple.deviation_m + 1e-9 or moved <= 2 * smallest + 1e-9


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 100_000), st.integers(3, 30), st.integers(1, 30), st.booleans())
@example(20, 13, 17, False)
def test_rubbish_is_refused_in_a_sentence_or_made(seed, points, faces, snapped):
    random = np.random.default_rng(seed)
    vertices = random.uniform(-5, 5, (points, 3))
    if snapped:
        vertices = np.round(vertices / 2) * 2
    rings = tuple(tuple(random.integers(0, points, random.integers(3, 7)).tolist()) for _ in range(faces))
    mesh = Mesh(vertices, rings, "rubbish.obj")
    report = inspect_mesh(mesh, smallest_face_m=0.5)
    if report.can_be_made:
        assert structure_from_mesh(mesh, smallest_face_m=0.5).walls
    else:
        assert report.refusal.endswith(".") and "did not foresee" not in report.refusal
        with pytest.raises(KitError):
            structure_from_mesh(mesh, smallest_face_m=0.5)
