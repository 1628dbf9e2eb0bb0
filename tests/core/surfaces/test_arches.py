from itertools import pairwise

import numpy as np
import pytest
import shapely

from halfbat.surfaces.arches import SAGITTA_MM, segmental_radius
from halfbat.surfaces.flat_arches import CAMBER
from halfbat.surfaces.openings import opening_units
from opening_samples import masonry, polygon, spec

WALL = masonry(6.74, 3.6)


def kinds(opening):
    return [unit.kind for unit in opening.units]


@pytest.mark.parametrize("scale", ["1:148", "1:76.2"])
@pytest.mark.parametrize("head", ["flat arch", "segmental arch", "semicircular arch"])
@pytest.mark.parametrize("width", [0.6, 0.91, 1.3])
def test_gauged_arches_have_an_odd_count_with_the_key_on_the_centre_line(head, width, scale):
    wall = masonry(6.74, 3.6, scale=scale)
    opening = opening_units(spec(wall, width=width, head=head, work="gauged", rings=2), wall)
    # Deep flat arches have voussoirs made up of two bricks: count those that touch the soffit.
    hole = polygon(opening.outline)
    lowest = [unit for unit in opening.units if polygon(unit.ring).distance(hole) < 1e-6]
    assert len(lowest) % 2 == 1
    (key,) = [unit for unit in lowest if unit.kind == "key"]
    assert polygon(key.ring).centroid.x == pytest.approx(spec(wall, width=width).left_mm + wall.mm(width / 2), abs=2e-3)


def test_rough_arches_have_a_ring_of_whole_headers_for_each_half_brick_and_no_key():
    one = opening_units(spec(WALL, head="semicircular arch", rings=1), WALL)
    three = opening_units(spec(WALL, head="semicircular arch", rings=3), WALL)
    assert set(kinds(one)) == set(kinds(three)) == {"arch header"}
    assert len(three.units) > 3 * len(one.units)
    centre = np.array([one.outline[:, 0].mean(), one.outline[2, 1]])
    radii = sorted({round(float(np.hypot(*(unit.ring - centre).T).min()), 1) for unit in three.units})
    assert len({round((r - WALL.mm(0.455)) / WALL.mm(0.1125)) for r in radii}) == 3


@pytest.mark.parametrize("work", ["rough", "gauged"])
@pytest.mark.parametrize("head", ["flat arch", "segmental arch", "semicircular arch", "circular"])
def test_the_outline_carries_every_corner_of_the_intrados(head, work):
    opening = opening_units(spec(WALL, head=head, work=work, rings=2), WALL)
    corners = {tuple(point) for point in opening.outline}
    hole = shapely.LinearRing(opening.outline)
    touching = [
        tuple(point) for unit in opening.units for point in unit.ring if hole.distance(shapely.Point(point)) < 1e-9
    ]
    assert len(touching) >= 2 * 3
    assert set(touching) <= corners


@pytest.mark.parametrize("scale", ["1:148", "1:76.2", "1:43.5"])
def test_arcs_are_drawn_finely(scale):
    wall = masonry(6.74, 3.6, scale=scale)
    hole = opening_units(spec(wall, head="circular", work="gauged"), wall).outline
    centre, radius = (hole.max(axis=0) + hole.min(axis=0)) / 2, wall.mm(0.455)
    middles = (hole + np.roll(hole, 1, axis=0)) / 2
    assert radius - np.hypot(*(middles - centre).T).min() < SAGITTA_MM + 2e-3


def test_a_circle_has_four_keys():
    opening = opening_units(spec(WALL, head="circular", work="gauged", rings=2), WALL)
    assert kinds(opening).count("key") == 4
    assert opening.jambs is None


def test_joints_are_one_width_between_cut_voussoirs():
    opening = opening_units(spec(WALL, head="segmental arch", work="gauged", rings=2), WALL)
    shapes = [polygon(unit.ring) for unit in opening.units]
    gaps = [a.distance(b) for a, b in pairwise(shapes)]
    assert gaps == pytest.approx([WALL.joint_mm] * len(gaps), abs=4e-3)


def test_thick_voussoirs_are_told_where_thin_ones_would_close():
    wall = masonry(6.74, 3.6, scale="1:148")
    opening = opening_units(spec(wall, width=0.45, head="circular", work="gauged", rings=4), wall)
    assert [item.code for item in opening.findings] == ["voussoirs-thick"]


def test_deep_voussoirs_are_bonded():
    opening = opening_units(spec(WALL, head="semicircular arch", work="gauged", rings=3), WALL)
    longest = max(max(np.hypot(*(unit.ring - other).T).max() for other in unit.ring) for unit in opening.units)
    assert longest < WALL.mm(0.215) * 1.12
    areas = [round(polygon(unit.ring).area, 2) for unit in opening.units[:4]]
    assert areas[0] != areas[2]


def test_camber_lifts_the_crown_alone():
    flat = opening_units(spec(WALL, head="flat arch", camber=False), WALL).outline
    raised = opening_units(spec(WALL, head="flat arch"), WALL).outline
    assert len({v for _, v in flat}) == 2
    sides = raised[np.isin(raised[:, 0], (raised[:, 0].min(), raised[:, 0].max()))][:, 1].max()
    assert raised[:, 1].max() - sides == pytest.approx(WALL.mm(0.91) * CAMBER, abs=3e-3)


def test_a_semicircle_is_a_segment_that_rises_half_its_span():
    assert segmental_radius(2.0, 1.0) == pytest.approx(1.0)
