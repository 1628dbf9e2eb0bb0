"""Covers on whole walls: how long they are, what they pass over, and that they meet nothing."""

from functools import cache

import numpy as np
import pytest

from covered_kits import house, kit_of_box
from halfbat.errors import KitError
from halfbat.parts.cover_runs import cover_runs
from halfbat.parts.cuts import SeamStyle
from halfbat.printing.checks.sharing import check_sharing
from halfbat.settings import CableRunRequest, CoverRequest, FeatureRequest, FinishRequest, OpeningRequest, SeamRequest
from kit_help import common_mm3, manifold, overlaps, parts_of, placed
from roof_solids import block, gabled, hull, mesh_of_solid, union

SMALL = {"resin__usable_x_mm": 60.0, "resin__usable_y_mm": 60.0}
PIPE = (CoverRequest("A", "3 m"),)
RUN = (CableRunRequest("A", "3 m"),)
WINDOW = OpeningRequest("A", "2.5 m", width="1 m", height="1.2 m", sill_height="0.9 m")


def meeting(kit):
    """Covers that share space with another part; corners rounded to the grid of solids may, by a hair."""
    return [found for found in overlaps(kit) if found[2] > 1e-3 and "C" in (found[0][0], found[1][0])]


def runs_of(kit, letter="A"):
    (wall,) = [wall for wall in kit.plan.walls if wall.wall.letter == letter]
    return list(cover_runs(wall, kit.plan, kit.settings, kit.scale))


def test_a_downpipe_hides_a_seam():
    kit = kit_of_box(seam__hide="downpipe", seam__panel_limit_mm=60.0, checked=True)
    assert [part.number for part in parts_of(kit, "cover")] == ["CA1", "CC1"]
    part = parts_of(kit, "cover")[0]
    assert part.name == "Downpipe, wall A" and part.wall == "A"
    (cut,) = kit.plan.walls[0].seams.cuts
    assert cut.style is SeamStyle.DOWNPIPE and cut.covered
    there = placed(part)
    assert there[:, 0].mean() == pytest.approx(cut.position_mm, abs=0.1)
    assert there[:, 1].max() == pytest.approx(0.0, abs=1e-6) and there[:, 2].max() == pytest.approx(30.0, abs=0.01)
    assert not [finding for finding in kit.findings if "seam" in finding.code or finding.code == "cover-narrow"]
    assert "downpipe-wide" in {finding.code for finding in kit.findings}
    assert meeting(kit) == []


def test_one_seam_may_be_hidden_in_another_way_than_the_rest():
    kit = kit_of_box(seams=(SeamRequest("A", "3 m", "downpipe"), SeamRequest("A", "6 m")))
    assert [part.name.split(",")[0] for part in parts_of(kit, "cover")] == ["Downpipe", "Cable run"]


def test_covers_without_seams_are_numbered_from_the_left():
    kit = kit_of_box(downpipes=(CoverRequest("A", "7 m"),), cable_runs=(CableRunRequest("A", "1 m"),))
    assert [(part.number, part.name) for part in parts_of(kit, "cover")] == [
        ("CA1", "Cable run, wall A"),
        ("CA2", "Downpipe, wall A"),
    ]
    assert len(parts_of(kit, "skin")) == 4
    assert meeting(kit) == []


def test_seams_keep_clear_of_covers_that_are_asked_for():
    kit = kit_of_box(seam__panel_limit_mm=60.0, downpipes=(CoverRequest("A", "4 m"),))
    wall = kit.plan.walls[0]
    (cut,) = wall.seams.cuts
    assert abs(cut.position_mm - 40.0) > 2.0 and len(wall.covers) == 2
    assert meeting(kit) == []


@pytest.mark.parametrize(
    ("values", "says"),
    [
        (
            {"downpipes": (CoverRequest("A", "8 m"),)},
            "the downpipe at 8 m is off the wall, which is 8 m long (wall A): place its middle from 0.18 m to 7.82 m",
        ),
        (
            {"downpipes": (CoverRequest("A", "1 m"), CoverRequest("A", "1.1 m"))},
            "the downpipe at 1 m and the downpipe at 1.1 m meet",
        ),
        ({"downpipes": PIPE, "openings": (WINDOW,)}, "the downpipe at 3 m runs over an opening (wall A)"),
        ({"downpipes": PIPE, "seams": (SeamRequest("A", "3 m"),)}, "kept free of seams"),
        ({"downpipes": (CoverRequest("K", "1 m"),)}, "there is no wall 'K' (downpipes)"),
        ({"cable_runs": (CableRunRequest("K", "1 m"),)}, "there is no wall 'K' (cable_runs)"),
    ],
)
def test_what_has_no_room_is_refused(values, says):
    with pytest.raises(KitError) as refused:
        kit_of_box(**values)
    assert says in str(refused.value)


