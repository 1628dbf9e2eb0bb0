from dataclasses import replace

import numpy as np
import pytest

from feature_samples import DEPTH_MM, feature, full_mm, site, size
from halfbat.errors import KitError
from halfbat.findings import Severity
from halfbat.settings import FeatureRequest
from halfbat.surfaces.features import feature_units
from halfbat.surfaces.pieces import Kind

WALL = site()
GAUGE = WALL.masonry.gauge_mm


def whole_layers(level):
    return level / WALL.masonry.layer_mm == pytest.approx(round(level / WALL.masonry.layer_mm))


def test_a_plinth_stands_proud_in_whole_courses_with_the_bricks_of_the_wall():
    square, chamfered = feature("plinth", WALL, height="4 courses").brickwork
    assert (square.first, square.last) == (0, 2)
    assert (chamfered.first, chamfered.last, chamfered.head_mm) == (3, 3, 0.0)
    assert square.laying is None and chamfered.laying is None
    assert whole_layers(square.level_mm)
    assert full_mm(WALL, square.level_mm) == pytest.approx(56.25, abs=2)


def test_a_square_plinth_has_no_chamfer():
    (part,) = feature("plinth", WALL, height="4 courses", top="square").brickwork
    assert (part.first, part.last, part.head_mm) == (0, 3, None)


@pytest.mark.parametrize("scale", ["1:148", "1:76.2", "1:43.5"])
@pytest.mark.parametrize("kind", ["plinth", "string course", "dentil course", "corbelled eaves", "quoins", "coping"])
def test_nothing_stands_out_by_less_than_shows(kind, scale):
    wall = site(scale=scale)
    made = feature(kind, wall, projection="2 mm")
    levels = [part.level_mm for part in made.brickwork] + [u.level_mm for layer in made.layers for u in layer if u.kind]
    assert max(levels) >= wall.least_raise_mm - 1e-9


def test_a_string_course_of_stone_is_a_row_of_equal_stones_two_courses_high():
    made = feature("string course", WALL, bottom="20 courses", material="stone")
    stones = made.layers[-1]
    assert {unit.kind for unit in stones} == {"string course stone"}
    assert size(stones[0])[1] + WALL.masonry.joint_v_mm == pytest.approx(2 * GAUGE, abs=0.06)
    assert full_mm(WALL, size(stones[1])[0]) == pytest.approx(600, abs=40)
    assert stones[0].ring[:, 0].min() == pytest.approx(0, abs=1e-3)
    assert stones[-1].ring[:, 0].max() == pytest.approx(WALL.length_mm, abs=1e-3)


def test_dentils_stand_out_by_turns_and_at_both_ends():
    made = feature("dentil course", WALL)
    headers = made.layers[-1]
    assert len(headers) % 2 == 1
    assert [unit.level_mm > 0 for unit in headers] == [place % 2 == 0 for place in range(len(headers))]
    (over,) = made.brickwork
    assert over.level_mm == headers[0].level_mm
    assert over.last == WALL.masonry.laying.courses - 1


def test_eaves_oversail_course_by_course_up_to_the_top():
    parts = feature("corbelled eaves", WALL, courses=4).brickwork
    steps = np.diff([0.0, *(part.level_mm for part in parts)])
    assert np.allclose(steps, steps[0])
    assert parts[-1].last == WALL.masonry.laying.courses - 1
    assert [part.first for part in parts] == list(range(parts[0].first, parts[0].first + 4))


def test_a_gable_has_no_eaves():
    made = feature("corbelled eaves", site(gable_m=1.5))
    assert not made.brickwork
    assert made.findings[0].code == "no-eaves"


def test_a_raking_coping_follows_both_rakes():
    wall = site(gable_m=1.8)
    made = feature("coping", wall, material="stone")
    stones = made.layers[-1]
    tops = np.array([unit.ring[:, 1].max() for unit in stones])
    assert tops.max() == pytest.approx(wall.height_mm, abs=wall.masonry.joint_u_mm)
    middles = np.array([unit.ring[:, 0].mean() for unit in stones])
    assert middles.min() < wall.length_mm / 4 and middles.max() > wall.length_mm * 3 / 4


