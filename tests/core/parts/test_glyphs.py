from itertools import combinations, product

import numpy as np
import pytest
from shapely import MultiPolygon, Polygon, affinity, unary_union

from halfbat.errors import KitError
from halfbat.parts.font import LINES
from halfbat.parts.glyphs import LEAST_HEIGHT, UP_ARROW, fit_text, text_size, text_strokes

# Height and stroke: resin, filament, the plate side of a resin skin, and the lowest text allowed.
SIZES = [(2.2, 0.30), (3.5, 0.50), (5.0, 0.60), (LEAST_HEIGHT * 0.3, 0.30)]


def drawn(text, height=3.5, stroke=0.5):
    return unary_union([Polygon(ring) for ring in text_strokes(text, height, stroke)])


def pieces(shape):
    return list(shape.geoms) if isinstance(shape, MultiPolygon) else [shape]


def test_the_font_has_the_characters_of_numbers():
    assert set(LINES) == set("0123456789ABCDEFGHJKLMNPRSTUVWXYZ-" + UP_ARROW)


@pytest.mark.parametrize(("height", "stroke"), SIZES)
@pytest.mark.parametrize("character", LINES)
def test_each_stroke_is_a_simple_anticlockwise_polygon(character, height, stroke):
    for ring in text_strokes(character, height, stroke):
        assert Polygon(ring).is_valid
        assert Polygon(ring).exterior.is_ccw


@pytest.mark.parametrize(("height", "stroke"), SIZES)
@pytest.mark.parametrize("character", LINES)
def test_gaps_and_counters_stay_open(character, height, stroke):
    shape = drawn(character, height, stroke)
    for one, other in combinations(pieces(shape), 2):
        assert one.distance(other) >= stroke - 1e-9
    for piece in pieces(shape):
        for hole in piece.interiors:
            assert not Polygon(hole).buffer(-stroke * 0.499).is_empty
    # Whatever a brush as wide as a stroke cannot reach must be the tip of a wedge where two strokes meet.
    reach = 0.495 * stroke
    closed = shape.buffer(reach).buffer(-reach).difference(shape.buffer(1e-6))
    assert max((piece.area for piece in pieces(closed)), default=0.0) < 0.55 * stroke**2


@pytest.mark.parametrize(("height", "stroke"), SIZES)
@pytest.mark.parametrize("character", LINES)
def test_no_stroke_is_thinner_than_asked(character, height, stroke):
    shape = drawn(character, height, stroke)
    opened = shape.buffer(-0.49 * stroke).buffer(0.49 * stroke)
    # Only the corners of ends are lost when the shape is gone over with a round cutter as wide as the stroke.
    assert opened.area > 0.88 * shape.area
    assert len(pieces(opened)) == len(pieces(shape))


def turned(shape):
    middle = affinity.translate(shape, -shape.bounds[0], -shape.bounds[1])
    yield middle
    yield affinity.scale(middle, -1, 1, origin="center")
    yield affinity.scale(middle, 1, -1, origin="center")
    yield affinity.rotate(middle, 180, origin="center")


def difference(one, other):
    """Least share of area by which they differ, with their boxes laid edge to edge or middle to middle."""
    best = np.inf
    for x, y in product((0.0, 0.5, 1.0), repeat=2):
        corners = [(b[0] + x * (b[2] - b[0]), b[1] + y * (b[3] - b[1])) for b in (one.bounds, other.bounds)]
        moved = affinity.translate(other, corners[0][0] - corners[1][0], corners[0][1] - corners[1][1])
        best = min(best, one.symmetric_difference(moved).area / max(one.area, other.area))
    return best


def test_no_character_looks_like_another_even_mirrored_or_upside_down():
    shapes = {character: drawn(character) for character in LINES}
    for one, other in combinations(LINES, 2):
        for view in turned(shapes[other]):
            assert difference(shapes[one], view) > 0.18, (one, other)


def test_six_and_nine_are_underlined_and_zero_has_a_dot():
    assert len(pieces(drawn("6"))) == len(pieces(drawn("9"))) == 2
    assert len(pieces(drawn("0"))) == 2
    assert drawn("6").bounds[3] > drawn("8").bounds[3] + 1.0


def test_text_starts_at_the_origin_and_has_the_size_told():
    for text, (height, stroke) in product(("A1", "WA12", "S1 -", UP_ARROW + "69"), SIZES):
        bounds = drawn(text, height, stroke).bounds
        assert bounds[:2] == pytest.approx((0, 0))
        assert bounds[2:] == pytest.approx(text_size(text, height, stroke))
    assert text_size("H", 3.5, 0.5)[1] == pytest.approx(3.5)


def test_characters_keep_a_stroke_apart():
    text = "".join(LINES)
    stroke = 0.3
    for one, other in product(text, repeat=2):
        alone = len(pieces(drawn(one))) + len(pieces(drawn(other)))
        assert len(pieces(drawn(one + other, 2.2, stroke))) == alone
        assert (
            text_size(one + other, 2.2, stroke)[0] >= sum(text_size(c, 2.2, stroke)[0] for c in (one, other)) + stroke
        )


def test_a_space_parts_words():
    assert text_size("A B", 2.2, 0.3)[0] > text_size("AB", 2.2, 0.3)[0] + 0.6


@pytest.mark.parametrize("text", ["I", "O", "Q", "a", "1.5", "", "  ", "é"])
def test_an_unknown_character_is_refused_not_dropped(text):
    with pytest.raises(KitError):
        text_strokes(text, 3.5, 0.5)
    with pytest.raises(KitError):
        fit_text(text, 100, 100, 3.5, 0.5)


@pytest.mark.parametrize(("height", "stroke"), [(2.0, 0.3), (3.5, 0.0), (float("nan"), 0.3), (float("inf"), 0.3)])
def test_text_too_low_for_its_stroke_is_refused(height, stroke):
    with pytest.raises(KitError):
        text_strokes("A1", height, stroke)


def test_text_is_as_large_as_its_room_up_to_the_wanted_height():
    free = fit_text("WA1", 100.0, 100.0, 5.0, 0.6)
    assert free.height_mm == pytest.approx(5.0)
    narrow = fit_text("WA1", free.size_mm[0] - 0.4, 100.0, 5.0, 0.6)
    assert LEAST_HEIGHT * 0.6 <= narrow.height_mm < 5.0
    assert narrow.size_mm[0] == pytest.approx(free.size_mm[0] - 0.4)
    low = fit_text("WA6", 100.0, 5.8, 5.0, 0.6)
    assert low.size_mm[1] == pytest.approx(5.8)
    box = unary_union([Polygon(ring) for ring in low.strokes]).bounds
    assert box == pytest.approx((50 - low.size_mm[0] / 2, 0, 50 + low.size_mm[0] / 2, 5.8))


def test_text_that_cannot_be_read_in_its_room_is_not_placed():
    assert fit_text("WA1", 3.0, 100.0, 5.0, 0.6) is None
    assert fit_text("WA1", 100.0, 4.0, 5.0, 0.6) is None
    assert fit_text("WA1", 100.0, 100.0, 4.0, 0.6) is None
    assert fit_text("WA1", 0.0, 0.0, 5.0, 0.6) is None
