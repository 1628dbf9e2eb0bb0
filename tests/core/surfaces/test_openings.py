import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.settings import BrickSettings, OpeningRequest
from halfbat.surfaces.openings import opening_spec, opening_units, openings_of
from halfbat.units import parse_scale
from opening_samples import HEADS, masonry, polygon, spec, twice_area

WALLS = {scale: masonry(6.74, 3.6, scale=scale) for scale in ("1:148", "1:76.2", "1:43.5")}
OO = parse_scale("1:76.2")


@st.composite
def any_opening(draw):
    wall = WALLS[draw(st.sampled_from(sorted(WALLS)))]
    head = draw(st.sampled_from(HEADS))
    width = draw(st.floats(0.5, 2.0))
    sills = ["none"] if head == "circular" else ["none", "stone", "brick on edge", "tile"]
    return wall, spec(
        wall,
        draw(st.floats(1.0, 3.0)),
        draw(st.floats(0.8, 1.2)),
        width,
        max(draw(st.floats(0.4, 1.0)), width / 2 + 0.05 if head == "semicircular arch" else 0.35),
        rise=draw(st.floats(0.1, 0.5)) * width if head == "segmental arch" and width <= 0.7 else None,
        head=head,
        work=draw(st.sampled_from(["rough", "gauged"])),
        rings=draw(st.integers(1, 3)),
        skewback=draw(st.sampled_from(["60 degrees", "one third", "by span"])),
        camber=draw(st.booleans()),
        sill=draw(st.sampled_from(sills)),
    )


@settings(deadline=None, max_examples=80)
@given(any_opening())
def test_units_are_printable_lie_apart_and_stay_inside_their_bed(made):
    wall, wanted = made
    try:
        opening = opening_units(wanted, wall)
    except KitError as refusal:
        assert refusal.where == "opening 1"
        return
    bed = shapely.union_all([polygon(ring) for ring in opening.bed])
    hole = polygon(opening.outline)
    assert hole.is_valid and twice_area(opening.outline) > 0
    shapes = [polygon(unit.ring) for unit in opening.units]
    for unit, shape in zip(opening.units, shapes, strict=True):
        assert shape.is_valid and twice_area(unit.ring) > 0
        # Between the corners of two chords an arc may stand out by its sagitta.
        assert shape.difference(bed).area < 0.02 * max(shape.length, 1.0)
        assert shape.difference(bed.buffer(0.012)).area < 1e-9
        assert not shape.buffer(-0.045).is_empty, (unit.kind, shape.wkt)
        assert np.allclose(unit.ring, np.round(unit.ring, 3), atol=1e-12)
        assert shape.intersection(hole).area < 0.012 * shape.length
        assert unit.level_mm == 0 or unit.level_mm >= wall.layer_mm
    tree = shapely.STRtree(shapes)
    for index, near in zip(*tree.query(shapes, predicate="dwithin", distance=wall.joint_mm * 0.5), strict=True):
        assert index == near, (opening.units[index].kind, opening.units[near].kind)
    u0, v0, u1, v1 = opening.reach
    assert -1e-9 <= u0 < u1 <= wall.laying.length_mm + 1e-9 and -1e-9 <= v0 < v1 <= wall.laying.height_mm + 1e-9


@pytest.mark.parametrize("head", HEADS[:-1])
def test_the_hole_has_the_size_asked_for_and_lies_on_the_courses(head):
    wall = WALLS["1:76.2"]
    asked = spec(wall, head=head, camber=False)
    hole = opening_units(asked, wall).outline
    assert hole[:, 0].min() == pytest.approx(asked.left_mm, abs=5e-4)
    assert hole[:, 0].max() == pytest.approx(asked.right_mm, abs=5e-4)
    assert hole[:, 1].min() == pytest.approx(asked.sill_mm, abs=wall.joint_v_mm)
    assert hole[:, 1].max() == pytest.approx(asked.top_mm, abs=wall.joint_v_mm)
    assert np.abs(wall.courses[1] - hole[:, 1].min()).min() < 1e-3