def test_over_a_plinth_a_downpipe_comes_in_two_pieces_with_one_front():
    features = (FeatureRequest("A", "plinth", height="4 courses"),)
    kit = kit_of_box(downpipes=PIPE, features=features, checked=True, downpipe__foot="into the ground")
    (run,) = runs_of(kit)
    low, high = run.segments
    assert (low.base_mm, high.base_mm) == (pytest.approx(0.55, abs=0.06), 0.0)
    first, second = (placed(part) for part in parts_of(kit, "cover"))
    assert first[:, 1].max() == pytest.approx(-low.base_mm, abs=1e-6)
    assert first[:, 2].max() == pytest.approx(second[:, 2].min(), abs=1e-6)
    assert first[:, 1].min() == pytest.approx(second[:, 1].min(), abs=0.15)  # a socket stands on the upper one
    assert meeting(kit) == []
    assert not [one for one in kit.findings if one.part.startswith("CA") and one.code in ("overhang", "neck-thin")]


def test_a_cable_run_passes_over_a_string_course():
    features = (FeatureRequest("A", "string course", bottom="20 courses", height="1 course"),)
    kit = kit_of_box(cable_runs=RUN, features=features)
    (segment,) = runs_of(kit)[0].segments
    (hollow,) = segment.hollows
    assert hollow.out_mm > 0.1 and hollow.low_mm == pytest.approx(15.0, abs=0.2)
    assert meeting(kit) == []


def test_on_a_pier_a_cover_stands_out_with_it():
    kit = kit_of_box(downpipes=PIPE, features=(FeatureRequest("A", "pier", at="2.5 m", width="1 m"),))
    (segment,) = runs_of(kit)[0].segments
    assert segment.base_mm == pytest.approx(1.1, abs=0.06)
    assert meeting(kit) == []


def test_under_corbelled_eaves_a_cover_ends_and_says_what_shows():
    features = (FeatureRequest("A", "corbelled eaves"),)
    kit = kit_of_box(seam__hide="downpipe", seam__panel_limit_mm=60.0, features=features)
    (run,) = runs_of(kit)
    assert run.top_mm < 28.0 and run.bare_mm == pytest.approx(30.0 - run.top_mm, abs=0.01)
    assert [one.part for one in kit.findings if one.code == "cover-short"] == ["wall A"]
    assert meeting(kit) == []


def test_over_stones_a_cover_lies_on_the_highest():
    kit = kit_of_box(cable_runs=RUN, finishes=(FinishRequest("A", "coursed rubble"),))
    assert len(runs_of(kit)[0].segments) == 1
    assert meeting(kit) == []


@cache
def overhanging():
    """A house of 8 x 5 m with eaves 0.4 m before its long walls and verges 0.3 m before its gables."""
    low, ridge = 2.4 - 0.4 * 0.6, 2.4 + 2.5 * 0.6
    corners = [(x, y, low) for x in (-0.3, 8.3) for y in (-0.4, 5.4)]
    roof = hull([*corners, *((x, 2.5, ridge) for x in (-0.3, 8.3))])
    return mesh_of_solid(union(block(0, 0, 8, 5, 2.4), roof))


def wall_facing(kit, direction):
    """Letter of the wall whose outside faces a direction in plan."""
    return max(kit.plan.walls, key=lambda wall: float(wall.facing.outward @ np.array(direction))).wall.letter


def test_a_swan_neck_reaches_the_edge_of_the_eaves_and_stays_under_the_roof():
    letter = wall_facing(house(overhanging()), (0.0, -1.0))
    kit = house(overhanging(), downpipes=(CoverRequest(letter, "2 m"),))
    (run,) = runs_of(kit, letter)
    assert run.eaves_mm == pytest.approx(4.0, abs=0.2)
    (part,) = parts_of(kit, "cover")
    assert upper(part)[:, 1].min() == pytest.approx(-run.eaves_mm, abs=0.05)
    assert meeting(kit) == []


def upper(part):
    """What of a part lies clear of the kerb at its foot."""
    return placed(part)[placed(part)[:, 2] > 10.0]


