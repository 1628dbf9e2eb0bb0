import manifold3d
import numpy as np
import pytest
import shapely

from figure_samples import BED_MM, FACE_MM, arched_wall, bricks, outline, plain_wall, ring, slab
from halfbat.parts.outlines import corner_moves
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import Lean, plate
from halfbat.solids.relief import Relief
from solids_help import as_manifold, assert_printable_solid

BASE = outline(0, 0, 10, 10)


def test_a_slab():
    solid = slab((BASE,), (1.25,))
    assert len(solid.triangles) == 12
    assert len(solid.vertices) == 8
    assert_printable_solid(solid, volume_mm3=125.0, size_mm=(10, 10, 1.25), genus=0)


def test_a_plain_wall():
    rects, length, height = bricks(20, 30)
    solid = plate(*plain_wall(20, 30))
    brick = ((rects[:, 2] - rects[:, 0]) * (rects[:, 3] - rects[:, 1])).sum()
    volume = length * height * BED_MM + brick * (FACE_MM - BED_MM)
    assert_printable_solid(solid, volume_mm3=volume, size_mm=(length, height, FACE_MM), genus=0)


def test_a_wall_with_gable_and_arches():
    front, back = arched_wall(40, 60)
    solid = plate(front, back)
    assert_printable_solid(solid, genus=24, crossings=False)
    np.testing.assert_allclose(solid.bounds_mm, [[0, 0, 0], [90, 45, FACE_MM]], atol=1e-9)


def test_nothing_is_cut_up_on_the_other_side():
    engraved = Layer.patches([ring(3, 3, 4, 7), ring(3.5, 3, 5, 3.5)], 1)
    rects, length, height = bricks(5, 14)
    base = outline(0, 0, length, height)
    front = Relief.flat(Figure((base, Layer.rectangles(rects, 1))), [BED_MM, FACE_MM])
    plain = plate(front, Relief.flat(Figure((base,)), [0.0]))
    marked = plate(front, Relief.flat(Figure((base, engraved)), [0.0, 0.3]))
    assert_printable_solid(marked, volume_mm3=plain.volume_mm3 - 0.3 * (4.0 + 0.5))
    upward = [
        int((np.cross(c[:, 1] - c[:, 0], c[:, 2] - c[:, 0])[:, 2] > 0).sum())
        for c in (solid.vertices[solid.triangles] for solid in (plain, marked))
    ]
    assert upward[0] == upward[1]


@pytest.mark.parametrize("angle", [45.0, 30.0, 22.5, -20.0])
def test_a_mitred_edge_leans(angle):
    slope = float(np.tan(np.radians(angle)))
    solid = plate(
        Relief.flat(Figure((BASE,)), [1.0]),
        Relief.flat(Figure((BASE,)), [0.0]),
        (Lean((10, 0), (10, 10), slope, 1.0),),
    )
    assert_printable_solid(solid, volume_mm3=100.0 - 10.0 * slope / 2)
    assert solid.vertices[:, 0].max() == pytest.approx(10.0 + max(0.0, -slope))


def test_both_ends_mitred_with_land_and_flat_back():
    land, depth, length = 0.2, 1.2, 20.0
    rects, _, height = bricks(9, 10)
    base = outline(0, 0, length, height)
    rects = np.minimum(rects, [length, height, length, height])
    strips = Layer.rectangles([[0, 0, 1, height], [length - 1, 0, length, height]], [1, 2])
    planes = np.array([[0.0, 0, 0], [1.0, -1.0, 0], [1.0 - length, 1.0, 0]])
    planes[1:, 0] += depth - land - 1.0
    front = Relief.flat(Figure((base, Layer.rectangles(rects, 1))), [depth - 0.12, depth])
    leans = (Lean((length, 0), (length, height), -0.1, depth), Lean((0, height), (0, 0), 0.1, depth))
    solid = plate(front, Relief(Figure((base, strips)), planes), leans)
    assert_printable_solid(solid)
    flat = plate(front, Relief.flat(Figure((base,)), [0.0]))
    # Two wedges under the mitres and two strips at the ends, one taken off and one put on.
    wedges = 2 * 0.5 * height
    assert solid.volume_mm3 == pytest.approx(flat.volume_mm3 - wedges, abs=0.02 * height)


def test_bricks_on_a_leaning_edge_lean_with_it():
    tiles = Layer.rectangles([[8, 2, 10, 4], [8, 6, 10, 8]], 1)
    front = Relief.flat(Figure((BASE, tiles)), [1.0, 1.5])
    solid = plate(front, Relief.flat(Figure((BASE,)), [0.0]), (Lean((10, 0), (10, 10), 0.5, 1.0),))
    assert_printable_solid(solid)
    top = solid.vertices[solid.vertices[:, 2] == 1.5]
    assert top[:, 0].max() == pytest.approx(10.25)


