import numpy as np
import pytest

from gabled_plans import kit_of_shape, overhanging_kit, settings_of, structure_of
from halfbat.building.erect import structure_from_mesh
from halfbat.building.structure import EdgeKind
from halfbat.kit import make_kit, smallest_face_m
from halfbat.parts.roof_boards import boards_of
from kit_help import common_mm3, manifold, overlaps, parts_of, placed, settings_with
from roof_solids import gabled, hull, mesh_of_solid, union
from solids_help import assert_printable_solid

SCALE = 76.2


@pytest.mark.parametrize(("shape", "fascias", "barges"), [("gable", 2, 4), ("hip", 4, 0)])
def test_one_board_for_each_edge_and_nothing_overlaps(shape, fascias, barges):
    kit = overhanging_kit(shape)
    assert len(parts_of(kit, "fascia")) == fascias and len(parts_of(kit, "barge board")) == barges
    for part in [*parts_of(kit, "fascia"), *parts_of(kit, "barge board"), *parts_of(kit, "roof skin")]:
        assert_printable_solid(part.solid, crossings=part.kind != "roof skin")
    boards = {part.number for kind in ("fascia", "barge board") for part in parts_of(kit, kind)}
    found = [found for found in overlaps(kit) if boards & set(found[:2]) and found[2] > 1e-3]
    assert found == []


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_boards_find_their_place_under_the_skin_and_on_the_wall(shape):
    kit = overhanging_kit(shape)
    skins = [manifold(part) for part in parts_of(kit, "roof skin")]
    walls = [manifold(part) for part in parts_of(kit, "skin")]
    for part in [*parts_of(kit, "fascia"), *parts_of(kit, "barge board")]:
        up = manifold(part, (0.0, 0.0, 0.2))
        back = manifold(part, -0.15 * part.place[:3, 2])
        assert sum(common_mm3(up, skin) for skin in skins) > 0.5
        assert sum(common_mm3(back, wall) for wall in walls) > 0.1


def test_skins_reach_as_far_as_asked_and_boards_stay_behind_their_lip():
    kit = overhanging_kit("gable")
    skins = np.concatenate([placed(part) for part in parts_of(kit, "roof skin")])
    boards = np.concatenate([placed(part) for kind in ("fascia", "barge board") for part in parts_of(kit, kind)])
    low, high = skins[:, :2].min(axis=0), skins[:, :2].max(axis=0)
    np.testing.assert_allclose(low, [-150 / SCALE, -300 / SCALE], atol=2e-3)
    np.testing.assert_allclose(high, [8150 / SCALE, 5300 / SCALE], atol=2e-3)
    # Tiles reach over boards by 30 mm.
    np.testing.assert_allclose(boards[:, 1].min(), (-300 + 30) / SCALE, atol=2e-3)
    np.testing.assert_allclose(boards[:, 0].min(), (-150 + 30) / SCALE, atol=2e-3)


def test_flush_roofs_have_no_boards():
    kit = kit_of_shape("gable", marks=False)
    assert not parts_of(kit, "fascia") and not parts_of(kit, "barge board")
    face = kit.plan.roofs[0]
    assert not list(boards_of(face, kit.plan.structure, {}, kit.settings))


def test_a_run_too_long_comes_in_pieces_that_meet():
    kit = overhanging_kit("gable")
    face = kit.plan.roofs[0]
    board = next(one for one in boards_of(face, kit.plan.structure, {}, kit.settings) if one.kind is EdgeKind.EAVES)
    whole = board.pieces_mm(1000.0, 0.1)
    halves = board.pieces_mm(60.0, 0.1)
    assert len(whole) == 1 and len(halves) == 2
    assert np.ptp(halves[0][1]) == 0 and halves[1][0][0] - halves[0][1][0] == pytest.approx(0.1)


def test_covers_end_under_the_boards():
    asked = {"kit__scale": "1:76.2", "roof__eaves_overhang_mm": 300.0, "seam__panel_limit_mm": 60.0}
    kit = make_kit(structure_of("gable"), settings_of(**asked, mark__make=False), checked=False)
    covers = parts_of(kit, "cover")
    numbers = {part.number for part in covers}
    assert covers and not [found for found in overlaps(kit) if numbers & set(found[:2]) and found[2] > 1e-3]


@pytest.mark.parametrize("bend", [0.0, 0.06, 0.1, 0.2])
def test_a_fascia_under_straight_eaves_keeps_off_a_wall_that_bends_out(bend):
    """Eaves that overhang by 0.6 m at one end, and by less at the other, where the wall under them has bent out."""
    under = gabled(-0.5, -0.4, 6.6, 10.4, 3, 2, along_x=False)
    roof = under - under.translate((0.0, 0.0, -0.25))
    near, far = (0.0, 0.0), (0.0, 7.0)
    plans = ([near, (6, 0), (6 - bend, 7), far], [far, (6 - bend, 7), (6 + bend / 2, 10), (0.0, 10)])
    house = union(*(hull([(x, y, z) for x, y in plan for z in (0.0, 8.0)]) for plan in plans)) ^ under
    settings = settings_with(kit__scale="1:148", mark__make=False)
    mesh = mesh_of_solid(house + roof)
    kit = make_kit(structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings)), settings, checked=False)
    assert len(parts_of(kit, "fascia")) >= 2
    assert not [found for found in overlaps(kit) if found[2] > 1e-3]
