"""Rules that every cable run that bends keeps, on random paths."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon, box, unary_union
from shapely.affinity import affine_transform

from halfbat.errors import KitError
from halfbat.parts.asked_cuts import CutRequest
from halfbat.parts.bent_covers import build_bent_run, saddle_places
from halfbat.parts.bent_line import BentLine
from halfbat.parts.bent_paths import SHARPEST_DEG, bent_line, require_seam
from halfbat.parts.bent_runs import bent_pieces
from halfbat.parts.bent_seams import on_pixels
from halfbat.parts.cover_segments import Segment
from halfbat.parts.covers import SADDLE_BEYOND_MM, SADDLE_LENGTH_MM
from halfbat.parts.seams import PanelLimits, SeamRules, plan_seams
from halfbat.surfaces.dressing import Proud
from halfbat.units import parse_scale
from kit_help import section, settings_with
from path_samples import band_polygon, free_corners, seam_corners
from solids_help import assert_printable_solid
from wall_samples import wall_run

SCALE = parse_scale("1:76.2")
PATIENT = [HealthCheck.too_slow, HealthCheck.filter_too_much]
"""Paths without room are left out, and solids take their time on a busy machine."""


def made(corners, width=1.0):
    try:
        return bent_line(corners, width, SCALE, "wall A")
    except KitError as refused:
        assert str(refused).endswith(".")
        assume(False)


@st.composite
def seam_cases(draw):
    wall = wall_run(
        draw(st.floats(4.0, 10.0)),
        draw(st.floats(1.5, 6.0)),
        bond=draw(st.sampled_from(("stretcher", "english", "flemish"))),
        scale=draw(st.sampled_from(("1:76.2", "1:148", "1:43.5"))),
        pixel=draw(st.sampled_from((0.019, 0.05))),
    )
    corners = draw(seam_corners(wall.length_mm, wall.height_mm))
    gap, width = draw(st.sampled_from((0.0, 0.1, 0.15, 0.4))), draw(st.sampled_from((0.8, 1.0, 1.6)))
    rows = draw(st.sampled_from((1000.0, 0.6 * wall.height_mm)))
    return wall, on_pixels(corners, wall), gap, width, rows


def planned(case):
    """The line of a case, and how its wall is cut."""
    wall, corners, gap, width, rows = case
    require_seam(corners, wall.height_mm, SCALE, wall.where)
    assume(len(corners) > 2)
    line = made(corners, width)
    rules = SeamRules(gap_mm=gap, cover_width_mm=width)
    try:
        seams = plan_seams(wall, PanelLimits(1000.0, rows), rules, [CutRequest(line.points[0][0], None, line)])
    except KitError as refused:
        assert "leaves a panel under" in str(refused) or "cannot be cut along its bed joints" in str(refused)
        assume(False)
    return line, seams


@settings(max_examples=100, deadline=None, suppress_health_check=PATIENT)
@given(seam_cases())
def test_panels_and_the_gap_tile_the_wall_and_the_cover_hides_it_everywhere(case):
    wall, _, gap, width, _ = case
    line, seams = planned(case)
    (cut,) = seams.cuts
    assert cut.covered == (width >= max(0.8, gap + 0.4) - 1e-6)
    panels = [Polygon(cell.outline) for cell in seams.panels]
    assert all(panel.is_valid and panel.exterior.is_ccw for panel in panels)
    whole = box(0, 0, wall.length_mm, wall.height_mm)
    gaps = [band_polygon(line, gap / 2)] if gap else []
    gaps += [box(0, level - gap / 2, wall.length_mm, level + gap / 2) for level in seams.rows_mm]
    left = whole.difference(unary_union(gaps)) if gap else whole
    assert sum(panel.area for panel in panels) == pytest.approx(left.area, abs=1e-5)
    assert unary_union(panels).symmetric_difference(left).area == pytest.approx(0, abs=1e-5)
    if cut.covered and gap:
        # The gap and 0.2 mm to either side of it, measured as a distance, lie under the strip.
        hidden = band_polygon(line, width / 2)
        seam = band_polygon(line, gap / 2)
        assert hidden.buffer(1e-6).contains(seam)
        for s in np.linspace(0.3, line.length_mm - 0.3, 60):
            spot = Point(line.beside_at(float(s), 0.0))
            assert hidden.buffer(1e-6).contains(spot.buffer(min(gap / 2 + 0.2, width / 2) - 1e-3).intersection(whole))


@settings(max_examples=40, deadline=None, suppress_health_check=PATIENT)
@given(seam_cases(), st.booleans(), st.floats(0.0, 0.4))
def test_the_cover_of_a_seam_is_one_closed_solid_over_its_line(case, marked, lifted):
    _, _, gap, width, _ = case
    line, _ = planned(case)
    values = settings_with(mark__make=marked, seam__cover_width_mm=width, seam__gap_mm=gap)
    run = build_bent_run(line, SCALE, values, "CA12", at_foot=True, lifted_mm=lifted)
    assert_printable_solid(run.solid)
    u0, v0 = line.points[0]
    strip = band_polygon(line, width / 2)
    there = affine_transform(section(run.solid, 0.05), [0.0, -1.0, 1.0, 0.0, u0, v0])
    assert there.buffer(2e-3).contains(strip)
    assert (run.tab_mm is not None) == marked
    if not marked:
        # Saddles stand beside the strip and nothing else does.
        assert strip.buffer(SADDLE_BEYOND_MM + 2e-3).contains(there)


@settings(max_examples=100, deadline=None, suppress_health_check=PATIENT)
@given(free_corners(90.0, 50.0), st.sampled_from((0.5, 1.0, 2.0)), st.sampled_from((0.3, 0.6, 1.5)))
def test_any_path_is_made_or_refused(corners, width, height):
    line = made(corners, width)
    values = settings_with(seam__cover_width_mm=width, seam__cover_height_mm=height)
    assert_printable_solid(build_bent_run(line, SCALE, values, "CB3", at_foot=False).solid)
    turns = [np.degrees(np.arccos(np.clip(a @ b, -1, 1))) for a, b in pairwise(line.directions)]
    assert max(turns, default=0.0) <= SHARPEST_DEG + 1e-6
    # It never lies over itself.
    rings = [Polygon(ring) for ring in line.bands(-width / 2, width / 2)]
    assert unary_union(rings).area == pytest.approx(sum(ring.area for ring in rings), abs=1e-4)
    places = saddle_places(line, SCALE, values)
    zones = line.zones(width / 2 + SADDLE_BEYOND_MM)
    half = SADDLE_LENGTH_MM / 2
    assert not any(low < s + half - 1e-6 and s - half + 1e-6 < high for s in places for low, high in zones)


@settings(max_examples=60, deadline=None, suppress_health_check=PATIENT)
@given(free_corners(90.0, 50.0), st.floats(12.0, 60.0), st.floats(12.0, 60.0), st.booleans())
def test_pieces_fit_the_printer_and_meet_end_to_end(corners, room_x, room_y, turned):
    line = made(corners)
    whole = Segment(0.0, round(line.length_mm, 3), 0.0)
    found = bent_pieces(line, whole, 0.9, (room_x, room_y), turned=turned)
    assert found[0].low_mm == 0.0 and found[-1].high_mm == whole.high_mm
    assert all(a.high_mm == b.low_mm for a, b in pairwise(found))
    lines = [line.part(piece.low_mm, piece.high_mm) for piece in found]
    assert all(a.points[-1] == b.points[0] for a, b in pairwise(lines))
    assert sum(one.length_mm for one in lines) == pytest.approx(line.length_mm, abs=0.01)
    for one in lines:
        ring = one.band(0.9)
        along, up = np.ptp(ring, axis=0)
        ways = [(up, along), (along, up)] if turned else [(up, along)]
        assert any(a <= room_x + 1e-6 and b <= room_y + 1e-6 for a, b in ways)


@settings(max_examples=40, deadline=None, suppress_health_check=PATIENT)
@given(free_corners(90.0, 50.0), st.floats(0.1, 0.9), st.floats(0.3, 1.8))
def test_what_it_passes_over_is_hollowed_out_right_across(corners, where, wide):
    line = made(corners)
    low = round(where * (line.length_mm - wide), 3)
    assume(low > 0.1)
    proud = (Proud(low, round(low + wide, 3), 0.1),)
    values = settings_with(mark__make=False)
    run = build_bent_run(line, SCALE, values, "CA1", at_foot=False, lifted_mm=0.1, proud=proud)
    assert_printable_solid(run.solid)
    plain = build_bent_run(line, SCALE, values, "CA1", at_foot=False, lifted_mm=0.1)
    under = 0.05
    here, there = (section(one.solid, under).area for one in (run, plain))
    assert there - here >= 0.8 * wide * 1.0 - 0.02


@settings(max_examples=100, deadline=None, suppress_health_check=PATIENT)
@given(free_corners(90.0, 50.0), st.data())
def test_a_part_of_a_line_lies_on_the_line(corners, data):
    line = BentLine(corners)
    a, b = sorted(data.draw(st.tuples(st.floats(0, 1), st.floats(0, 1))))
    assume((b - a) * line.length_mm > 0.1)
    part = line.part(a * line.length_mm, b * line.length_mm)
    assert part.length_mm == pytest.approx((b - a) * line.length_mm, abs=0.01)
