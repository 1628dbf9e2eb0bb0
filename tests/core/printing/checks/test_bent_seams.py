"""The check of seams that bend is silent on good ones and speaks of bad ones."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from covered_kits import kit_of_box
from halfbat.printing.checks.bent_seams import check_bent_seams
from halfbat.settings import CableRunRequest

STEP = "2 m, foot; 2 m, 12 courses; 5 m, 14 courses; 5 m, top"


@cache
def kit():
    return kit_of_box(cable_runs=(CableRunRequest("A", "2 m", STEP, seam=True),))


def found(parts, plan=None):
    made = kit()
    return [(one.code, one.part) for one in check_bent_seams(parts, plan or made.plan, made.settings)]


def shifted(number, x=0.0, z=0.0):
    """The parts of the kit, one of them moved along the building."""
    moved = np.eye(4)
    moved[:3, 3] = [x, 0.0, z]
    return [replace(one, place=moved @ one.place) if one.number == number else one for one in kit().parts]


def test_a_good_one_is_passed():
    assert found(kit().parts) == []


@pytest.mark.parametrize("by", [{"x": 0.4}, {"x": -0.4}, {"z": 0.4}])
def test_a_cover_beside_its_seam_is_told(by):
    assert found(shifted("CA1", **by)) == [("cover-narrow", "wall A")]


def test_a_cover_that_is_missing_is_told():
    assert found([one for one in kit().parts if one.number != "CA1"]) == [("cover-narrow", "wall A")]


def test_a_panel_that_is_not_there_is_told():
    assert ("seam-opening", "wall A") in found(shifted("WA2", x=2.0))


def test_a_run_too_narrow_for_the_gap_is_told_in_the_kit():
    runs = (CableRunRequest("A", "2 m", STEP, seam=True),)
    made = kit_of_box(cable_runs=runs, seam__cover_width_mm=0.6, seam__gap_mm=0.4, checked=True)
    assert [one.code for one in made.findings if one.code == "cover-narrow" and one.part == "wall A"] == [
        "cover-narrow",
        "cover-narrow",
    ]
