from dataclasses import replace

import numpy as np
import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.building.obj import read_obj
from halfbat.errors import KitError
from halfbat.settings import BrickSettings, Settings
from halfbat.sites.walls import sites_of
from site_samples import box_sites


def test_a_frame_looks_at_its_wall_from_outside():
    sites = box_sites(base_m=0.5)
    assert [site.letter for site in sites.walls] == ["A", "B", "C", "D"]
    for site in sites.walls:
        frame = site.frame()
        assert np.allclose(frame[:3, :3] @ frame[:3, :3].T, np.eye(3)) and np.linalg.det(frame) == pytest.approx(1.0)
        far = frame @ [site.wall.length_m, 0.0, 0.0, 1.0]
        assert far[:3] == pytest.approx([*site.wall.end_m, 0.5])
        middle = frame @ [site.wall.length_m / 2, 1.0, 1.0, 1.0]
        assert 0 < middle[0] < 8 and 0 < middle[1] < 5


def test_courses_begin_at_whole_gauges_and_perpends_lie_within_the_wall():
    site = box_sites(height_m=3.0).wall("A")
    assert site.beds_m == pytest.approx(0.075 * np.arange(40), abs=1e-6)
    assert (np.diff(site.perpends_m) > 0).all()
    assert site.perpends_m[0] > 0 and site.perpends_m[-1] < site.wall.length_m


def test_lengths_count_the_bricks_of_the_building():
    settings = replace(Settings(), brick=BrickSettings(format="uk_metric"))
    sites = box_sites(settings=settings)
    assert sites.length_m("4 courses") == pytest.approx(0.3)
    assert sites.length_m("2 bricks") == pytest.approx(0.45)


def test_a_wall_that_is_not_there_is_refused_with_those_that_are():
    with pytest.raises(KitError, match="name one of the walls A, B, C, D"):
        box_sites().wall("Z")


def test_the_top_of_a_gable_rises_to_its_middle():
    mesh = read_obj("examples/pump_house/pump_house.obj")
    sites = sites_of(structure_from_mesh(mesh, smallest_face_m=0.3), Settings())
    gable = max(sites.walls, key=lambda site: site.wall.height_m)
    places = np.linspace(0.0, gable.wall.length_m, 41)
    tops = [gable.top_m(float(place)) for place in places]
    assert max(tops) == pytest.approx(gable.wall.height_m, abs=0.2)
    assert tops[0] < tops[20] > tops[-1]
