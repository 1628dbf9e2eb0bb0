"""A wall whose openings stand over every upright line is cut through one of them."""

from dataclasses import replace

import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.kit import make_kit
from halfbat.parts.seams import CutRequest, PanelLimits, SeamRules, SeamStyle
from halfbat.parts.seams_by_openings import planned_seams
from halfbat.parts.wall_covers import CLEAR_MM
from halfbat.settings import NoSeam, OpeningRequest
from halfbat.solids.verify import faults
from halfbat.surfaces.opening_units import OpeningUnits
from kit_help import building_of, overlaps, parts_of, placed, settings_with
from wall_samples import wall_run

LIMITS = PanelLimits(60.0, 65.0)


def hole(x0, y0, x1, y1):
    ring = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=np.float64)
    return OpeningUnits(ring, (), (), (x0, y0, x1, y1), None, ())


#: Two storeys of windows, those above over the piers between those below, as far as a seam may stand.
STAGGERED = tuple(
    hole(low, foot, low + 14.0, foot + 8.0)
    for foot, first in ((4.0, 6.0), (14.0, 18.0))
    for low in (first, first + 24, first + 48)
)
#: The same as a maker asks for them, on a wall 10 m long at 1:100 with panels up to 60 mm.
ASKED = tuple(
    OpeningRequest("A", f"{at:g} m", "1.4 m", "0.9 m", sill_height=f"{foot:g} m")
    for foot, first in ((0.6, 0.9), (2.0, 2.1))
    for at in (first, first + 2.4, first + 4.8)
)


def planned(openings=STAGGERED, rules=None, requests=(), kept=()):
    return planned_seams(wall_run(13.3), LIMITS, rules or SeamRules(), requests, kept, openings)


def codes(seams):
    return [finding.code for finding in seams.findings]


def test_staggered_windows_leave_no_other_place_and_the_seam_runs_through_one_off_its_jambs():
    seams = planned()
    (cut,) = seams.cuts
    assert codes(seams) == ["seam-through-opening"]
    through = [own for own in STAGGERED if own.reach[0] < cut.position_mm < own.reach[2]]
    assert through
    # Half a brick and a cover's half keep the panels' legs and the cable run off every jamb.
    jambs = np.array([(own.reach[0], own.reach[2]) for own in STAGGERED]).ravel()
    assert np.abs(jambs - cut.position_mm).min() >= 0.5 * wall_run().module_mm
    assert {cell.index for cell in seams.panels} == {1, 2}
    assert all(cell.bounds[2] - cell.bounds[0] <= LIMITS.width_mm for cell in seams.panels)


def test_where_there_is_room_beside_the_openings_no_seam_runs_through_one():
    seams = planned(STAGGERED[:3])
    assert "seam-through-opening" not in codes(seams)
    (cut,) = seams.cuts
    assert not any(own.reach[0] < cut.position_mm < own.reach[2] for own in STAGGERED[:3])


def test_of_several_seams_only_those_run_through_openings_that_must():
    # Openings over the left half only: of two seams the right one finds room.
    openings = [hole(3.0, 4.0, 30.0, 10.0), hole(28.0, 12.0, 52.0, 18.0)]
    seams = planned_seams(wall_run(20.0), PanelLimits(48.0, 65.0), SeamRules(), (), (), openings)
    left, right = seams.cuts
    assert any(own.reach[0] < left.position_mm < own.reach[2] for own in openings)
    assert not any(own.reach[0] < right.position_mm < own.reach[2] for own in openings)
    assert codes(seams).count("seam-through-opening") == 1


def test_a_downpipe_is_not_cut_off_by_a_window():
    seams = planned(rules=SeamRules((SeamStyle.DOWNPIPE,)))
    assert [cut.style for cut in seams.cuts] == [SeamStyle.CABLE_RUN]


def test_what_the_maker_keeps_free_or_places_is_kept():
    with pytest.raises(KitError, match="outside the spans kept free"):
        planned(kept=[(0.0, 200.0)])
    with pytest.raises(KitError):
        planned(requests=[CutRequest(25.0)])


@pytest.fixture(scope="module")
def kit():
    settings = settings_with(kit__scale="1:100", seam__panel_limit_mm=60.0, mark__make=False)
    return make_kit(
        building_of([(0, 0), (10, 0), (10, 5), (0, 5)], 3.6), replace(settings, openings=ASKED), checked=False
    )


def test_a_kit_of_such_a_wall_fits_together_and_its_cable_run_is_left_out_before_the_window(kit):
    wall = next(own for own in kit.plan.walls if own.wall.letter == "A")
    (cut,) = wall.seams.cuts
    (through,) = (own for own in wall.facing.openings if own.reach[0] < cut.position_mm < own.reach[2])
    assert "seam-through-opening" in {finding.code for finding in kit.findings}
    assert [faults(part.solid) for part in kit.parts] == [()] * len(kit.parts)
    assert [found for found in overlaps(kit) if found[2] > 1e-3] == []
    covers = [part for part in parts_of(kit, "cover") if part.wall == "A"]
    assert covers
    for cover in covers:
        z = placed(cover)[:, 2] - wall.facing.foot_mm[2]
        assert z.max() <= through.reach[1] - CLEAR_MM + 1e-6 or z.min() >= through.reach[3] + CLEAR_MM - 1e-6


def test_panels_reach_up_to_the_seam_above_and_below_the_window(kit):
    wall = next(own for own in kit.plan.walls if own.wall.letter == "A")
    (cut,) = wall.seams.cuts
    half = kit.settings.seam.gap_mm / 2
    ends = []
    for part in parts_of(kit, "skin"):
        if part.wall == "A":
            u = (placed(part)[:, :2] - wall.facing.foot_mm[:2]) @ wall.facing.along
            ends += [float(u.min()), float(u.max())]
    assert min(abs(end - (cut.position_mm - half)) for end in ends) < 2e-3
    assert min(abs(end - (cut.position_mm + half)) for end in ends) < 2e-3


def test_a_span_kept_free_still_refuses_such_a_kit():
    settings = settings_with(kit__scale="1:100", seam__panel_limit_mm=60.0)
    settings = replace(settings, openings=ASKED, no_seams=(NoSeam("A", "1 m", "9 m"),))
    with pytest.raises(KitError, match="outside the spans kept free"):
        make_kit(building_of([(0, 0), (10, 0), (10, 5), (0, 5)], 3.6), settings, checked=False)
