from itertools import pairwise

import numpy as np
import pytest
import shapely

from feature_samples import finish, full_mm, site, size
from halfbat.errors import KitError
from halfbat.surfaces.finishes.seeds import random_numbers

WALL = site()
RUBBLE = ("coursed rubble", "random rubble")


def stones(made):
    return [unit for layer in made.layers for unit in layer if unit.kind]


def test_random_numbers_are_the_same_for_the_same_names():
    one, two, other = (random_numbers("rubble", letter, 1) for letter in "AAB")
    first = [next(one) for _ in range(200)]
    assert first == [next(two) for _ in range(200)]
    assert first != [next(other) for _ in range(200)]
    assert 0.4 < np.mean(first) < 0.6 and min(first) >= 0 and max(first) < 1


@pytest.mark.parametrize("kind", RUBBLE)
@pytest.mark.parametrize("scale", ["1:148", "1:76.2", "1:43.5"])
def test_stones_do_not_overlap_and_keep_their_joints(kind, scale):
    wall = site(scale=scale)
    made = finish(kind, wall)
    shapes = [shapely.Polygon(unit.ring) for unit in stones(made)]
    assert all(shape.is_valid for shape in shapes)
    tree = shapely.STRtree(shapes)
    a, b = tree.query(shapes, predicate="dwithin", distance=wall.masonry.joint_mm - 0.02)
    assert (a == b).all()


@pytest.mark.parametrize("kind", RUBBLE)
def test_no_stone_is_a_sliver(kind):
    wall = site(openings=({}, {"left": 3.375, "head": "segmental arch"}))
    for unit in stones(finish(kind, wall)):
        shape = shapely.Polygon(unit.ring)
        assert not shape.buffer(-wall.masonry.least_mm * 0.7).is_empty


@pytest.mark.parametrize("kind", RUBBLE)
def test_stones_end_a_joint_before_openings(kind):
    wall = site(openings=({},))
    hole = shapely.Polygon(wall.openings[0].outline)
    assert all(
        shapely.Polygon(unit.ring).distance(hole) >= wall.masonry.joint_mm - 2e-3 for unit in stones(finish(kind, wall))
    )


@pytest.mark.parametrize("kind", RUBBLE)
def test_a_seed_gives_the_same_stones_again_and_another_gives_others(kind):
    rings = [np.concatenate([unit.ring for unit in stones(finish(kind, WALL, seed=seed))]) for seed in (1, 1, 2)]
    assert np.array_equal(rings[0], rings[1])
    assert not np.array_equal(rings[0], rings[2])


@pytest.mark.parametrize("kind", RUBBLE)
def test_most_of_the_wall_is_stone(kind):
    area = sum(shapely.Polygon(unit.ring).area for unit in stones(finish(kind, WALL)))
    assert 0.75 < area / (WALL.length_mm * WALL.height_mm) < 0.97


def test_perpends_of_coursed_rubble_break_joint():
    made = finish("coursed rubble", WALL)
    rows = {}
    for unit in stones(made):
        rows.setdefault(round(float(unit.ring[:, 1].min()), 2), []).append(float(unit.ring[:, 0].max()))
    ends = [np.array(sorted(row))[:-1] for _, row in sorted(rows.items())]
    aligned = [np.abs(a[:, None] - b[None]).min(axis=1) < 0.2 for a, b in pairwise(ends)]
    assert np.concatenate(aligned).mean() < 0.05


def test_a_band_ends_on_bed_joints():
    made = finish("render", WALL, bottom="0.61 m", top="2.02 m")
    bottoms, tops = WALL.masonry.courses
    ring = made.layers[0][0].ring
    assert np.abs(bottoms - ring[:, 1].min()).min() < 1e-3
    assert np.abs(tops - ring[:, 1].max()).min() < 1e-3
    assert made.layers[0][0].level_mm > 0  # over bricks, so it stands out


def test_render_over_a_whole_wall_is_its_face():
    assert finish("render", WALL).layers[0][0].level_mm == 0


def test_grains_of_render_never_touch():
    made = finish("render", WALL, texture="fine")
    shapes = [shapely.Polygon(unit.ring) for unit in made.layers[1]]
    assert len(shapes) > 500
    a, b = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=WALL.masonry.least_mm)
    assert (a == b).all()
    assert all(min(size(unit)) >= WALL.masonry.least_mm for unit in made.layers[1])


def test_boards_lap_the_one_below():
    made = finish("weatherboard", WALL)
    boards = sorted((unit for unit in stones(made) if unit.kind == "weatherboard"), key=lambda u: u.ring[:, 1].min())
    for unit in boards:
        low, high = unit.ring[:, 1].min(), unit.ring[:, 1].max()
        a, _, c = unit.plane
        assert a + c * low >= WALL.least_raise_mm - 1e-4
        assert a + c * high == pytest.approx(0, abs=1e-4)
        assert full_mm(WALL, high - low) == pytest.approx(150, abs=12)


def test_facets_of_sheets_join_without_a_step_across():
    made = finish("corrugated sheet", WALL)
    facets = [unit for unit in made.layers[-1] if unit.plane]
    low = min(unit.ring[:, 1].min() for unit in facets)
    row = sorted((u for u in facets if u.ring[:, 1].min() == low), key=lambda u: u.ring[:, 0].min())
    for one, after in pairwise(row):
        at = np.array([1.0, one.ring[:, 0].max(), low])
        assert np.dot(one.plane, at) == pytest.approx(np.dot(after.plane, at), abs=2e-3)


def test_ribs_too_close_for_the_printer_are_told():
    made = finish("corrugated sheet", site(scale="1:148"), size="20 mm")
    assert made.findings[0].code == "corrugation-coarse"


@pytest.mark.parametrize("kind", ["concrete block", "ashlar"])
def test_blocks_are_laid_round_openings(kind):
    made = finish(kind, site(openings=({},)))
    (work,) = made.brickwork
    assert len(work.laying.patterns) > 2
    assert made.voids[0].reach[0] < 0


def test_a_band_above_the_wall_is_refused():
    with pytest.raises(KitError) as caught:
        finish("render", WALL, bottom="9 m")
    assert "(finish 1 (render), wall A)" in str(caught.value)
    assert "begins above this wall" in str(caught.value)


def test_a_band_upside_down_is_refused_for_that():
    with pytest.raises(KitError, match="ends no higher than it begins"):
        finish("render", WALL, bottom="2 m", top="1 m")
