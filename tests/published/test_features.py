"""Features and finishes of walls against published sizes."""

import numpy as np
import pytest

from feature_samples import feature, finish, full_mm, site, size
from halfbat.surfaces.finishes.blocks import BLOCK
from halfbat.surfaces.finishes.sheet import SHEETS

WALL = site(scale="1:43.5")


@pytest.mark.parametrize(("asked", "courses"), [("215x65", 1), ("215x140", 2), ("215x215", 3)])
def test_air_bricks_have_the_sizes_of_bs_493(asked, courses):
    # BS 493 and a bricklaying book: 215 x 65, 215 x 140, 215 x 215; heights are whole courses less a joint.
    (frame,) = feature("air brick", WALL, at="1 m", size=asked).layers[1]
    width, height = (int(part) for part in asked.split("x"))
    assert full_mm(WALL, size(frame)[0]) == pytest.approx(width, abs=2.5)
    assert full_mm(WALL, size(frame)[1] + WALL.masonry.joint_v_mm) == pytest.approx(75 * courses, abs=2.5)
    assert 75 * courses - 10 == height


def test_oversailing_courses_project_up_to_30_mm():
    # Bricklaying book: an oversailing course projects up to 30 mm beyond the one below.
    for scale in ("1:76.2", "1:43.5"):
        wall = site(scale=scale)
        levels = [part.level_mm for part in feature("corbelled eaves", wall).brickwork]
        assert (np.diff([0.0, *levels]) * 1000 / wall.masonry.scale.mm_per_m <= 30.01).all()


def test_a_coping_throws_water_40_mm_clear():
    # Cast-stone guide citing a BS code: the drip stands at least 40 mm from the face of the wall.
    stones = feature("coping", WALL, material="stone").layers[-1]
    assert full_mm(WALL, stones[0].level_mm) >= 40


def test_concrete_blocks_take_three_courses_of_bricks():
    # BS 6073 (from memory): 440 x 215, with 10 mm joints 450 x 225.
    assert (BLOCK.length_m, BLOCK.height_m, BLOCK.joint_m) == (0.440, 0.215, 0.010)
    assert BLOCK.gauge_m == pytest.approx(3 * 0.075)
    (work,) = finish("concrete block", WALL).brickwork
    assert full_mm(WALL, work.laying.gauge_mm) == pytest.approx(225)
    area_m2 = 6.74 * 3.6
    count = sum(len(work.laying.patterns[p].kinds) for p in work.laying.course_pattern)
    assert count / area_m2 == pytest.approx(1 / (0.45 * 0.225), rel=0.08)  # 9.88 to the square metre


@pytest.mark.parametrize(
    ("kind", "pitch_mm", "depth_mm"), [("corrugated sheet", 76.2, 19), ("box-profile sheet", 200, 32)]
)
def test_sheets_have_their_pitch_and_depth(kind, pitch_mm, depth_mm):
    # BS 3083 (from memory): 3 inch corrugations 19 mm deep. Box profile: as sold, from memory.
    assert SHEETS[kind].pitch_m * 1000 == pytest.approx(pitch_mm)
    facets = [unit for unit in finish(kind, WALL).layers[-1] if unit.plane]
    low = min(unit.ring[:, 1].min() for unit in facets)
    row = [unit for unit in facets if unit.ring[:, 1].min() == low]
    crests = [u for u in row if abs(u.plane[1]) < 1e-9 and u.plane[0] > 0.1]
    starts = np.sort([unit.ring[:, 0].min() for unit in crests])
    assert full_mm(WALL, float(np.median(np.diff(starts)))) == pytest.approx(pitch_mm, rel=0.03)
    assert full_mm(WALL, crests[0].plane[0]) == pytest.approx(depth_mm, abs=2.5)


def test_quoin_blocks_are_three_courses_high():
    # Quoins: three courses of 75 mm to a block (common practice, no source).
    stones = feature("quoins", WALL, material="stone").layers[-1]
    heights = {round(full_mm(WALL, size(unit)[1] + WALL.masonry.joint_v_mm)) for unit in stones}
    assert len([height for height in heights if abs(height - 225) > 3]) <= 1  # the lowest has no bed joint
