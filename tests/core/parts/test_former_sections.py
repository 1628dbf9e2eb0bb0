"""Roof formers larger than the filament printer come in sections that are one roof again when glued."""

from dataclasses import replace
from itertools import combinations

import manifold3d
import numpy as np
import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.kit import make_kit, smallest_face_m
from halfbat.printing.checks.overhangs import check_islands, check_overhangs
from halfbat.printing.checks.subject import Subject
from halfbat.settings import ChimneyRequest
from halfbat.solids.verify import faults
from kit_help import common_mm3, lift_fouls, manifold, overlaps, parts_of, placed, settings_with
from modelled_houses import house_mesh

ROOMS_MM = {"long hipped range": 250.0, "T of unequal hips": 105.0, "mansard": 90.0}


def kit_of_house(name, turn=0.0, **values):
    room = {"filament__usable_x_mm": ROOMS_MM[name], "filament__usable_y_mm": ROOMS_MM[name]}
    settings = settings_with(kit__scale="1:76.2", mark__make=False, **room, **values)
    structure = structure_from_mesh(house_mesh(name, turn), smallest_face_m=smallest_face_m(settings))
    return make_kit(structure, settings, checked=False)


def glued(parts):
    return manifold3d.Manifold.batch_boolean([manifold(part) for part in parts], manifold3d.OpType.Add)


@pytest.mark.parametrize("turn", [0.0, 17.0])
@pytest.mark.parametrize("name", ROOMS_MM)
def test_sections_are_sound_fit_the_printer_and_lift_off_as_one_roof(name, turn):
    kit = kit_of_house(name, turn)
    formers = parts_of(kit, "former")
    assert any(part.sections for part in formers)
    assert [part.number for part in kit.parts if faults(part.solid)] == []
    assert [found.part for found in kit.findings if found.code == "too-large" and found.part.startswith("F")] == []
    bodies = {part.number for part in kit.parts if part.process == "filament"}
    met = [found for found in (*overlaps(kit), *lift_fouls(kit)) if found[2] > 5e-3]
    assert [found for found in met if bodies & {*found[:2]}] == []


def test_glued_they_are_the_whole_former_with_slits_and_ribs():
    cut, whole = (parts_of(kit_of_house("long hipped range", shell__sections=on), "former") for on in (True, False))
    assert len(whole) == 1 and len(cut) > 1
    one, together = manifold(whole[0]), glued(cut)
    assert np.allclose(one.bounding_box(), together.bounding_box(), atol=2e-3)
    missing, ribs = (one - together).volume(), together - one
    assert 0 < missing < 0.02 * one.volume()
    low = ribs.bounding_box()[2]
    # Ribs fill the hollow under the roof and nothing else.
    assert low >= one.bounding_box()[2] - 1e-6
    # But for the rounding of slopes to the grid.
    thin_mm3 = 5e-4 * one.project().area()
    assert (ribs - one.hull()).volume() < thin_mm3
    assert ribs.trim_by_plane((0, 0, 1), low + 3.61).volume() < thin_mm3
    for lift in (0.0, 0.5, 2.0, 8.0):
        for one, other in combinations(cut, 2):
            assert common_mm3(manifold(one), manifold(other, (0, 0, lift))) < 1e-6
    # Keys lie under the roof and hold: pulled apart or lifted singly, sections meet.
    assert common_mm3(manifold(cut[0], (0, 0, 1.0)), manifold(cut[1])) > 1.0
    assert common_mm3(manifold(cut[0], (-0.6, 0, 0)), manifold(cut[1])) > 0.1


def test_no_section_needs_support_where_the_whole_needs_none():
    settings = settings_with(kit__scale="1:148")
    for part in parts_of(kit_of_house("long hipped range"), "former"):
        subject = Subject.of(part, settings)
        assert [found.code for found in (*check_overhangs(subject), *check_islands(subject))] == []


def test_former_and_shell_are_cut_in_different_places_and_round_a_chimney():
    settings = settings_with(kit__scale="1:148", mark__make=False)
    structure = structure_from_mesh(house_mesh("long hipped range"), smallest_face_m=smallest_face_m(settings))
    chimney = ChimneyRequest(wall="A", at=f"{structure.walls[0].length_m / 2 + 0.6} m")
    kit = make_kit(structure, replace(settings, chimneys=(chimney,)), checked=False)
    shell, former = (cut_x(parts_of(kit, kind)) for kind in ("shell", "former"))
    assert abs(shell - former) > 3.0
    (stack,) = parts_of(kit, "chimney")
    low, high = placed(stack)[:, 0].min(), placed(stack)[:, 0].max()
    assert former < low - 2.0 or former > high + 2.0


def cut_x(parts):
    """Where two sections side by side along x meet."""
    _, second, *_ = sorted(parts, key=lambda part: part.place[0, 3])
    return placed(second)[:, 0].min() - 0.05
