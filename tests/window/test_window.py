import pytest


def test_the_whole_job_in_a_window(blender) -> None:
    assert blender("whole", wait=60)["parts"] > 6


def test_a_kit_is_made_while_the_window_stays_alive(blender) -> None:
    assert blender("modal", wait=25)["parts"] == 6


def test_esc_gives_up_and_leaves_the_scene_as_it_was(blender) -> None:
    result = blender("escape", "mousemove 600 500", "key Escape", wait=12)
    assert result["running before"] == ["HALFBAT_OT_make_kit"]
    assert result["running after"] == []
    assert (result["made"], result["objects"]) == (False, 3)


def test_without_a_building_the_first_steps_are_shown(blender) -> None:
    assert blender("first_steps", wait=12)["drawn"] == ["HALFBAT_PT_first_steps"]


def test_every_panel_draws_itself_opened(blender) -> None:
    result = blender("panels", wait=18, size="1600x3400")
    needs_a_kit = {"HALFBAT_PT_findings", "HALFBAT_PT_look", "HALFBAT_PT_parts"}
    assert set(result["all"]) - set(result["drawn"]) <= needs_a_kit | {"HALFBAT_PT_first_steps"}


def test_the_view_turns_to_a_wall(blender) -> None:
    result = blender("wall", wait=12)
    assert result["done"] == ["FINISHED"]
    assert result["toward"] == pytest.approx([-1.0, 0.0, 0.0], abs=1e-5)


def test_the_presets_are_offered(blender) -> None:
    assert "HALFBAT_PT_brick_presets" in blender("presets", "mousemove 500 500", wait=12)["drawn"]


def test_undo_takes_back_what_a_button_did(blender) -> None:
    assert blender("undo", wait=6)["counts"] == [3, 4, 3, 4]


def test_a_kit_file_is_saved_through_the_dialog(blender) -> None:
    result = blender("dialog", "sleep 4", "key Return", wait=12)
    assert result["files"] == ["Gate lodge.obj", "Gate lodge.toml"]


def test_a_window_is_put_on_a_wall_and_dragged_while_the_kit_keeps_up(blender) -> None:
    slide = ("mousemove 420 600", "sleep 1", "mousemove 470 600", "sleep 1", "click 1", "sleep 4")
    drag = ("key g", "sleep 1", "key x", "mousemove 520 600", "sleep 1", "mousemove 600 600", "sleep 1", "click 1")
    result = blender("on_walls", "sleep 30", *slide, *drag, "sleep 20", wait=5)
    assert len(result["seen"]) >= 4  # it moved under the pointer, and again when it was dragged
    assert result["inserts"] == ["JA1"]
    assert result["word"] == ""
    assert "HALFBAT_OT_place_on_wall" not in result["running"]


def test_a_kit_drawn_apart_with_its_numbers(blender) -> None:
    assert blender("apart", wait=25)["lid"] > 1.0


@pytest.mark.parametrize("scene", ["finishes", "finishes_light", "finishes_edit"])
def test_finishes_are_drawn_as_colours_over_the_building(blender, scene) -> None:
    result = blender(scene, wait=14)
    assert set(result["drawn"]) == {"weatherboard", "render", "coursed rubble"}
    assert all(count > 0 and handed_over for count, handed_over in result["drawn"].values())


@pytest.mark.parametrize("scene", ["finding", "finding_apart", "finding_on_plates"])
def test_a_finding_is_marked_where_its_part_stands(blender, scene) -> None:
    result = blender(scene, wait=40)
    assert result["selected"] == ["WA1"]
    assert result["away"] < 1e-4
    assert result["distance"] < 60 * result["radius"]


def test_a_cable_run_is_bent_in_edit_mode_and_the_kit_follows(blender) -> None:
    result = blender("cable", wait=60)
    assert [point.rsplit(", ", 1)[1] for point in result["path"].split("; ")] == [
        "foot",
        "17 courses",
        "17 courses",
        "top",
    ]
    assert (result["trouble"], result["word"]) == ("", "")
    assert {"WA1", "WA2", "CA1"} <= set(result["parts"])
    assert result["held"] == [4, ["NODES"], 0.0]
