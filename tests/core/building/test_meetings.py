import numpy as np
import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.building.meetings import meetings, upright_edges
from roof_solids import block, mesh_of_solid, union


def walls_of(*blocks):
    return structure_from_mesh(mesh_of_solid(union(*blocks)), smallest_face_m=0.3).walls


def test_a_box_has_four_corners_over_its_whole_height():
    found = meetings(walls_of(block(0, 0, 8, 5, 3)))
    assert [(one.before.wall, one.after.wall) for one in found] == [(0, 1), (1, 2), (2, 3), (3, 0)]
    assert all((one.low_m, one.high_m) == (0.0, 3.0) for one in found)
    assert [one.corner_deg for one in found] == pytest.approx([90.0] * 4)


def test_a_lower_part_in_line_leaves_a_corner_in_mid_wall():
    walls = walls_of(block(0, 0, 5, 5, 5), block(4.99, 0, 8, 5, 3))
    front = walls[0]
    assert front.length_m == pytest.approx(8.0)
    inner = [one for one in upright_edges(front) if one.right and one.at_m < 7.9]
    assert [(one.at_m, one.low_m, one.high_m) for one in inner] == [pytest.approx((5.0, 3.0, 5.0))]
    met = [one for one in meetings(walls) if one.before.wall == 0 and one.before.at_m == pytest.approx(5.0)]
    assert [one.corner_deg for one in met] == pytest.approx([90.0])
    assert np.allclose(walls[met[0].after.wall].outward, [1, 0])


def test_a_part_that_stands_out_at_a_corner_meets_the_same_edge_below():
    walls = walls_of(block(0, 0, 5, 5, 5), block(4.99, -1.5, 8, 5, 3))
    front = next(wall for wall in walls if np.allclose(wall.outward, [0, -1]) and wall.height_m > 4)
    met = sorted(
        (round(one.corner_deg), one.low_m, one.high_m) for one in meetings(walls) if one.before.wall == front.index
    )
    assert met == [(90, 3.0, 5.0), (270, 0.0, 3.0)]