def test_a_pilaster_has_bricks_of_its_own_and_the_wall_gives_way():
    made = feature("pilaster", WALL, at="9 bricks")
    (part,) = made.brickwork
    assert part.laying is not None
    assert full_mm(WALL, part.right_mm - part.left_mm) == pytest.approx(327.5, abs=0.01)  # CO-, one brick and a half
    (place,) = made.voids
    assert place.jambs is None
    assert made.keep == ((part.left_mm, part.right_mm),)


def test_piers_repeat_to_the_end_of_the_wall():
    made = feature("pier", WALL, at="1 m", spacing="2 m")
    lefts = [full_mm(WALL, part.left_mm) for part in made.brickwork]
    assert lefts == pytest.approx([1000, 3000, 5000])


def test_quoins_are_long_and_short_by_turns_and_opposite_at_the_other_end():
    made = feature("quoins", WALL, material="stone")
    width = {(round(v.reach[0], 2) <= 0, round(v.reach[1], 1)): v.reach[2] - v.reach[0] for v in made.voids}
    left = [width[key] for key in sorted(width) if key[0]]
    right = [width[key] for key in sorted(width) if not key[0]]
    assert len(left) == len(right) == 16  # 48 courses, three to a block
    assert all(a > b for a, b in zip(left[::2], left[1::2], strict=True))
    assert all((a > b) != (c > d) for a, b, c, d in zip(left, left[1:], right, right[1:], strict=False))


def test_no_quoin_stands_where_another_wall_stands_before_the_end():
    made = feature("quoins", site(inner=(True, False)))
    assert all(part.left_mm > 1 for part in made.brickwork)


def test_a_recessed_panel_leaves_enough_behind_it():
    wall = site(scale="1:43.5")
    made = feature("recessed panel", wall, at="4 bricks", projection="100 mm")
    (part,) = made.brickwork
    assert part.level_mm == pytest.approx(-(wall.base_mm - wall.least_base_mm))
    assert made.findings[0].code == "recess-shallow"
    assert made.voids[0].jambs is not None
    assert made.recesses


def test_courses_stop_on_both_sides_of_a_movement_joint():
    made = feature("movement joint", WALL, at="3 m")
    ((joint,),) = made.layers
    assert joint.level_mm == -DEPTH_MM
    assert size(joint)[0] == pytest.approx(WALL.masonry.joint_u_mm, abs=1e-3)
    assert size(joint)[1] == pytest.approx(WALL.height_mm, abs=1e-3)
    assert made.voids[0].jambs is not None


@pytest.mark.parametrize("face", ["slots", "holes"])
@pytest.mark.parametrize("asked", ["215x65", "215x140", "215x215"])
def test_openings_of_air_bricks_are_printable(asked, face):
    for scale in ("1:148", "1:76.2", "1:43.5"):
        wall = site(scale=scale)
        made = feature("air brick", wall, at="1 m", size=asked, face=face)
        _, (frame,), openings = made.layers
        for unit in openings:
            assert size(unit)[0] == pytest.approx(wall.masonry.joint_u_mm, abs=2e-3)
            assert (unit.ring.min(axis=0) > frame.ring.min(axis=0)).all()
            assert (unit.ring.max(axis=0) < frame.ring.max(axis=0)).all()
        starts = np.unique([unit.ring[:, 0].min() for unit in openings])
        if len(starts) > 1:
            assert np.diff(starts).min() - wall.masonry.joint_u_mm >= wall.masonry.least_mm - 1e-6


def test_an_air_brick_takes_the_place_of_a_whole_stretcher():
    made = feature("air brick", WALL, at="1.3 m")
    (frame,) = made.layers[1]
    laying = WALL.masonry.laying
    course = int(np.argmin(np.abs(WALL.masonry.courses[0] - frame.ring[:, 1].min())))
    pattern = laying.patterns[laying.course_pattern[course]]
    middles = (pattern.bounds_mm[:-1] + pattern.bounds_mm[1:]) / 2
    near = int(np.argmin(np.abs(middles - frame.ring[:, 0].mean())))
    assert pattern.kinds[near] == Kind.STRETCHER
    assert middles[near] == pytest.approx(frame.ring[:, 0].mean(), abs=0.06)


