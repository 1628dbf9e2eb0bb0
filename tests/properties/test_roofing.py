"""Random slopes: always a solid, no sliver, every place covered, joints on pixels."""

import numpy as np
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

from halfbat.settings import ResinProcess
from halfbat.surfaces.roofing import COVERINGS, Family, get_covering
from halfbat.surfaces.roofing.laid_roof import PieceKind
from roof_samples import laid, roof_solid
from solids_help import assert_printable_solid

KEYS = [*(covering.key for covering in COVERINGS), "slate"]
FEW = 3000


@st.composite
def slopes(draw):
    """A slope with a level eaves and ridge (or none), its sides verges, hips or valleys."""
    width, height = draw(st.floats(4, 30)), draw(st.floats(3, 18))
    left = draw(st.sampled_from([0.0, 1.0, -1.0])) * draw(st.floats(0.3, 1.0)) * height * 0.7
    right = draw(st.sampled_from([0.0, 1.0, -1.0])) * draw(st.floats(0.3, 1.0)) * height * 0.7
    top_left, top_right = left, width - right
    kinds = {0: "verge", 1: "hip", -1: "valley"}
    names = [kinds[int(np.sign(right))], "ridge", kinds[int(np.sign(left))]]
    outline = [[0, 0], [width, 0], [top_right, height], [top_left, height]]
    if top_right - top_left < 1:
        outline = [[0, 0], [width, 0], [width / 2, height]]
        names = ["hip", "hip"]
    shift = np.array([draw(st.floats(-30, 30)), draw(st.floats(-5, 5))])
    return np.round(np.array(outline) + shift, 3), ("eaves", *names)


VERGE_BETWEEN_PIXELS = np.array([[0.875, 0.0], [4.875, 0.0], [4.875, 3.0], [0.875, 3.0]])

processes = st.builds(
    ResinProcess,
    pixel_x_mm=st.sampled_from([0.019, 0.022, 0.035, 0.05]),
    pixel_y_mm=st.sampled_from([0.022, 0.024, 0.05]),
    layer_mm=st.sampled_from([0.03, 0.05]),
)


@settings(max_examples=60, deadline=None)
@given(slopes(), st.sampled_from(KEYS), st.sampled_from(["1:220", "1:148", "1:76.2", "1:43.5"]), processes)
def test_every_slope_makes_a_solid(slope, key, scale, process):
    outline, _ = slope
    eaves = float(outline[:, 1].min())
    roof = laid(get_covering(key), slope, scale=scale, process=process, eaves_v_mm=eaves)
    solid = roof_solid(roof, outline)
    assert_printable_solid(solid, crossings=len(solid.triangles) < FEW)


@settings(max_examples=60, deadline=None)
@given(slopes(), st.sampled_from(KEYS), st.sampled_from(["1:148", "1:76.2"]))
@example((VERGE_BETWEEN_PIXELS, ("eaves", "verge", "ridge", "verge")), "pantile", "1:148")
def test_pieces_cover_the_slope_without_slivers(slope, key, scale):
    outline, _ = slope
    covering = get_covering(key)
    roof = laid(covering, slope, scale=scale, eaves_v_mm=float(outline[:, 1].min()))
    face = shapely.Polygon(outline)
    ground = shapely.union_all(shapely.polygons(roof.layers[0].rings_mm))
    assert ground.buffer(2e-3).contains(face)
    if not covering.joined:
        return
    pieces = roof.layers[1]
    seen = shapely.area(shapely.intersection(shapely.polygons(pieces.rings_mm), face))
    cover = np.diff(roof.joints_mm[0]).max() * roof.gauge_mm
    rows = np.bincount(pieces.cells)
    small = seen < 0.25 * cover * 0.5
    # A piece that small stands alone in its course.
    assert (rows[pieces.cells[small]] == 1).all()
    assert (pieces.kinds != PieceKind.GROUND).all()
    if covering.family == Family.DOUBLE_LAP:
        assert roof.gauge_mm <= np.ptp(outline[:, 1]) + 1e-9


@settings(max_examples=40, deadline=None)
@given(slopes(), st.sampled_from(KEYS))
def test_no_place_lies_under_the_base_or_over_the_height(slope, key):
    outline, _ = slope
    roof = laid(get_covering(key), slope, eaves_v_mm=float(outline[:, 1].min()))
    face = shapely.Polygon(outline)
    for layer in roof.layers:
        cut = shapely.intersection(shapely.polygons(layer.rings_mm), face)
        places, which = shapely.get_coordinates(cut, return_index=True)
        a, b, c = roof.planes[layer.cells[which]].T
        heights = a + b * places[:, 0] + c * places[:, 1]
        assert heights.min(initial=0) >= -2e-3
        assert heights.max(initial=0) <= roof.height_mm + 2e-3
