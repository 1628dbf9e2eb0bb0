"""Any figure, however degenerate, becomes a closed sheet; any plate of two reliefs becomes one closed solid."""

from itertools import pairwise

import manifold3d
import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from figure_judge import areas_of, assert_sheet_true, faces_of, linework, snapping_mm2
from halfbat.output.stl import stl_bytes
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.grid import PER_MM
from halfbat.solids.plate import Lean, plate
from halfbat.solids.relief import CUT_BACK, Relief
from halfbat.solids.sheet import NOTHING_LEFT, lay
from halfbat.solids.verify import faults
from solids_help import as_manifold, assert_printable_solid, rounding_mm3

SIZES = st.sampled_from((0.02, 1.0, 20.0, 100.0))
PLACES = st.sampled_from((0.0, 0.0, -50.0, 500.0, -899.9))
TICKS = st.integers(-1, 1).map(lambda k: k / 1000)
REFUSALS = (NOTHING_LEFT, "touch at a corner only", "meets itself at corners", "outlines of front and back differ")
SEVERAL = "bodies instead of one"
SQUARE_MM2 = (2 * CUT_BACK / PER_MM) ** 2


@st.composite
def coordinates(draw):
    """One coordinate between 0 and 1: on a coarse grid, one tick beside it, or anywhere."""
    kind = draw(st.integers(0, 3))
    if kind == 0:
        return draw(st.integers(0, 4)) / 4
    if kind == 1:
        return draw(st.integers(0, 3)) / 3
    return draw(st.floats(0.0, 1.0, width=32))


@st.composite
def rings(draw, size):
    """A ring that may cross itself, run either way, or have no area, with corners a tick off on purpose."""
    count = draw(st.integers(3, 7))
    points = [
        (draw(coordinates()) * size + draw(TICKS), draw(coordinates()) * size + draw(TICKS)) for _ in range(count)
    ]
    return np.array(points)


@st.composite
def grids(draw, size, cells):
    """Rectangles of a coarse grid, so that corners coincide: bricks, openings, recesses corner to corner."""
    step = draw(st.sampled_from((4, 8)))
    cuts = st.lists(st.integers(0, step), min_size=2, max_size=5, unique=True).map(sorted)
    across, up = draw(cuts), draw(cuts)
    rects, of_rect = [], []
    for x0, x1 in pairwise(across):
        for y0, y1 in pairwise(up):
            if draw(st.booleans()):
                rects.append(np.array([x0, y0, x1, y1]) * size / step)
                of_rect.append(draw(st.sampled_from(cells)))
    return Layer.rectangles(np.array(rects).reshape(-1, 4), of_rect)


@st.composite
def layers(draw, size, cells):
    if draw(st.booleans()):
        return draw(grids(size, cells))
    make = draw(st.sampled_from((Layer.union, Layer.patches)))
    return make(draw(st.lists(rings(size), max_size=3)), draw(st.sampled_from(cells)))


@st.composite
def outlines(draw, size):
    kind = draw(st.integers(0, 2))
    if kind == 0:
        return Layer.union([np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * size], 0)
    if kind == 1:
        rough = np.array([[0, 0], [0.97, 0.02], [1, 1], [0.5, 1.2], [0, 0.9]]) * size
        return Layer.union([rough + [[draw(TICKS), draw(TICKS)] for _ in rough]], 0)
    return draw(layers(size, (0,)))


def shifted(layer, place):
    return Layer(layer.points + int(place * PER_MM), layer.starts, layer.cells, layer.united)


@st.composite
def figures(draw, cells=(OUTSIDE, 0, 1, 2)):
    size, place = draw(SIZES), draw(PLACES)
    upper = draw(st.lists(layers(size, cells), max_size=4))
    return Figure(tuple(shifted(layer, place) for layer in (draw(outlines(size)), *upper)))


@st.composite
def wild_reliefs(draw):
    """Front and back over one outline, whatever that is."""
    size = draw(st.sampled_from((1.0, 10.0, 100.0)))
    base, holes = draw(outlines(size)), draw(st.lists(layers(size, (OUTSIDE,)), max_size=1))
    front = draw(st.lists(layers(size, (0, 1, 2)), max_size=2))
    back = draw(st.lists(layers(size, (0, 1, 2)), max_size=1))
    heights = st.lists(st.sampled_from((1.0, 1.1, 1.2)), min_size=3, max_size=3)
    depths = st.lists(st.sampled_from((0.0, 0.1, 0.2)), min_size=3, max_size=3)
    return (
        Relief.flat(Figure((base, *front, *holes)), draw(heights)),
        Relief.flat(Figure((base, *back, *holes)), draw(depths)),
    )


@st.composite
def gridded_reliefs(draw):
    """A slab with bricks, recesses and openings on a coarse grid: nothing but corners that meet."""
    base = Layer.union([np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * 20.0], 0)
    holes = draw(st.lists(grids(20.0, (OUTSIDE,)), max_size=1))
    front = Figure((base, *draw(st.lists(grids(20.0, (0, 1, 2)), max_size=2)), *holes))
    back = Figure((base, *draw(st.lists(grids(20.0, (0, 1, 2)), max_size=1)), *holes))
    return Relief.flat(front, [1.0, 1.1, 1.3]), Relief.flat(back, [0.0, 0.1, 0.3])


def made(front, back, leans=()):
    """The plate, or an example given up where it is refused for a reason it may be refused for."""
    try:
        return plate(front, back, leans)
    except ValueError as refused:
        assert any(reason in str(refused) for reason in REFUSALS)
        assume(False)


