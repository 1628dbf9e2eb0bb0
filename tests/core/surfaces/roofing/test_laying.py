import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.surfaces.roofing import COVERINGS, PieceKind, get_covering, slate
from halfbat.units import parse_scale
from roof_samples import HIP, RECTANGLE, SLOPES, laid, roof_solid
from solids_help import assert_printable_solid

KEYS = [*(covering.key for covering in COVERINGS), "slate"]
FEW = 3000


@pytest.mark.parametrize("slope", SLOPES)
@pytest.mark.parametrize("key", KEYS)
def test_every_covering_makes_a_solid_on_every_slope(key, slope):
    outline, _ = SLOPES[slope]
    roof = laid(get_covering(key), SLOPES[slope])
    solid = roof_solid(roof, outline)
    assert_printable_solid(solid, crossings=False)
    low, high = solid.bounds_mm
    assert high[2] <= 1.2 + roof.height_mm + 1e-6
    np.testing.assert_allclose(solid.size_mm[:2], np.ptp(np.array(outline, float), axis=0), atol=2e-3)
    assert low[2] == 0


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("scale", ["1:220", "1:43.5"])
def test_solids_at_other_scales_and_round_a_chimney(key, scale):
    hole = [[10.013, 3.4], [12.5, 3.4], [12.5, 6.111], [10.013, 6.111]]
    roof = laid(get_covering(key), HIP, scale=scale, holes_mm=[hole])
    solid = roof_solid(roof, HIP[0], [hole])
    assert_printable_solid(solid, genus=1, crossings=len(solid.triangles) < FEW)


def test_moved_roof_is_the_same():
    roof = laid(get_covering("pantile"), HIP)
    moved = roof.moved(-12.0, -6.0)
    solid = roof_solid(roof, HIP[0])
    other = roof_solid(moved, np.array(HIP[0]) - [12.0, 6.0])
    assert other.volume_mm3 == pytest.approx(solid.volume_mm3, rel=1e-6)


def test_courses_come_out_whole_and_gauge_is_never_over_the_largest():
    roof = laid(get_covering("plain tile"))
    scale = parse_scale("1:148")
    assert roof.gauge_mm <= scale.to_mm(0.100) + 1e-9
    assert 12 / roof.gauge_mm == pytest.approx(round(12 / roof.gauge_mm))


def test_tile_and_a_half_in_every_second_course_at_verges():
    roof = laid(get_covering("plain tile"))
    courses = len(roof.tails_mm) + 1
    kinds = roof.layers[1].kinds
    assert (kinds == PieceKind.AND_A_HALF).sum() >= courses // 2
    assert (kinds == PieceKind.CUT).sum() <= courses
    assert roof.counts["under-eaves plain tile"] == roof.counts["top plain tile"]


def test_wholes_fill_a_slope_of_whole_tiles():
    scale = parse_scale("1:76.2")
    wide, high = scale.to_mm(20 * 0.165), scale.to_mm(12 * 0.1)
    slope = ([[0, 0], [wide, 0], [wide, high], [0, high]], RECTANGLE[1])
    roof = laid(get_covering("plain tile"), slope, scale="1:76.2")
    assert roof.counts == {
        # Six courses of 20; six of 17 between a tile and a half at each end; 20 of the top course are short.
        "plain tile": 6 * 20 + 6 * 18 - 20 - 6,
        "plain tile and a half": 12,
        "top plain tile": 20,
        "under-eaves plain tile": 20,
    }


def test_steps_are_whole_layers_on_course_lines():
    roof = laid(slate("500 x 250"))
    rows = len(roof.tails_mm) + 1
    tile = roof.planes[1 + rows :]
    tails = np.concatenate([[0.0], roof.tails_mm])
    heads = np.concatenate([roof.tails_mm, [12.0]])
    np.testing.assert_allclose(tile[:, 0] + tile[:, 2] * tails, 0.20, atol=1e-9)
    np.testing.assert_allclose(tile[:, 0] + tile[:, 2] * heads, 0.10, atol=1e-9)


