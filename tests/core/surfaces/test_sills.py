import pytest

from halfbat.surfaces.openings import opening_units
from opening_samples import masonry, spec

WALL = masonry(6.74, 3.6)


def sill(kind, wall=WALL):
    opening = opening_units(spec(wall, sill=kind), wall)
    return opening, [unit for unit in opening.units if "sill" in unit.kind]


def test_a_stone_sill_is_one_piece_two_courses_high_with_stools_half_a_brick_long():
    opening, (stone,) = sill("stone")
    u0, v0 = stone.ring.min(axis=0)
    u1, v1 = stone.ring.max(axis=0)
    assert (u1 - u0) * 76.2 == pytest.approx(910 + 2 * 102.5, abs=0.2)
    assert v1 == opening.outline[:, 1].min()
    assert (v1 - v0 + WALL.joint_v_mm) * 76.2 == pytest.approx(150, abs=4)


def test_bricks_on_edge_stand_three_to_a_brick():
    _, bricks = sill("brick on edge")
    assert len(bricks) == 12  # 910 = 12 x 75 + 10
    heights = {round((unit.ring[:, 1].max() - unit.ring[:, 1].min()) * 76.2) for unit in bricks}
    assert heights <= {102, 103}


def test_a_split_too_thin_to_print_is_taken_into_the_sill():
    wall = masonry(6.74, 3.6, scale="1:148")
    _, bricks = sill("brick on edge", wall)
    low = min(unit.ring[:, 1].min() for unit in bricks)
    assert abs(wall.courses[0] - low).min() < 1e-3


@pytest.mark.parametrize("scale", ["1:148", "1:76.2"])
def test_tiles_lie_in_two_courses_that_break_joint(scale):
    wall = masonry(6.74, 3.6, scale=scale)
    _, tiles = sill("tile", wall)
    rows = sorted({round(float(unit.ring[:, 1].min()), 3) for unit in tiles})
    assert len(rows) == 2
    lower, upper = (
        {round(float(unit.ring[:, 0].max()), 3) for unit in tiles if abs(unit.ring[:, 1].min() - row) < 1e-3}
        for row in rows
    )
    assert len(lower & upper) == 1  # only the jamb
    assert all(abs(a - b) > wall.joint_u_mm for a in sorted(lower)[:-1] for b in upper if b != max(upper))


@pytest.mark.parametrize("kind", ["stone", "brick on edge", "tile"])
def test_sills_stand_proud_by_whole_layers(kind):
    for scale in ("1:148", "1:76.2", "1:43.5"):
        wall = masonry(6.74, 3.6, scale=scale)
        level = sill(kind, wall)[1][0].level_mm
        assert level / wall.layer_mm == pytest.approx(round(level / wall.layer_mm))
        assert level >= wall.layer_mm
        assert abs(level - wall.mm(0.045)) <= wall.layer_mm / 2 + 1e-9