def test_a_request_becomes_model_size_with_lengths_in_bricks():
    request = OpeningRequest("A", "4 bricks", "910 mm", "16 courses", "8 courses", head="segmental arch")
    made = opening_spec(request, BrickSettings(), OO, "opening 1, wall A")
    assert made.left_mm * 76.2 == pytest.approx(900)
    assert (made.sill_mm * 76.2, made.height_mm * 76.2) == pytest.approx((600, 1200))
    assert made.rise_mm * 76.2 == pytest.approx(910 / 6)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"width": "0"}, "the opening has no width (opening 1): give a width above zero."),
        ({"height": "0 mm"}, "the opening has no height"),
        ({"at": "wide"}, "'wide' is not a length (opening 1, at)"),
        ({"head": "segmental arch", "rise": "0.6 m"}, "of 1 m span cannot rise 0.6 m (opening 1): give a rise from"),
        ({"head": "segmental arch", "rise": "1 mm"}, "cannot rise 0.001 m"),
        ({"head": "semicircular arch", "height": "0.4 m"}, "cannot have an arch that rises 0.5 m"),
        ({"head": "circular"}, "a circular opening 1 m wide cannot be 1.2 m high"),
        ({"head": "circular", "height": "1 m", "sill": "stone"}, "a circular opening has no sill"),
    ],
)
def test_requests_that_make_no_opening(changes, says):
    request = OpeningRequest(**{"wall": "A", "at": "1 m", "width": "1 m", "height": "1.2 m", **changes})
    with pytest.raises(KitError) as refusal:
        opening_spec(request, BrickSettings(), OO, "opening 1")
    assert says in str(refusal.value)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"left": 6.5}, "the opening reaches 7.41 m along and 1.8 m up a wall 6.74 m long and 3.6 m high"),
        ({"foot": 3.0}, "4.2 m up a wall"),
        (
            {"left": 0.05},
            "the opening is 0.05 m from the end of its wall (opening 1): leave at least half a brick, 0.103 m",
        ),
        ({"foot": 2.35}, "there is no room for the head of the opening"),
        ({"left": 0.11, "width": 1.5}, "a lintel of 1.5 m span bears 0.15 m at each end, and its pier is 0.11 m"),
        ({"left": 0.15, "head": "semicircular arch", "rings": 2}, "the arch of the opening reaches 0.065 m beyond"),
        (
            {"left": 0.12, "head": "flat arch", "width": 1.8, "skewback": "by span"},
            "the skewback of the flat arch leans",
        ),
        ({"foot": 0.0, "sill": "stone"}, "there is no room for a sill 0 m above the foot of the wall"),
        ({"foot": 0.1, "head": "circular", "rings": 3}, "the arch of the opening reaches"),
    ],
)
def test_openings_a_wall_has_no_room_for(asked, says):
    wall = WALLS["1:76.2"]
    with pytest.raises(KitError) as refusal:
        opening_units(spec(wall, **asked), wall)
    assert says in str(refusal.value)


def test_openings_in_each_others_way():
    wall = WALLS["1:76.2"]
    for second, says in (
        (spec(wall, 1.5), "the opening overlaps another"),
        (spec(wall, 2.08), "less than half a brick from another"),
        (spec(wall, 2.16), "runs into another"),
    ):
        with pytest.raises(KitError, match=says):
            openings_of([spec(wall), second], wall)
    assert len(openings_of([spec(wall), spec(wall, foot=2.25, height=0.6), spec(wall, 2.6)], wall)) == 3


def test_heads_between_courses_are_told():
    wall = WALLS["1:76.2"]
    found = opening_units(spec(wall, height=1.24), wall).findings
    assert [(item.code, item.remedy) for item in found] == [
        ("head-off-course", "put it at 1.875 m, a whole number of courses")
    ]
    assert opening_units(spec(wall), wall).findings == ()
