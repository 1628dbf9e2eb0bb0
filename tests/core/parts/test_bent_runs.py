"""Cable runs that bend, on whole walls at 1:100, where 1 m is 10 mm."""

from functools import cache

import numpy as np
import pytest
from shapely import MultiPoint, unary_union

from covered_kits import house, kit_of_box
from halfbat.errors import KitError
from halfbat.parts.bent_line import from_box_mm
from halfbat.parts.cover_runs import cover_runs
from halfbat.parts.cuts import SeamStyle
from halfbat.settings import CableRunRequest, CoverRequest, FeatureRequest, OpeningRequest, SeamRequest
from kit_help import overlaps, parts_of, placed
from path_samples import band_polygon
from roof_solids import block, gabled, mesh_of_solid, union
from solids_help import assert_printable_solid

STEP = "2 m, foot; 2 m, 12 courses; 5 m, 12 courses; 5 m, top"
SEAM = (CableRunRequest("A", "2 m", STEP, seam=True),)
LOOP = "1 m, 0.5 m; 1 m, 1.5 m; 2 m, 2.5 m; 6 m, 2.5 m; 6 m, foot"
LOW = OpeningRequest("A", "3 m", width="1 m", height="1 m", sill_height="0.6 m")
NEAR = OpeningRequest("A", "3 m", width="1 m", height="0.5 m", sill_height="1.2 m")
HIGH = OpeningRequest("A", "3 m", width="1 m", height="1 m", sill_height="1.6 m")


def meeting(kit):
    """Covers that share space with another part; corners rounded to the grid of solids may, by a hair."""
    return [found for found in overlaps(kit) if found[2] > 1e-3 and "C" in (found[0][0], found[1][0])]


def runs_of(kit, letter="A"):
    (wall,) = [wall for wall in kit.plan.walls if wall.wall.letter == letter]
    return list(cover_runs(wall, kit.plan, kit.settings, kit.scale))


def told(kit, *codes):
    return [finding for finding in kit.findings if finding.code in codes or finding.severity.value == "failure"]


@cache
def stepped():
    return kit_of_box(cable_runs=SEAM, checked=True)


def test_the_seam_follows_the_path_and_the_cover_follows_the_seam():
    kit = stepped()
    wall = kit.plan.walls[0]
    (cut,) = wall.seams.cuts
    assert cut.style is SeamStyle.CABLE_RUN and cut.covered and cut.asked
    assert (cut.low_mm, cut.high_mm) == (pytest.approx(20.0, abs=0.03), pytest.approx(50.0, abs=0.03))
    assert cut.line[-1] == pytest.approx([50.0, 30.0], abs=0.03)
    (part,) = parts_of(kit, "cover")
    there = placed(part)
    assert there[:, 0].min() == pytest.approx(20.0 - 0.9, abs=0.05)
    assert there[:, 0].max() == pytest.approx(50.0 + 0.9, abs=0.05)
    assert there[:, 2].min() == pytest.approx(0.0, abs=1e-6) and there[:, 2].max() == pytest.approx(30.0, abs=0.01)
    assert part.notes == (f"CA1 is {runs_of(kit)[0].length_mm:.1f} mm long along its middle and bends.",)
    assert told(kit, "cover-narrow", "seam-open", "seam-opening", "seam-unbacked") == []
    assert meeting(kit) == []


def test_its_panels_are_closed_solids_that_keep_the_gap():
    kit = stepped()
    line = kit.plan.walls[0].seams.cuts[0].bent
    gap = band_polygon(line, kit.settings.seam.gap_mm / 2)
    for part in parts_of(kit, "skin"):
        if part.wall == "A":
            assert_printable_solid(part.solid)
            # No corner of a panel lies in the gap.
            corners = MultiPoint(np.unique(np.round(placed(part)[:, [0, 2]], 3), axis=0))
            assert not gap.buffer(-5e-3).intersects(corners)


def test_every_brick_is_counted_for_one_panel():
    bent, straight = stepped(), kit_of_box()
    count = [sum(sum(part.counts.values()) for part in parts_of(kit, "skin")) for kit in (bent, straight)]
    assert count[0] == count[1]


def test_a_seam_asked_for_as_such_bends_the_same():
    kit = kit_of_box(seams=(SeamRequest("A", "2 m", "cable run", STEP),))
    one, other = kit.plan.walls[0].seams, stepped().plan.walls[0].seams
    assert [cell.outline.tolist() for cell in one.panels] == [cell.outline.tolist() for cell in other.panels]


def test_a_run_without_a_seam_goes_anywhere_on_its_wall():
    kit = kit_of_box(cable_runs=(CableRunRequest("A", "1 m", LOOP),), checked=True)
    (part,) = parts_of(kit, "cover")
    assert len([skin for skin in parts_of(kit, "skin") if skin.wall == "A"]) == 1
    (run,) = runs_of(kit)
    assert run.length_mm == pytest.approx(10 + 10 * np.sqrt(2) + 40 + 25, abs=2.5)  # bends are rounded
    assert part.solid.volume_mm3 > 0.3 * run.length_mm
    assert told(kit) == [] and meeting(kit) == []