def test_an_opening_over_a_recess():
    hole = Layer.patches([ring(3, 3, 6, 6)], OUTSIDE)
    recess = Layer.patches([ring(2, 2, 7, 7)], 1)
    front, back = Figure((BASE, hole)), Figure((BASE, recess, hole))
    solid = plate(Relief.flat(front, [1.0]), Relief.flat(back, [0.0, 0.4]))
    assert_printable_solid(solid, volume_mm3=91.0 - 0.4 * 16.0, genus=1)


def test_a_recess_that_reaches_the_rim():
    back = Relief.flat(Figure((BASE, Layer.patches([ring(-1, 3, 2, 7)], 1))), [0.0, 0.4])
    solid = plate(Relief.flat(Figure((BASE,)), [1.0]), back)
    assert_printable_solid(solid, volume_mm3=100.0 - 0.4 * 8.0, genus=0)


def test_recesses_all_round_the_rim_and_across_a_corner():
    recesses = Layer.patches([ring(0, 0, 2, 2), ring(0, 9, 10, 10), ring(6, 0, 8, 10), [[9, 0], [10, 0], [10, 5]]], 1)
    back = Relief.flat(Figure((BASE, recesses)), [0.0, 0.4])
    assert_printable_solid(plate(Relief.flat(Figure((BASE,)), [1.0]), back))


def test_the_same_volume_as_the_union_of_its_pieces():
    front, back = arched_wall(8, 12)
    solid = plate(front, back)
    gable, rects, openings = front.figure.layers

    def section(layer):
        loops = [layer.points[a:b] / 10_000 for a, b in zip(layer.starts[:-1], layer.starts[1:], strict=True)]
        return manifold3d.CrossSection(loops, manifold3d.FillRule.Positive)

    shape = section(gable) - section(openings)
    joined = manifold3d.Manifold.extrude(shape, BED_MM) + manifold3d.Manifold.extrude(
        section(rects) ^ shape, FACE_MM - BED_MM + 0.5
    ).translate([0, 0, BED_MM - 0.5])
    assert solid.volume_mm3 == pytest.approx(joined.volume(), rel=1e-5)
    assert as_manifold(solid).volume() == pytest.approx(joined.volume(), rel=1e-5)


def test_an_outline_that_crosses_itself_at_rounded_points():
    twisted = Layer.union([[[0, 0], [97, 0.2], [33.33, 100], [99.96, -33.33], [33.31, 33.35], [50, 120]]], 0)
    solid = plate(Relief.flat(Figure((twisted,)), [1.0]), Relief.flat(Figure((twisted,)), [0.0]))
    assert solid.volume_mm3 > 0


@pytest.mark.parametrize("noise", [0.001, 0.002, 0.01])
def test_an_outline_that_is_nearly_level(noise):
    rects, length, height = bricks(30, 20)
    rough = Layer.union([[[0, noise], [length, 0], [length, height - 0.4 + noise], [0, height - 0.4]]], 0)
    hole = Layer.patches([[[9.45, 2.25], [18.9, 2.25 + noise], [18.9, 5.624], [9.451, 5.625]]], OUTSIDE)
    front = Relief.flat(Figure((rough, Layer.rectangles(rects, 1), hole)), [BED_MM, FACE_MM])
    assert_printable_solid(plate(front, Relief.flat(Figure((rough, hole)), [0.0])), genus=1)


def test_fronts_may_slope():
    roof = Layer.rectangles([[0, 0, 5, 10], [5, 0, 10, 10]], [0, 1])
    front = Relief(Figure((BASE, roof)), np.array([[1.0, 0.2, 0], [3.0, -0.2, 0]]))
    solid = plate(front, Relief.flat(Figure((BASE,)), [0.0]))
    assert_printable_solid(solid, volume_mm3=100.0 * 1.5)


def test_same_input_same_bytes():
    one, two = plate(*arched_wall(12, 12)), plate(*arched_wall(12, 12))
    assert one.vertices.tobytes() == two.vertices.tobytes()
    assert one.triangles.tobytes() == two.triangles.tobytes()


def test_far_from_the_origin():
    far = outline(980, -999, 999, -990)
    tiles = Layer.rectangles([[981 + 2 * k, -998, 982.9 + 2 * k, -991] for k in range(8)], 1)
    solid = slab((far, tiles), openings=[[[985, -996], [991, -995.7], [988, -992.1]]])
    assert_printable_solid(solid, genus=1)