@pytest.mark.parametrize("top", ["plain", "hopper head"])
def test_other_tops_stay_under_the_roof(top):
    letter = wall_facing(house(overhanging()), (0.0, -1.0))
    kit = house(overhanging(), downpipes=(CoverRequest(letter, "2 m"),), downpipe__top=top)
    assert meeting(kit) == []
    assert upper(parts_of(kit, "cover")[0])[:, 1].min() > -2.6


@pytest.mark.parametrize("mesh", [overhanging, lambda: mesh_of_solid(gabled(0, 0, 8, 5, 2.4, 1.5))])
def test_on_a_gable_covers_end_at_the_rake(mesh):
    letter = wall_facing(house(mesh()), (-1.0, 0.0))
    kit = house(mesh(), downpipes=(CoverRequest(letter, "1 m"),), cable_runs=(CableRunRequest(letter, "2.5 m"),))
    one, other = runs_of(kit, letter)
    assert one.length_mm < other.length_mm - 5.0 and one.eaves_mm == other.eaves_mm == 0.0
    assert meeting(kit) == []


def test_a_cover_too_long_for_the_printer_comes_in_pieces_that_meet():
    kit = kit_of_box(height=9.0, downpipes=PIPE, mark__make=True, **SMALL)
    parts = [part for part in parts_of(kit, "cover") if part.name == "Downpipe, wall A"]
    assert len(parts) == 2 and max(part.solid.size_mm[0] for part in parts) <= 60.0
    high = 0.0
    for part in parts:
        own = placed(part)[np.abs(placed(part)[:, 0] - 30.0) < 0.41]
        assert own[own[:, 2] > high - 0.1, 2].min() == pytest.approx(high, abs=1e-6)
        high = own[:, 2].max()
    assert high == pytest.approx(90.0, abs=0.01)


def test_wire_takes_the_place_of_a_printed_downpipe():
    kit = kit_of_box(downpipes=PIPE, cable_runs=(CableRunRequest("A", "1 m"),), downpipe__made_as="wire")
    assert [part.name for part in parts_of(kit, "cover")] == ["Cable run, wall A"]
    (bought,) = kit.materials
    assert (bought.name, bought.quantity, bought.wall) == ("Rod or wire, 0.80 mm thick", 30.0, "A")
    assert bought.notes == ("1 x 30.0 mm, glued on as a downpipe.",)


def test_a_run_starts_where_a_lower_roof_leaves_the_wall():
    mesh = mesh_of_solid(union(block(0, 0, 8, 5, 4.0), block(1, -2, 5, 0.01, 2.0)))
    plain = house(mesh)
    letter = next(
        wall.wall.letter
        for wall in plain.plan.walls
        if wall.facing.outward[1] < -0.9 and abs(float(wall.facing.foot_mm[1])) < 1.0 and wall.wall.length_m > 7
    )
    kit = house(mesh, downpipes=(CoverRequest(letter, "3 m"),))
    (run,) = runs_of(kit, letter)
    assert run.foot_mm == pytest.approx(20.3, abs=0.05)
    assert meeting(kit) == []


@pytest.mark.parametrize("marked", [False, True])
@pytest.mark.parametrize("turn_deg", [0.0, 17.0])
def test_a_cover_under_the_top_of_a_gable_ends_under_ridge_and_boards(turn_deg, marked):
    mesh = mesh_of_solid(gabled(0, 0, 6, 6, 2.4, 2.6), turn_deg, "gable.obj")
    values = {"kit__scale": "1:43.5", "roof__verge_overhang_mm": 150.0, "mark__make": marked}
    plain = house(mesh, **values)
    letters = [wall.wall.letter for wall in plain.plan.walls if np.ptp(wall.facing.face.outline_mm[:, 1]) > 80.0]
    assert len(letters) == 2
    kit = house(mesh, cable_runs=tuple(CableRunRequest(letter, "3 m") for letter in letters), **values)
    assert check_sharing(kit.parts, kit.plan, kit.settings) == ()
    covers = parts_of(kit, "cover")
    assert len(covers) >= 2
    if not marked:
        assert meeting(kit) == []
        # It ends no further below than the skin under the tiles is thick.
        others = [manifold(part) for part in kit.parts if part.kind in ("ridge", "barge board", "roof skin")]
        for part in {part.wall: part for part in covers if part.wall in letters}.values():
            higher = manifold(part, (0.0, 0.0, 3.0))
            assert sum(common_mm3(higher, other) for other in others) > 0.01
