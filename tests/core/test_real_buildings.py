"""Real buildings, from the mesh to the assembled kit. HALFBAT_BUILDINGS names a folder with more of them."""

import os
from functools import cache
from pathlib import Path

import pytest

from halfbat.building import read_obj
from halfbat.building.erect import structure_from_mesh
from halfbat.errors import FaultError, KitError
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.parts.all_parts import _behind
from halfbat.parts.wall_openings import SHELL_LEFT_MM, shell_box
from halfbat.solids.verify import faults
from kit_help import lift_fouls, overlaps, settings_with

HERE = Path(__file__).parent.parent / "data"
ASKED = os.environ.get("HALFBAT_BUILDINGS")
PATHS = {path.stem.split("_")[0]: path for path in sorted(HERE.glob("*.obj"))}
PATHS |= {path.stem.split("_")[0]: path for path in sorted(Path(ASKED).glob("*.obj"))} if ASKED else {}
MADE = sorted(key for key in PATHS if key[0] == "b" or key == "g1")
DOUBTFUL = sorted(key for key in PATHS if key in ("g2", "x1"))
#: Further scales at which whole kits are checked: each building where something was too thin before.
SCALED = [
    (key, scale)
    for scale, keys in {
        "1:76.2": ("b01", "b06", "b08", "x1"),
        "1:87": ("b06", "b08"),
        "1:120": ("b07", "x1"),
        "1:160": ("b07", "b08"),
        "1:220": ("b04", "b06", "b07", "x1"),
    }.items()
    for key in keys
    if key in PATHS
]
#: Further scales at which the fit of kits is judged: each building where parts stood in each other before.
FITTED = [
    (key, scale)
    for key, scale in (("b05", "1:76.2"), ("x1", "1:87"), ("b07", "1:120"), ("b08", "1:220"), ("b07", "1:220"))
    if key in PATHS
]
#: Skins are glued to what they lie on: what their corners, rounded to a grid, may have in common.
TOUCHING_MM3 = 1e-3


@cache
def kit_of(key, marks=True, scale="1:148"):
    settings = settings_with(kit__scale=scale, mark__make=marks)
    structure = structure_from_mesh(read_obj(PATHS[key]), smallest_face_m=smallest_face_m(settings))
    return make_kit(structure, settings, checked=False)


@pytest.mark.parametrize("key", MADE)
def test_every_part_is_one_closed_solid_with_a_number_of_its_own(key):
    kit = kit_of(key)
    assert {part.number: faults(part.solid) for part in kit.parts if faults(part.solid)} == {}
    assert len({part.number for part in kit.parts}) == len(kit.parts)
    kinds = {part.kind for part in kit.parts}
    assert {"shell", "skin"} <= kinds and kinds & {"lid", "former"}


@pytest.mark.parametrize(("key", "scale"), [*((key, "1:148") for key in MADE), *SCALED])
def test_no_check_of_a_whole_kit_fails(key, scale):
    settings = settings_with(kit__scale=scale)
    structure = structure_from_mesh(read_obj(PATHS[key]), smallest_face_m=smallest_face_m(settings))
    kit = make_kit(structure, settings)
    assert kit.checks > len(kit.parts)
    assert [found for found in kit.findings if found.severity is Severity.FAILURE] == []


@pytest.mark.parametrize("key", MADE)
def test_ridges_fit_the_printer_when_turned(key):
    large = [found.part for found in kit_of(key).findings if found.code == "too-large"]
    assert [number for number in large if number.startswith("H")] == []


@pytest.mark.parametrize("key", DOUBTFUL)
def test_one_sentence_or_a_kit(key):
    try:
        kit = kit_of(key)
    except KitError as refusal:
        assert not isinstance(refusal, FaultError)
        assert len(str(refusal).splitlines()) == 1
        assert refusal.remedy
    else:
        assert all(faults(part.solid) == () for part in kit.parts)


@pytest.mark.parametrize(("key", "scale"), [*((key, "1:148") for key in MADE), *FITTED])
def test_no_two_parts_share_space_when_assembled(key, scale):
    # Tabs are cut off before parts are glued on, so the kit is made without them.
    kit = kit_of(key, marks=False, scale=scale)
    assert [found for found in overlaps(kit) if found[2] > TOUCHING_MM3] == []


@pytest.mark.parametrize(("key", "scale"), [*((key, "1:148") for key in MADE), *FITTED])
def test_the_roof_lifts_straight_off(key, scale):
    kit = kit_of(key, marks=False, scale=scale)
    assert [found for found in lift_fouls(kit) if found[2] > TOUCHING_MM3] == []


@pytest.mark.parametrize("key", [key for key in ("b08", "b09") if key in PATHS])
def test_openings_of_the_shell_lie_round_those_of_the_skin(key):
    kit = kit_of(key)
    seen = 0
    for wall in kit.plan.walls:
        for opening in wall.facing.openings:
            box = shell_box(opening, *_behind(wall, kit.plan, kit.settings))
            if box is None:
                continue
            seen += 1
            low, high = opening.outline.min(axis=0), opening.outline.max(axis=0)
            # But where the shell needs its corner, its floor or its top.
            assert (box[0] <= low + SHELL_LEFT_MM).all() or (box[1] >= high).all()
            assert (box[1] - box[0] > 0).all()
    assert seen > 0
