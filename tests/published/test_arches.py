"""Arches against published rules."""

from math import asin, atan, degrees

import numpy as np
import pytest

from halfbat.surfaces.arches import segmental_radius, springing_arc
from halfbat.surfaces.flat_arches import CAMBER, courses_deep, skew
from halfbat.surfaces.openings import opening_units
from opening_samples import masonry, spec

WALL = masonry(6.74, 3.6)


def test_radius_of_a_segmental_arch():
    # R = (s^2/4 + r^2) / (2 r): span 1200, rise 150 gives 1275; a trade pocketbook's shortcut s^2/(8 r) gives 1200.
    assert segmental_radius(1200, 150) == pytest.approx(1275)
    assert segmental_radius(1200, 150) - 1200**2 / (8 * 150) == pytest.approx(150 / 2)


def test_skewback_of_a_segmental_arch():
    # sin of the angle to the vertical = s / (2 R): structural note on arches, Masonry Magazine, Aug 1975.
    arc = springing_arc(spec(WALL, width=1.2, head="segmental arch", rise=0.15), WALL)
    assert 90 - degrees(arc.start) == pytest.approx(degrees(asin(1200 / 2 / 1275)), abs=1e-6)


@pytest.mark.parametrize(
    ("rule", "span_m", "from_level_deg"),
    [
        ("60 degrees", 0.9, 60.0),  # equilateral triangle: bricklaying glossary; history of gauged brickwork
        ("one third", 0.9, 71.57),  # Nicholson 1823: a third of the height
        ("by span", 1.2, 90 - 26.2),  # BIA arch note 1975: tan = S (ft) / 8 from the vertical; 1.2 m gives 26.2
    ],
)
def test_skewbacks_of_flat_arches(rule, span_m, from_level_deg):
    assert degrees(atan(1 / skew(1.0, span_m, rule))) == pytest.approx(from_level_deg, abs=0.05)
    opening = opening_units(spec(WALL, width=span_m, head="flat arch", skewback=rule, camber=False), WALL)
    bed = opening.bed[0]
    corner = bed[np.argmax(bed[:, 0] + bed[:, 1])]
    foot = opening.outline[np.argmax(opening.outline[:, 0] + opening.outline[:, 1])]
    assert degrees(np.arctan2(*(corner - foot)[::-1])) == pytest.approx(from_level_deg, abs=0.1)


def test_camber():
    # 1/8 in to the foot of span, 1.04 per cent: trade texts.
    assert pytest.approx(0.125 / 12) == CAMBER


@pytest.mark.parametrize(("span_m", "courses"), [(0.6, 3), (0.91, 3), (1.2, 3), (1.8, 4), (3.0, 5)])
def test_depth_of_flat_arches(span_m, courses):
    # At least 4 in + 1 in to the foot of span, and 8 in; usually 3, 4 or 5 courses: Modern Masonry, ch. 14.
    assert courses_deep(span_m, 0.075, 0.010) == courses
    if courses < 5:
        assert courses * 75 - 10 >= max(8 * 25.4, 4 * 25.4 + 25.4 * span_m / 0.3048)


def test_rings_of_rough_arches_are_half_a_brick_deep():
    # Rings of headers: bricklaying glossary. 102.5 each with a 10 mm joint between: 215 for two.
    opening = opening_units(spec(WALL, head="semicircular arch", rings=2), WALL)
    points = np.concatenate([unit.ring for unit in opening.units])
    arc = springing_arc(spec(WALL, head="semicircular arch"), WALL)
    radii = np.hypot(*(points - arc.centre).T)
    assert (radii.max() - radii.min()) * 76.2 == pytest.approx(215, abs=0.5)
    # Semicircle: R = s / 2, textbook.
    assert arc.radius_mm * 76.2 == pytest.approx(455)