@pytest.mark.parametrize(
    "features",
    [
        (FeatureRequest("A", "plinth", height="5 courses"),),
        (FeatureRequest("A", "string course", bottom="24 courses", height="1 course"),),
        (FeatureRequest("A", "pier", at="3 m", width="0.6 m"),),
        (FeatureRequest("A", "corbelled eaves"),),
        (FeatureRequest("A", "plinth", height="12 courses"),),
    ],
    ids=["plinth", "string course", "pier", "corbelled eaves", "plinth edge at a bend"],
)
@pytest.mark.parametrize("marked", [True, False])
def test_it_passes_over_what_stands_out_and_meets_nothing(features, marked):
    runs = (CableRunRequest("A", "2 m", LOOP.replace("1 m,", "2 m,").replace("2 m, 2.5", "3 m, 2.5"), seam=False),)
    kit = kit_of_box(cable_runs=runs, features=features, checked=True, mark__make=marked)
    assert parts_of(kit, "cover")
    for part in parts_of(kit, "cover"):
        assert_printable_solid(part.solid)
    if not marked:
        assert meeting(kit) == []
    assert [one for one in told(kit) if one.part.startswith("C")] == []


def test_tabs_keep_clear_of_the_run_and_hang_below_the_wall_only_at_its_foot():
    plinth = (FeatureRequest("A", "plinth", height="5 courses"),)
    kit = kit_of_box(cable_runs=SEAM, features=plinth, mark__make=True)
    first, second = parts_of(kit, "cover")
    assert first.tab_mm[3] == pytest.approx(0.0, abs=1e-6) and second.tab_mm[1] > 0.0
    (run,) = runs_of(kit)
    for u0, v0, u1, v1 in (part.tab_mm for part in (first, second)):
        # But for its neck, 0.8 mm long, a tab is further from the run than saddles reach.
        assert from_box_mm(run.line.points, (u0, v0 + 0.4, u1, v1 - 0.4)) >= 0.4
        assert not (u0 < 20.0 - 0.9 < 20.0 + 0.9 < u1 and v1 > 0.1 and v0 < 8.0)


def test_the_tab_of_a_piece_keeps_clear_of_the_other_pieces():
    small = {"resin__usable_x_mm": 70.0, "resin__usable_y_mm": 70.0}
    path = "3 m, foot; 3 m, 7 m; 4.5 m, 8.5 m; 6 m, 8.5 m; 6 m, 0.5 m"
    kit = kit_of_box(9.0, cable_runs=(CableRunRequest("A", "3 m", path),), mark__make=True, **small)
    (run,) = [run for run in runs_of(kit) if run.line]
    parts = [part for part in parts_of(kit, "cover") if part.notes and "along its middle" in part.notes[0]]
    assert len(parts) > 2
    for part in parts:
        u0, v0, u1, v1 = part.tab_mm
        middle = (u0 + u1) / 2, (v0 + v1) / 2
        assert from_box_mm(run.line.points, (*np.subtract(middle, 1.0), *np.add(middle, 1.0))) > 1.2


def test_its_front_is_level_over_a_plinth():
    kit = kit_of_box(cable_runs=SEAM, features=(FeatureRequest("A", "plinth", height="5 courses"),))
    (run,) = runs_of(kit)
    assert len(run.segments) == 2
    fronts = [placed(part)[:, 1].min() for part in parts_of(kit, "cover")]
    assert fronts == pytest.approx([fronts[0]] * 2, abs=1e-3)


def test_a_long_run_is_printed_in_pieces_that_meet():
    small = {"resin__usable_x_mm": 70.0, "resin__usable_y_mm": 70.0}
    path = LOOP.replace("1.5 m", "7.5 m").replace("2.5 m", "8.5 m")
    kit = kit_of_box(9.0, cable_runs=(CableRunRequest("A", "1 m", path),), checked=True, **small)
    parts = [part for part in parts_of(kit, "cover") if any("along its middle" in note for note in part.notes)]
    assert len(parts) > 2 and "too-large" not in {f.code for f in kit.findings if f.part.startswith("CA")}
    (run,) = [run for run in runs_of(kit) if run.line]
    lengths = [float(part.notes[0].split()[2]) for part in parts]
    assert sum(lengths) == pytest.approx(run.length_mm, abs=0.1 * len(parts))
    there = unary_union([MultiPoint(placed(part)[:, [0, 2]]).convex_hull.buffer(1e-3) for part in parts])
    assert there.geom_type == "Polygon"


