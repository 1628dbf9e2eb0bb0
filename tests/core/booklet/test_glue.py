from dataclasses import replace

import pytest

from halfbat.booklet.glue import cyanoacrylate_for, glue_joints
from halfbat.settings import with_value
from made_kits import l_shape, long_box, wired_box


# Making notes, section 4: gaps that grades bridge.
@pytest.mark.parametrize(
    ("gap", "grade"),
    [
        (0.0, "thin cyanoacrylate"),
        (0.05, "thin cyanoacrylate"),
        (0.12, "medium cyanoacrylate"),
        (0.25, "medium cyanoacrylate"),
        (0.4, "thick or gel cyanoacrylate"),
        (0.8, "epoxy"),
    ],
)
def test_the_grade_follows_the_gap(gap, grade):
    assert cyanoacrylate_for(gap) == grade


def joints(kit):
    return {joint.between: joint for joint in glue_joints(kit)}


def test_a_kit_has_the_joints_of_its_parts():
    assert list(joints(long_box())) == [
        "skin to shell",
        "skin to skin at corners",
        "panel to panel at seams",
        "cover to skins",
        "lid to shell",
    ]
    assert "wire to skins" in joints(wired_box()) and "cover to skins" not in joints(wired_box())
    assert "lid to shell" not in joints(l_shape())


def test_gaps_are_those_of_the_settings():
    kit = long_box()
    changed = replace(kit, settings=with_value(kit.settings, "skin", "glue_gap_mm", 0.4))
    assert joints(changed)["skin to shell"].gap == "0.40 mm"
    assert joints(changed)["skin to shell"].glue.startswith("thick or gel")


def test_large_skins_want_a_slow_glue():
    assert "slow" not in joints(long_box())["skin to shell"].glue
    assert "so a slow glue" in joints(l_shape())["skin to shell"].glue