def between(front, back):
    """Volume between two reliefs, by shapely, and by how much rounding may change it."""
    volume = sum(area * front.planes[cell, 0] for cell, area in areas_of(front.figure).items())
    volume -= sum(area * back.planes[cell, 0] for cell, area in areas_of(back.figure).items())
    return volume, 1.3 * (snapping_mm2(front.figure) + snapping_mm2(back.figure))


def corners_that_meet(figure):
    """An upper bound on how many places of a figure may have to be parted."""
    return sum(len(layer.points) for layer in figure.layers)


@given(figures())
@settings(max_examples=120, deadline=None)
def test_every_figure_becomes_a_closed_sheet_of_the_same_areas(figure):
    before = [layer.points.copy() for layer in figure.layers]
    try:
        sheet = lay(figure)
    except ValueError as refused:
        # Nothing is left but slivers that vanish on the grid, or tiles that overlap, of which there are none here.
        assert str(refused) == NOTHING_LEFT
        assert sum(areas_of(figure).values()) <= snapping_mm2(figure)
        return
    assert_sheet_true(figure, sheet)
    again = lay(figure)
    assert again.points.tobytes() == sheet.points.tobytes()
    assert again.triangles.tobytes() == sheet.triangles.tobytes()
    assert all(np.array_equal(a, layer.points) for a, layer in zip(before, figure.layers, strict=True))


@given(wild_reliefs())
@settings(max_examples=100, deadline=None)
def test_every_plate_is_closed_and_has_the_volume_between_its_reliefs(reliefs):
    solid = made(*reliefs)
    found = faults(solid)
    if found and SEVERAL in found[0]:
        assert len(found) == 1
    else:
        assert_printable_solid(solid)
    volume, allowed = between(*reliefs)
    squares = 0.5 * SQUARE_MM2 * sum(corners_that_meet(relief.figure) for relief in reliefs)
    assert abs(solid.volume_mm3 - volume) <= allowed + rounding_mm3(solid) + squares


@given(gridded_reliefs())
@settings(max_examples=80, deadline=None)
def test_what_meets_at_corners_is_parted_and_nothing_else_is_changed(reliefs):
    front, back = reliefs
    if not areas_of(front.figure):
        return
    solid = plate(front, back)
    found = faults(solid)
    assert not found or (len(found) == 1 and SEVERAL in found[0])
    if not found:
        assert_printable_solid(solid)
    parted = SQUARE_MM2 * sum(corners_that_meet(relief.figure) for relief in reliefs)
    joined = extruded(front) - extruded(back)
    assert abs(solid.volume_mm3 - joined.volume()) <= parted + 1e-3
    assert as_manifold(solid).status() == manifold3d.Error.NoError
    assert plate(front, back).vertices.tobytes() == solid.vertices.tobytes()
    assert stl_bytes(plate(front, back)) == stl_bytes(solid)


def extruded(relief):
    """The union of all cells of a level relief, each as high as it stands, by manifold3d."""
    faces, cells = faces_of(relief.figure)
    blocks = []
    for face, cell in zip(faces, cells.tolist(), strict=True):
        height = 0.0 if cell == OUTSIDE else float(relief.planes[cell, 0])
        if height > 0.0:
            loops = [np.array(loop.coords)[:-1] for loop in (face.exterior, *face.interiors)]
            section = manifold3d.CrossSection(loops, manifold3d.FillRule.EvenOdd)
            blocks.append(manifold3d.Manifold.extrude(section, height))
    return manifold3d.Manifold.batch_boolean(blocks, manifold3d.OpType.Add) if blocks else manifold3d.Manifold()


@given(
    st.integers(1, 10),
    st.integers(1, 8),
    st.sampled_from((0.0, 0.2, -0.3, 1.0)),
    st.sampled_from((0.0, 0.1, -0.2, 0.7)),
    st.floats(0.2, 0.8),
    st.tuples(st.floats(-40, 40), st.floats(-40, 40)),
)
@settings(max_examples=60, deadline=None)
def test_mitred_panels_of_bricks_are_printable(across, courses, left, right, run, place):
    width, height, depth = 2.25 * across + 1.0, 0.75 * courses, 1.2
    corner = np.round(np.array(place), 3)
    x, y = corner
    course, column = np.meshgrid(np.arange(courses), np.arange(across + 1))
    u0 = np.maximum(x, x + 2.25 * column - 1.125 * (course % 2)).ravel()
    u1 = np.minimum(x + width, x + 2.25 * column - 1.125 * (course % 2) + 2.15).ravel()
    v0 = (y + 0.75 * course + 0.1).ravel()
    rects = np.stack([u0, v0, u1, v0 + 0.65], axis=1)[u1 - u0 > 0.05]
    base = Layer.union([corner + np.array([[0, 0], [width, 0], [width, height], [0, height]])], 0)
    strips = Layer.rectangles([[x, y, x + run, y + height], [x + width - run, y, x + width, y + height]], [1, 2])
    rise = 0.95 / run
    planes = [(0, 0, 0), (0.95 + rise * x, -rise, 0), (-rise * (x + width - run), rise, 0)]
    leans = (
        Lean((x + width, y), (x + width, y + height), right, depth),
        Lean((x, y + height), (x, y), left, depth),
    )
    front = Relief.flat(Figure((base, Layer.rectangles(rects, 1))), [depth - 0.12, depth])
    assert_printable_solid(plate(front, Relief(Figure((base, strips)), np.array(planes, dtype=float)), leans))


def test_the_judge_sees_what_it_should():
    """The areas by shapely are those of the layers, not of whatever the sheets make of them."""
    base = Layer.union([np.array([[0, 0], [4, 0], [4, 4], [0, 4]])], 0)
    figure = Figure((base, Layer.patches([np.array([[1, 1], [3, 1], [3, 3], [1, 3]])], OUTSIDE)))
    assert areas_of(figure) == {0: 12.0}
    assert linework(figure).length == 24.0