def test_blades_of_a_vent_slope_back_from_their_lower_edges():
    made = feature("vent", WALL, at="2 m")
    for blade in made.layers[-1]:
        low, high = blade.ring[:, 1].min(), blade.ring[:, 1].max()
        a, b, c = blade.plane
        assert b == 0
        assert a + c * low == pytest.approx(0, abs=1e-6)
        assert a + c * high == pytest.approx(-DEPTH_MM, abs=1e-6)


@pytest.mark.parametrize("material", ["brick", "stone"])
def test_surrounds_bond_into_the_wall_beside_both_jambs(material):
    wall = site(openings=({},))
    made = feature("surround", wall, material=material)
    (opening,) = wall.openings
    left = [v for v in made.voids if v.reach[2] <= opening.jambs[0] + 1e-3]
    right = [v for v in made.voids if v.reach[0] >= opening.jambs[1] - 1e-3]
    assert len(left) == len(right) > 2
    assert len({round(v.reach[2] - v.reach[0], 1) for v in left}) == 2


@pytest.mark.parametrize(
    ("kind", "keys", "says"),
    [
        ("pier", {"at": "7 m"}, "it reaches beyond the end of its wall"),
        ("pier", {"at": "1 m", "spacing": "20 mm"}, "leaves no wall between them"),
        ("plinth", {"bottom": "9 m"}, "there is no wall where this is to be"),
        ("plinth", {"height": "0 m"}, "it has no height"),
        ("plinth", {"start": "3 m", "end": "2 m"}, "it ends before it begins"),
        ("plinth", {"height": "wide"}, "(feature 1 (plinth), wall A)"),
    ],
)
def test_what_does_not_fit_is_refused(kind, keys, says):
    with pytest.raises(KitError) as caught:
        feature(kind, WALL, **keys)
    assert says in str(caught.value)


def test_what_all_walls_are_to_have_is_left_out_of_lower_ones_with_a_note():
    made = feature_units(FeatureRequest("all", "string course", bottom="9 m"), WALL, 1)
    assert not made.brickwork and not made.layers
    (told,) = made.findings
    assert told.severity is Severity.NOTE and "wall A" in told.part


def test_over_a_roof_a_wall_carries_only_what_is_as_high_as_that():
    foot_mm = 1.5 * WALL.masonry.scale.mm_per_m
    over = replace(WALL, outline_mm=np.maximum(WALL.outline_mm, [-np.inf, foot_mm]))
    made = feature_units(FeatureRequest("all", "plinth", height="6 courses"), over, 1)
    assert not made.brickwork and [told.severity for told in made.findings] == [Severity.NOTE]
    with pytest.raises(KitError, match=r"begins at 1\.5"):
        feature_units(FeatureRequest("A", "plinth", height="6 courses"), over, 1)
    quoins = feature_units(FeatureRequest("A", "quoins"), over, 1)
    tops = over.masonry.courses[1]
    lows = [tops[part.first] for part in quoins.brickwork] + [
        unit.ring[:, 1].max() for layer in quoins.layers for unit in layer
    ]
    assert min(lows) > foot_mm


def test_eaves_that_oversail_too_far_are_told():
    made = feature("corbelled eaves", WALL, projection="60 mm")
    assert made.findings[0].severity == Severity.WARNING


def test_jamb_blocks_of_neighbouring_openings_share_the_room_between_them():
    wall = site(openings=({"left": 1.0}, {"left": 2.2}))
    blocks = [unit.ring for layer in feature("surround", wall, material="stone").layers for unit in layer if unit.kind]
    assert len(blocks) > 8
    boxes = [(ring.min(axis=0), ring.max(axis=0)) for ring in blocks]
    for k, (low, high) in enumerate(boxes):
        for other_low, other_high in boxes[k + 1 :]:
            assert not ((np.minimum(high, other_high) - np.maximum(low, other_low)) > 1e-6).all()
