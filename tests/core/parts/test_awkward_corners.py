"""Corners and narrow walls that real plans have: nearly straight over part of the height, sharp beside a short wall."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
import trimesh

from halfbat.building.erect import structure_from_mesh
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.settings import FeatureRequest
from kit_help import building_of, kit_of, lift_fouls, overlaps, parts_of, placed, section, settings_with
from roof_solids import block, gabled, hull, joined_meshes, lean_to, mesh_of_solid


def upright(plan, top):
    return hull([(x, y, z) for x, y in plan for z in (0.0, top)])


def two_parts(bend_deg, height_m=5.0):
    """A higher part, and a lower one whose front wall bends away from that of the higher."""
    away = np.radians(bend_deg)
    end = np.array([6.0, 0.0]) + 6.0 * np.array([np.cos(away), np.sin(away)])
    higher = upright([(0, 0), (6, 0), (6, 5), (0, 5)], height_m)
    lower = upright([(5, 0), (6, 0), tuple(end), (end[0], 5), (5, 5)], 3.0)
    settings = settings_with(kit__scale="1:100", mark__make=False)
    structure = structure_from_mesh(mesh_of_solid(higher + lower), smallest_face_m=smallest_face_m(settings))
    return make_kit(structure, settings, checked=False), structure


@pytest.mark.parametrize("bend", [4.0, 9.0, 20.0, 28.0])
def test_skins_that_bend_a_little_over_part_of_the_height_meet(bend):
    kit, structure = two_parts(bend)
    corner = np.array([60.0, 0.0])
    fronts = [wall.letter for wall in structure.walls if wall.outward[1] < -0.8]
    assert len(fronts) == 2
    for letter in fronts:
        (skin,) = (part for part in parts_of(kit, "skin") if part.wall == letter)
        low = placed(skin)[placed(skin)[:, 2] < placed(skin)[:, 2].min() + 20.0]
        # Within the gap at a mitred corner; stopped square, one would be bare over a wall's thickness and more.
        assert np.hypot(*(low[:, :2] - corner).T).min() < 0.3
    assert not [shared for shared in overlaps(kit) if shared[2] > 1e-3]
    assert not [foul for foul in lift_fouls(kit) if foul[2] > 1e-3]


def test_a_wall_too_narrow_beside_a_sharp_corner_stays_bare_and_is_told():
    """A corner of 33 degrees takes more of a wall of 0.6 m than there is."""
    sharp = np.array([9.0, 0.0]) + 0.6 * np.array([np.cos(np.radians(147)), np.sin(np.radians(147))])
    kit = kit_of([(0, 0), (9, 0), tuple(sharp), (sharp[0], 5), (0, 5)], kit__scale="1:148", mark__make=False)
    (told,) = [finding for finding in kit.findings if finding.code == "wall-bare"]
    assert "walls B" in told.text and {part.wall for part in parts_of(kit, "skin")} == {"A", "C", "D", "E"}
    assert not [shared for shared in overlaps(kit) if shared[2] > 1e-3]


@pytest.mark.parametrize("pitched", [False, True])
def test_a_part_too_narrow_for_a_hollow_is_solid(pitched):
    settings = settings_with(kit__scale="1:148", mark__make=False, shell__wall_lines=12)
    narrow = lean_to(8, 1, 8.7, 3.2, 2.5, 2.2) if pitched else block(8, 1, 8.7, 3.2, 2.5)
    mesh = joined_meshes(*map(mesh_of_solid, (gabled(0, 0, 8, 5, 3, 2), narrow)))
    kit = make_kit(structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings)), settings, checked=False)
    codes = {finding.code for finding in kit.findings}
    assert "shell-solid" in codes and ("lid-loose" in codes) is not pitched
    (shell,) = parts_of(kit, "shell")
    # No hollow at half the height of the narrow part, 8.35 m along and 2.1 m deep.
    at_half = section(trimesh.Trimesh(placed(shell), shell.solid.triangles, process=False), 1.2 / 0.148)
    assert at_half.contains(shapely.Point(8.35 / 0.148, 2.1 / 0.148))
    assert not [shared for shared in overlaps(kit) if shared[2] > 1e-3]
    assert not [foul for foul in lift_fouls(kit) if foul[2] > 1e-3]


@pytest.mark.parametrize(
    ("plan", "bare"),
    [
        # Corners of 18 and of 13 degrees, and slits of 8 and of 13 degrees into a building.
        ([(0, 0), (14, 0), (2, 4), (0, 4)], True),
        ([(0, 0), (20, 0), (2, 4)], True),
        ([(0, 0), (10, 0), (10, 8), (5.4, 8), (5.0, 2), (4.6, 8), (0, 8)], False),
        ([(0, 0), (10, 0), (10, 8), (6, 8), (5.0, 2), (4.6, 8), (0, 8)], False),
    ],
)
def test_corners_too_sharp_for_skins_to_meet_are_told_and_print(plan, bare):
    settings = replace(settings_with(kit__scale="1:148"), features=(FeatureRequest("A", "plinth"),))
    kit = make_kit(building_of(plan), settings)
    assert not [finding for finding in kit.findings if finding.severity is Severity.FAILURE]
    assert ("corner-bare" in {finding.code for finding in kit.findings}) is bare
    assert not [shared for shared in overlaps(kit) if shared[2] > 1e-3]