def test_joints_are_whole_pixels_and_half_a_tile_apart():
    roof = laid(get_covering("plain tile"))
    rings, cells = roof.layers[1].rings_mm, roof.layers[1].cells
    for course in np.unique(cells)[:3]:
        row = rings[cells == course]
        gaps = row[1:, 0, 0] - row[:-1, 1, 0]
        np.testing.assert_allclose(gaps, 0.15, atol=1e-9)
        np.testing.assert_allclose(row[1:, 0, 0] / 0.05, np.rint(row[1:, 0, 0] / 0.05), atol=1e-6)
    even, odd = roof.joints_mm
    assert abs((odd[0] - even[0]) / (even[1] - even[0])) % 1 == pytest.approx(0.5)


def test_tails_lie_on_pixels():
    tails = laid(slate("500 x 250"), HIP).tails_mm
    np.testing.assert_allclose(tails / 0.05, np.rint(tails / 0.05), atol=1e-6)


def test_twenty_thousand_tiles():
    slope = ([[0, 0], [157, 0], [157, 99], [0, 99]], RECTANGLE[1])
    roof = laid(get_covering("plain tile"), slope)
    assert sum(roof.counts.values()) > 20_000


@pytest.mark.parametrize(
    ("outline", "edges"),
    [([[0, 0], [1, 0]], ("eaves", "verge")), (RECTANGLE[0], ("eaves",)), (RECTANGLE[0][::-1], RECTANGLE[1])],
)
def test_refusals(outline, edges):
    with pytest.raises(KitError):
        laid(slate("500 x 250"), (outline, edges))


def test_a_lap_that_leaves_nothing_is_refused_and_a_small_one_told():
    with pytest.raises(KitError, match="leaves nothing"):
        laid(get_covering("plain tile"), lap_m=0.260)
    codes = [finding.code for finding in laid(get_covering("plain tile"), lap_m=0.040).findings]
    assert codes == ["roof-lap"]


@pytest.mark.parametrize("key", ["plain tile", "slate"])
@pytest.mark.parametrize("scale", ["1:76.2", "1:148"])
def test_no_tail_hangs_on_a_feather_over_the_mitre_of_a_slanting_ridge(key, scale):
    # A ridge that falls by somewhat more than a course over its length: somewhere next to nothing of one is seen.
    ridge = [[20.0, 11.0], [0.0, 12.5]]
    slope = [[0, 0], [20, 0], *ridge], RECTANGLE[1]
    pitch, roof = 50, laid(get_covering(key), slope, scale=scale, pitch=50)
    rings = roof.layers[1].rings_mm
    low, middle = rings[:, :, 1].min(axis=1), np.clip((rings[:, 0, 0] + rings[:, 2, 0]) / 2, 0, 20)
    seen = 12.5 - 1.5 * middle / 20 - low
    step = roof.height_mm / 2
    # As far as the mitre cuts in under the foot of a tail, and a quarter of a millimetre that holds it, or much of it.
    least = min(step * np.tan(np.radians(pitch)) + 0.25, 0.55 * roof.gauge_mm)
    assert len(rings) and seen[seen > -0.05].min() > least
    # And those of which little is seen are as wide as others.
    width = np.ptp(rings[:, :, 0], axis=1)
    assert width.max() < 2.4 * np.median(width)


def test_a_level_ridge_keeps_its_last_course():
    roof = laid(get_covering("plain tile"), pitch=60)
    top = roof.layers[1].rings_mm[:, :, 1].min(axis=1).max()
    assert 12 - top == pytest.approx(roof.gauge_mm, abs=0.05)


@pytest.mark.parametrize("scale", ["1:87", "1:220"])
def test_tiles_are_joined_by_what_is_seen_of_them_beside_a_parapet(scale):
    # The skin ends a third of a tile past a side joint.
    tile = get_covering("plain tile")
    width = parse_scale(scale).to_mm(tile.cover_m)
    end = 12.3 * width
    outline = [[0, 0], [end + 1.3, 0], [end + 1.3, 12], [0, 12]]
    seen = [[0.0, 0.0], [end, 0.0], [end, 12.0], [0.0, 12.0]]
    edges = ("eaves", "parapet", "ridge", "verge")
    roof = laid(tile, (outline, edges), scale=scale, seen_mm=seen)
    rings = roof.layers[1].rings_mm
    shown = np.minimum(rings[:, :, 0].max(axis=1), end) - rings[:, :, 0].min(axis=1)
    top = rings[:, :, 1].min(axis=1) > 12 - 1.05 * roof.gauge_mm
    assert shown[top].min() > 0.4 * width
    assert (shown > 0).all()
