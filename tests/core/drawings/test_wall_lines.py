"""The face of a wall on its elevation, against the skins themselves and what was asked for."""

from fractions import Fraction

import numpy as np
import pytest

from feature_samples import planned, skins, with_all
from halfbat.building.rings import inside_rings
from halfbat.drawings.borders import grown, outlines
from halfbat.drawings.brickwork import joint_lines, stretches
from halfbat.drawings.drawing import Brickwork, Label, rectangle, signed_area
from halfbat.drawings.elevation import wall_outline
from halfbat.drawings.elevation_legend import legend, legend_room_mm
from halfbat.drawings.wall_lines import surface_rings, wall_lines
from halfbat.drawings.wall_surfaces import Show, wall_surfaces
from halfbat.settings import FeatureRequest, FinishRequest, OpeningRequest
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.sheet import lay

SIZE = Fraction(1)
FEATURES = {
    "plinth and course": (FeatureRequest("A", "plinth"), FeatureRequest("A", "string course", material="stone")),
    "brick course": (FeatureRequest("A", "string course"),),
    "dentils and coping": (FeatureRequest("A", "dentil course"), FeatureRequest("A", "coping")),
    "quoins": (FeatureRequest("A", "quoins", material="stone"),),
    "pier": (FeatureRequest("A", "pier", at="1.5 m"), FeatureRequest("A", "movement joint", at="0.9 m")),
    "recessed panel": (FeatureRequest("A", "recessed panel", at="1.5 m"),),
    "corbels and air bricks": (FeatureRequest("A", "corbelled eaves"), FeatureRequest("A", "air brick", at="1 m")),
}
FINISHES = ("coursed rubble", "random rubble", "ashlar", "concrete block", "render", "weatherboard", "corrugated sheet")
DOOR = OpeningRequest("A", at="3 m", width="0.9 m", height="2 m", head="segmental arch")


def drawn(settings):
    plan = planned(settings)
    wall = plan.walls[0]
    shown = wall_surfaces(wall, wall_outline(wall), [], settings, plan.scale)
    return plan, wall, shown, wall_lines(wall, shown, SIZE)


def heights(settings, wall, spots):
    """How far the skin's front stands out of the brick faces at places of the wall, by the skin itself."""
    (panel,) = skins(settings)
    corners = (panel.solid.vertices @ panel.place[:3, :3].T + panel.place[:3, 3] - wall.facing.foot_mm)[
        panel.solid.triangles
    ]
    frame = np.array([[*wall.facing.along, 0.0], [0.0, 0.0, 1.0], [*wall.facing.outward, 0.0]])
    a, b, c = np.moveaxis(corners @ frame.T, 1, 0)
    found = np.full(len(spots), np.nan)
    cross = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    front = cross > 1e-9
    a, b, c, cross = a[front], b[front], c[front], cross[front]
    for index, (u, v) in enumerate(spots):
        s = ((u - a[:, 0]) * (c[:, 1] - a[:, 1]) - (v - a[:, 1]) * (c[:, 0] - a[:, 0])) / cross
        t = ((b[:, 0] - a[:, 0]) * (v - a[:, 1]) - (b[:, 1] - a[:, 1]) * (u - a[:, 0])) / cross
        here = np.flatnonzero((s >= 0) & (t >= 0) & (s + t <= 1))
        if len(here):
            k = here[0]
            found[index] = a[k, 2] + s[k] * (b[k, 2] - a[k, 2]) + t[k] * (c[k, 2] - a[k, 2])
    return found


def levels_at(shown, spots):
    """The level that the drawing gives places."""
    found = np.full(len(spots), np.nan)
    for cell, (_, level) in enumerate(shown.masses):
        rings = outlines(shown.steps, [cell])
        if rings:
            found[inside_rings(rings, spots)] = level
    return found


@pytest.mark.parametrize("name", FEATURES)
def test_what_is_drawn_at_a_level_stands_there_on_the_skin(name):
    settings = with_all(FEATURES[name], openings=(DOOR,))
    _, wall, shown, _ = drawn(settings)
    length, height = wall.facing.laying.length_mm, wall.facing.laying.height_mm
    spots = np.random.default_rng(7).uniform([1.5, 0.3], [length - 1.5, height - 0.3], (250, 2))
    told, real = levels_at(shown, spots), heights(settings, wall, spots)
    assert (np.isnan(told) == np.isnan(real)).mean() > 0.97  # but for a hair round the opening
    both = ~np.isnan(told) & ~np.isnan(real)
    deep = wall.facing.joints.depth_mm
    # Bricks and stones at the level, joints as deep behind them, chamfers and slots between.
    right = (real <= told + 0.02) & (real >= np.minimum(told, 0.0) - deep - 0.02)
    assert right[both].mean() > 0.97
    on_faces = np.abs(real - told) < 0.02
    assert on_faces[both].mean() > 0.5
    assert len(set(np.round(told[both], 2))) > 1


