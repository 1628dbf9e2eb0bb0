from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest

from covered_kits import house, kit_of_box
from halfbat.booklet.corners import Role, order_round, wall_ends
from halfbat.booklet.steps import assembly_steps
from halfbat.settings import CableRunRequest, CoverRequest, FeatureRequest
from made_kits import doubled, l_shape, long_box, wired_box
from roof_solids import block, lean_to, mesh_of_solid, union
from sample_kits import sample_kit

KITS = [long_box, wired_box, l_shape, sample_kit]


@pytest.mark.parametrize("kit", KITS)
def test_every_part_is_put_in_place_in_one_step(kit):
    made = kit()
    used = Counter(part.number for step in assembly_steps(made) for part in step.uses)
    assert used == Counter(part.number for part in made.parts)


@pytest.mark.parametrize("kit", KITS)
def test_a_step_finds_in_place_what_the_steps_before_it_put_there(kit):
    there = ()
    for step in assembly_steps(kit()):
        assert step.there == there
        there += step.uses


def test_steps_name_in_words_exactly_the_parts_they_use():
    kit = long_box()
    for step in assembly_steps(kit):
        words = " ".join(step.text).replace(",", " ").replace(".", " ").split()
        named = {part.number for part in kit.parts if part.number in words}
        assert named == {part.number for part in step.uses}


def test_parts_of_kinds_yet_unknown_are_not_forgotten():
    kit = long_box()
    parts = (*kit.parts, replace(kit.parts[-1], number="D1", kind="door", name="Door"))
    steps = assembly_steps(replace(kit, parts=parts))
    (step,) = [step for step in steps if any(part.number == "D1" for part in step.uses)]
    kinds = [part.kind for step in steps for part in step.uses]
    assert kinds.index("skin") < kinds.index("door") < kinds.index("lid")
    assert "D1" in step.text[0]


def test_a_part_wanted_twice_is_said_so():
    steps = assembly_steps(doubled(long_box(), "CA1"))
    (step,) = [step for step in steps if any(part.number == "CA1" for part in step.uses)]
    assert "CA1 x2" in step.text[0]


def test_shell_then_skins_then_covers_then_lid():
    kinds = [part.kind for step in assembly_steps(long_box()) for part in step.uses]
    assert kinds == ["shell", *["skin"] * 6, *["cover"] * 2, "lid"]


@pytest.mark.parametrize("kit", [long_box, l_shape])
def test_what_lies_behind_goes_on_first(kit):
    plan = kit().plan
    order = order_round(plan)
    assert {id(wall) for wall in order} == {id(wall) for wall in plan.walls} and len(order) == len(plan.walls)
    place = {wall.wall.letter: i for i, wall in enumerate(order)}
    roles = []
    for wall in plan.walls:
        for end in wall_ends(plan, wall):
            roles.append(end.role)
            if end.role is Role.RUNS_ON:
                assert place[wall.wall.letter] < place[end.other.wall.letter]
    assert (Role.RUNS_ON in roles) == (kit is l_shape)
    assert roles.count(Role.RUNS_ON) == roles.count(Role.BUTTS)
    assert roles.count(Role.KEEPS) == roles.count(Role.STOPS)


def test_most_skins_find_a_neighbour_there():
    plan = long_box().plan
    order = [wall.wall.index for wall in order_round(plan)]
    assert all(after == (before + 1) % 4 for before, after in pairwise(order))


def test_the_words_follow_the_corner():
    kit = l_shape()
    texts = {step.title: " ".join(step.text) for step in assembly_steps(kit)}
    for wall in kit.plan.walls:
        for end in wall_ends(kit.plan, wall):
            told, other = texts[f"Skins of wall {wall.wall.letter}"], f"wall {end.other.wall.letter}"
            if end.role is Role.RUNS_ON:
                assert f"The {end.side} end runs on into the inner corner, where {other} will cover it." in told
            elif end.role is Role.BUTTS:
                assert f"The {end.side} end butts against the brick face of {other}" in told
    box = {step.title: " ".join(step.text) for step in assembly_steps(long_box())}
    assert "The left end stops behind the lip of wall A" in box["Skins of wall B"]
    assert "closes on wall A: its lip goes over the end of that wall" in box["Skins of wall D"]


def test_wire_is_cut_to_the_height_of_its_wall():
    steps = assembly_steps(wired_box())
    (text,) = [step.text[0] for step in steps if step.title == "Wire on wall A"]
    assert f"{wired_box().plan.height_mm:.1f} mm" in text


def test_downpipes_and_cable_runs_are_glued_where_they_belong():
    kit = kit_of_box(
        seam__hide="downpipe",
        seam__panel_limit_mm=60.0,
        downpipes=(CoverRequest("A", "1 m"),),
        cable_runs=(CableRunRequest("A", "7 m"),),
        features=(FeatureRequest("A", "plinth"),),
    )
    text = next(step.text for step in assembly_steps(kit) if step.title == "Covers of wall A")
    assert text[0].startswith("Glue CA1, CA2, CA3 and CA4 over the seam and where the drawing of wall A shows them")
    assert "their fronts are level" in text[1]
    assert text[2].startswith("Glue CA5 and CA6 where the drawing of wall A shows it")
    (own,) = [step.text for step in assembly_steps(kit) if step.title == "Covers of wall C"]
    assert own[0] == "Glue CC1 over the seam of wall C, foot down."


def test_a_downpipe_of_wire_is_cut_and_glued():
    kit = kit_of_box(downpipes=(CoverRequest("A", "1 m"),), downpipe__made_as="wire", seam__panel_limit_mm=90.0)
    (step,) = [step for step in assembly_steps(kit) if step.title == "Wire on wall A"]
    assert step.text == ("Cut rod or wire, 0.80 mm thick and straighten it: 1 x 30.0 mm, glued on as a downpipe.",)


def test_left_and_right_hands_are_named():
    kit = house(mesh_of_solid(union(block(0, 0, 8, 5, 4.0), lean_to(8, 1, 11, 4, 3.0, 2.0))))
    (named,) = [text for text in assembly_steps(kit)[0].text if text.startswith("Left and right hands")]
    left = next(part for part in kit.parts if any(note.startswith("The left hand") for note in part.notes))
    assert f"{left.number} and {left.mirror_of}" in named