@pytest.mark.parametrize("left", [0.001, 0.003, 0.02, 0.1, 0.25, 0.6])
def test_a_gap_that_ends_beside_a_mitre_stays_behind_it(left):
    # As deep as a gap between tiles; nearer to the edge than the mitre leans in at its bottom.
    front = Relief.flat(Figure((BASE, Layer.patches([ring(4, 2, 10 - left, 2.3)], 1))), [2.0, 1.5])
    solid = plate(front, Relief.flat(Figure((BASE,)), [0.0]), (Lean((10, 0), (10, 10), 1.0, 2.0),))
    assert_printable_solid(solid)
    face_mm = 10.0 - (2.0 - solid.vertices[:, 2])
    assert (solid.vertices[:, 0] <= face_mm + 1e-6).all()
    # Nothing falls together in the single precision of an STL.
    assert len(np.unique(solid.vertices.astype(np.float32), axis=0)) == len(solid.vertices)
    trench = solid.vertices[np.abs(solid.vertices[:, 2] - 1.5) < 1e-6]
    assert trench[:, 0].max() == pytest.approx(min(10 - left, 9.5), abs=0.06)


@pytest.mark.parametrize("start", np.arange(-18.1, -16.5, 0.04).tolist())
def test_what_a_leaning_edge_brings_to_one_place_is_one_vertex(start):
    """The top edge of a real roof skin, nearly level and bent by rounding, under tiles that begin anywhere along it."""
    foot = [(-17.102, -8.196), (-16.645, -8.198), (16.646, -8.352), (17.103, -8.354)]
    top = [(17.009, 8.318), (16.552, 8.318), (-16.378, 8.354), (-16.834, 8.355)]
    corners, slopes = np.array([*foot, *top]), [0.0] * 4 + [0.96685] * 3 + [0.0]
    moves = corner_moves(corners, slopes)
    ends = [(tuple(corners[i]), tuple(corners[i + 1]), tuple(moves[i]), tuple(moves[i + 1])) for i in (4, 5, 6)]
    leans = tuple(Lean(one, other, 0.96685, 1.2, move, away) for one, other, move, away in ends)
    base = Layer.union([corners], 0)
    tiles = Layer.rectangles([[x, 7.0, x + 1.45, 20.0] for x in np.arange(start, 18.0, 1.6)], 1)
    tops = np.array([[1.1, 0.0, 0.0], [1.28, 0.0, -0.01]])
    assert_printable_solid(plate(Relief(Figure((base, tiles)), tops), Relief.flat(Figure((base,)), [0.0]), leans))


def test_what_ends_close_beside_a_corner_that_moves_keeps_its_order():
    """A top edge that leans, ended by an upright cut on which a band of the front ends within a thousandth or so."""
    slide = (0.0, -0.106)
    top = Lean((20, 10), (-10, 10), 0.106, 1.7, cuts=(((0.0, 10.0), slide),))
    side = Lean((0, 10), (0, 0), 0.0, 1.7, slide)
    # Its edges come to the cut 0.7 and 1.2 thousandths below the corner.
    band = np.array([(-1, 9.999), (1, 9.9985), (1, 9.999), (-1, 9.9995)])
    front = Relief.flat(Figure((BASE, Layer.patches([band], 1))), [1.5, 1.7])
    back = Relief.flat(Figure((BASE,)), [0.0])
    upright, leaning = plate(front, back), plate(front, back, (top, side))
    assert_printable_solid(leaning, crossings=False)
    assert len(leaning.vertices) == len(upright.vertices)
    ends = leaning.vertices[leaning.triangles]
    ends = ends[(np.abs(ends[:, :, 0]) < 1e-9).all(axis=1)]
    assert (np.cross(ends[:, 1] - ends[:, 0], ends[:, 2] - ends[:, 0])[:, 0] < 1e-12).all()


@pytest.mark.parametrize("steep", [0.3, 0.7, 1.157])
def test_a_short_edge_whose_ends_both_move_along_it_takes_what_lies_on_it_along(steep):
    """A slope cut plumb all round, also round a step in its outline that is shorter than the plumb cut leans."""
    corners = np.array([(0, 0), (10, 0), (10, 6), (6, 6), (6, 5), (0, 5)], dtype=float)
    slopes, fall = (-steep, 0.0, steep, 0.0, steep, 0.0), (0.0, -steep)
    leans = tuple(
        Lean(tuple(one), tuple(other), slope, 2.0, fall, fall)
        for one, other, slope in zip(corners, np.roll(corners, -1, axis=0), slopes, strict=True)
    )
    base = Layer.union([corners], 0)
    tiles = Layer.rectangles([[0.0, y, 10.0, y + 0.4] for y in (1.0, 2.2, 3.4, 5.1, 5.55)], 1)
    figure = Figure((base, tiles))
    solid = plate(Relief.flat(figure, [1.7, 2.0]), Relief.flat(figure, [0.0, 0.2]), leans)
    assert_printable_solid(solid)
    plumb = solid.vertices[:, :2] + (2.0 - solid.vertices[:, 2:]) * (0.0, steep)
    # Seen from above it is its outline, but for what makes room beside the step.
    assert shapely.Polygon(corners).buffer(2e-3).covers(shapely.points(plumb)).all()
