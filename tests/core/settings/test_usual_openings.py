from dataclasses import replace

import pytest

from halfbat.building import building_from_plan
from halfbat.kit import make_kit
from halfbat.settings import Settings, check_opening
from halfbat.settings.usual_openings import USUAL_OPENINGS
from halfbat.sites.moving import moved
from halfbat.sites.shapes import shape_of
from halfbat.sites.spots import Spot
from site_samples import box_sites


@pytest.mark.parametrize("name", USUAL_OPENINGS)
def test_each_fits_an_ordinary_wall(name):
    usual = USUAL_OPENINGS[name]
    check_opening(usual, name)
    sites = box_sites()
    there = moved(sites, usual, Spot("A", 4.0, sites.length_m(usual.sill_height)))
    assert there.sill_height == usual.sill_height
    assert shape_of(sites, there, name, "openings").trouble == ""


def test_a_kit_can_be_made_with_them():
    building = building_from_plan([[0, 0], [8, 0], [8, 5], [0, 5]], 0.0, 3.0)
    openings = (replace(USUAL_OPENINGS["Door"], at="2 m"), replace(USUAL_OPENINGS["Round-headed window"], at="5 m"))
    kit = make_kit(building, replace(Settings(), openings=openings), checked=False)
    assert [part.name for part in kit.parts if part.kind == "insert"] == [
        "Panelled door, wall A",
        "Casement window, wall A",
    ]
