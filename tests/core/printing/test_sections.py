import numpy as np
import pytest

from halfbat.printing.sections import bands, flats, section, section_area_mm2
from halfbat.printing.silhouettes import ring_area_mm2, rings, silhouette
from printed_parts import box, brick_plate, stepped
from sample_kits import box_solid


@pytest.mark.parametrize(("axis", "area"), [(0, 2 * 3), (1, 4 * 3), (2, 4 * 2)])
def test_a_box_cut_square_to_each_axis(axis, area):
    assert section_area_mm2(section(box_solid(4, 2, 3), 0.5, axis)) == pytest.approx(area)


def test_a_plane_beside_a_solid_cuts_nothing():
    assert section(box_solid(4, 2, 3), 3.5).shape == (0, 4)


def test_sections_add_up_to_the_volume():
    solid = brick_plate()
    heights = np.linspace(0, 1.1, 111)[:-1] + 0.005
    areas = [section_area_mm2(section(solid, height)) for height in heights]
    assert sum(areas) * 0.01 == pytest.approx(solid.volume_mm3, rel=1e-6)


def test_levels_and_bands():
    solid = stepped(box(0, 0, 10, 6), [(1.0, ()), (2.5, [box(1, 1, 4, 4)])], back=[(0.3, [box(6, 2, 8, 4)])])
    up, down = flats(solid, facing_up=True), flats(solid, facing_up=False)
    assert up.heights_mm == pytest.approx([1.0, 2.5])
    assert up.areas_mm2 == pytest.approx([51, 9])
    assert down.heights_mm == pytest.approx([0, 0.3])
    assert down.areas_mm2 == pytest.approx([56, 4])
    assert np.array(bands(solid)).ravel() == pytest.approx([0, 0.3, 0.3, 1.0, 1.0, 2.5])


def test_segments_join_to_rings_without_corners_on_straight_sides():
    solid = stepped(box(0, 0, 10, 6), [(2.0, ())], holes=[box(2, 2, 5, 4)])
    found = rings(section(solid, 1.0))
    assert sorted(ring_area_mm2(ring) for ring in found) == pytest.approx([-6, 60])
    assert [len(ring) for ring in found] == [4, 4]


def test_a_silhouette_shows_the_walls_of_a_shell_and_a_cover_in_one_piece():
    shell = stepped(box(0, 0, 30, 20), [(10.0, ()), (1.0, [box(2, 2, 28, 18)])])
    assert [round(ring_area_mm2(ring)) for ring in silhouette(shell)] in ([600, -416], [-416, 600])
    necked = stepped(
        np.array([[0, 0], [4, 0], [4, 2], [8, 2], [8, 0], [20, 0], [20, 6], [8, 6], [8, 4], [4, 4], [4, 6], [0, 6]]),
        [(1.0, ()), (0.3, [box(4, 2, 8, 4)])],
    )
    assert len(silhouette(necked)) == 1