@pytest.mark.parametrize("kind", FINISHES)
def test_a_finish_is_drawn_over_its_band_and_explained(kind):
    settings = with_all(finishes=(FinishRequest("A", kind, top="1.5 m"),), openings=(DOOR,))
    plan, wall, shown, items = drawn(settings)
    rings = surface_rings(shown, 0)
    points = np.concatenate(rings)
    top = plan.scale.to_mm(1.5)
    assert points[:, 1].min() == pytest.approx(0.0, abs=0.3)
    assert points[:, 1].max() == pytest.approx(top, abs=wall.facing.laying.gauge_mm)
    key = legend(wall, shown, items, SIZE, -30.0, plan.scale.mm_per_m)
    (text,) = [item.text for item in key if isinstance(item, Label)]
    assert text.startswith(kind.capitalize())
    assert f"to {points[:, 1].max() / plan.scale.mm_per_m:.3f} m above the foot" in text
    (frame,) = [item for item in key if not isinstance(item, Label) and item.style == "swatch"]
    sample = [ring for item in key if not isinstance(item, Label) and item is not frame for ring in item.rings]
    assert sample
    low, high = frame.rings[0].min(axis=0) - 1e-6, frame.rings[0].max(axis=0) + 1e-6
    assert all((ring >= low).all() and (ring <= high).all() for ring in sample)
    every = np.concatenate([ring for item in key if not isinstance(item, Label) for ring in item.rings])
    assert -30.0 - every[:, 1].min() <= legend_room_mm(wall)


def test_finishes_are_told_apart_by_their_lines():
    looks = set()
    for kind in FINISHES:
        _, _, shown, items = drawn(with_all(finishes=(FinishRequest("A", kind),)))
        count = {item.style: len(item.rings) for item in items if not isinstance(item, Brickwork)}
        bonds = tuple(len(item.bond.beds_mm) for item in items if isinstance(item, Brickwork))
        looks.add((tuple(sorted(count.items())), bonds))
        assert any(surface.dressing == 0 for surface in shown.surfaces)
    assert len(looks) == len(FINISHES)


def test_lines_are_heavy_where_something_throws_a_shade():
    _, wall, _, items = drawn(with_all(FEATURES["brick course"]))
    (part,) = wall.facing.dressings[0].brickwork
    (steps,) = [item for item in items if getattr(item, "style", "") == "step"]
    (line,) = steps.rings
    # All along the foot of the course, and nowhere over it.
    assert np.ptp(line[:, 0]) >= wall.facing.laying.length_mm
    assert np.ptp(line[:, 1]) == pytest.approx(0.0)
    assert line[0, 1] == pytest.approx(float(wall.facing.laying.bed_v_mm[part.first]), abs=0.1)
    _, wall, shown, items = drawn(with_all(FEATURES["recessed panel"]))
    (steps,) = [item for item in items if getattr(item, "style", "") == "step"]
    every = np.concatenate(steps.rings)
    panel = np.concatenate(surface_rings(shown, 0))
    # Above and to the left of what lies back.
    assert every[:, 1].max() == pytest.approx(panel[:, 1].max())
    assert every[:, 0].min() == pytest.approx(panel[:, 0].min())
    lower_right = np.abs(every - [panel[:, 0].max(), panel[:, 1].min()]).max(axis=1)
    assert lower_right.min() > 0.5


def test_bricks_of_its_own_are_drawn_within_a_pier_and_those_of_the_wall_beside_it():
    _, wall, shown, items = drawn(with_all(FEATURES["pier"]))
    common, own = (item for item in items if isinstance(item, Brickwork))
    (part,) = (part for dressing in wall.facing.dressings for part in dressing.brickwork)
    inside = np.array([line.mean(axis=0) for line in joint_lines(own)])
    assert len(inside) > 10
    assert (inside[:, 0] > part.left_mm).all()
    assert (inside[:, 0] < part.right_mm).all()
    beside = np.array(list(joint_lines(common)))
    middle = (part.left_mm + part.right_mm) / 2
    assert not ((beside[:, 0, 0] < middle) & (beside[:, 1, 0] > middle)).any()
    assert own.bond.key != common.bond.key
    assert sum(one.show is Show.COURSES for one in shown.surfaces) == 1


def test_outlines_of_cells_leave_holes_and_cover_the_sheet():
    sheet = lay(Figure((Layer.patches([rectangle(0, 0, 10, 8)], 0), Layer.patches([rectangle(2, 2, 6, 5)], 1))))
    around, inner = outlines(sheet, [0]), outlines(sheet, [1])
    assert sum(signed_area(ring) for ring in around) == pytest.approx(80 - 12)
    assert [len(ring) for ring in inner] == [4]
    (whole,) = outlines(sheet)
    assert signed_area(whole) == pytest.approx(80)
    assert OUTSIDE not in sheet.cells


def test_grown_rings_move_every_side_out():
    ring = grown(rectangle(0, 0, 4, 2), 0.5)
    assert ring.min(axis=0) == pytest.approx([-0.5, -0.5])
    assert ring.max(axis=0) == pytest.approx([4.5, 2.5])


def test_stretches_are_where_a_line_lies_within_rings():
    rings = [rectangle(0, 0, 10, 10), rectangle(4, 4, 6, 6)[::-1]]
    assert stretches(rings, 5.0, axis=1) == [(0.0, 4.0), (6.0, 10.0)]
    assert stretches(rings, 1.0, axis=0) == [(0.0, 10.0)]