@pytest.mark.parametrize(
    ("values", "says"),
    [
        (
            {"cable_runs": (CableRunRequest("A", "2 m", STEP),), "openings": (LOW,)},
            "the cable run at 2 m runs over an opening (wall A): lead its middle past it by 0.09 m or more",
        ),
        (
            {"cable_runs": SEAM, "openings": (NEAR,)},
            "the seam at 20.00 mm bends too near to an opening",
        ),
        (
            {"cable_runs": (CableRunRequest("A", "2 m", "2 m, 0; 2 m, 1 m; 9 m, 1 m"),)},
            "the cable run at 2 m leads off the wall, which is 8 m long (wall A): keep its middle from 0.09 m to 7.9",
        ),
        (
            {"cable_runs": (CableRunRequest("A", "2 m", "2 m, 1 m; 3 m, 1 m; 5 m, 3 m"),)},
            "the cable run rises over the top of the wall or into its roof",
        ),
        (
            {"cable_runs": (CableRunRequest("A", "2 m", "2 m, 1 m; 3 m, 0.05 m; 5 m, 0.05 m"),)},
            "the cable run leaves the wall at its foot",
        ),
        (
            {"cable_runs": (CableRunRequest("A", "2 m", STEP), CableRunRequest("A", "3 m"))},
            "the cable run at 2 m and the cable run at 3 m meet",
        ),
        (
            {"cable_runs": SEAM, "downpipes": (CoverRequest("A", "4 m"),)},
            "kept free of seams",
        ),
        (
            {"cable_runs": (CableRunRequest("A", "2 m", "2 m, 0; 2 m, 2 m", seam=True),)},
            "ends below the top of the wall",
        ),
        ({"seams": (SeamRequest("A", "2 m", "toothed", STEP),)}, "a seam that bends cannot be hidden as 'toothed'"),
        ({"cable_runs": (CableRunRequest("K", "2 m", STEP),)}, "there is no wall 'K' (cable_runs)"),
    ],
)
def test_what_has_no_room_is_refused(values, says):
    with pytest.raises(KitError) as refused:
        kit_of_box(**values)
    assert says in str(refused.value)


def test_a_seam_may_lead_round_an_opening():
    kit = kit_of_box(cable_runs=(CableRunRequest("A", "2 m", STEP.replace("5 m", "6 m"), seam=True),), openings=(HIGH,))
    assert len([part for part in parts_of(kit, "skin") if part.wall == "A"]) == 2
    assert meeting(kit) == []


def test_seams_elsewhere_keep_clear_of_it():
    kit = kit_of_box(seam__panel_limit_mm=60.0, cable_runs=(CableRunRequest("A", "1 m", "1 m, 0; 1 m, 1 m; 3 m, 1 m"),))
    (cut,) = kit.plan.walls[0].seams.cuts
    assert cut.position_mm > 30.0 + 1.8
    assert meeting(kit) == []


def test_a_wall_is_cut_beside_a_seam_that_bends():
    kit = kit_of_box(seam__panel_limit_mm=55.0, cable_runs=SEAM)
    panels = [part for part in parts_of(kit, "skin") if part.wall == "A"]
    assert len(panels) >= 3
    assert all(part.solid.size_mm[0] <= 55.0 + 1e-3 for part in panels)


def test_under_a_gable_it_ends_at_the_rake_and_may_not_rise_into_it():
    mesh = mesh_of_solid(gabled(0.0, 0.0, 8.0, 5.0, 2.4, 1.5))
    letter = next(w.wall.letter for w in house(mesh).plan.walls if w.facing.face.outline_mm[:, 1].max() > 30)
    up = (CableRunRequest(letter, "1 m", "1 m, foot; 1 m, 1 m; 2 m, 1 m; 2 m, top"),)
    kit = house(mesh, cable_runs=up)
    (run,) = runs_of(kit, letter)
    assert 24.0 < run.top_mm < 24.0 + 20.0 * 0.6 + 1
    assert meeting(kit) == []
    with pytest.raises(KitError, match="rises over the top of the wall or into its roof"):
        house(mesh, cable_runs=(CableRunRequest(letter, "1 m", "1 m, 1 m; 1 m, 2.85 m; 2.5 m, 2.85 m; 2.5 m, 1 m"),))


def test_it_stands_on_a_house_of_several_bodies():
    mesh = mesh_of_solid(union(block(0, 0, 6, 4, 3), block(6, 0, 9, 3, 2)))
    kit = house(mesh, cable_runs=(CableRunRequest("A", "1 m", "1 m, foot; 1 m, 1 m; 3 m, 1 m; 3 m, top"),))
    assert parts_of(kit, "cover") and meeting(kit) == []


def test_of_wire_it_is_measured_along_its_middle_and_bent_by_hand():
    kit = kit_of_box(cable_runs=SEAM, seam__cover_made_as="wire", checked=True)
    assert not parts_of(kit, "cover")
    (wire,) = kit.materials
    (run,) = runs_of(kit)
    assert wire.quantity == pytest.approx(run.length_mm, abs=0.01) and run.length_mm > 57.0
    assert "Bend it as the drawing of the wall shows." in wire.notes[0]
    assert told(kit, "cover-narrow", "seam-open") == []
