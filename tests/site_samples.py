"""Buildings as places to put things."""

from halfbat.building import building_from_plan
from halfbat.building.plain import structure_from_building
from halfbat.settings import Settings
from halfbat.sites.walls import Sites, sites_of


def box_sites(height_m: float = 3.0, base_m: float = 0.0, settings: Settings | None = None) -> Sites:
    """A box of 8 x 5 m; wall A looks to the front, to -y, and begins at the origin."""
    building = building_from_plan([[0, 0], [8, 0], [8, 5], [0, 5]], base_m, height_m)
    return sites_of(structure_from_building(building), settings or Settings())
