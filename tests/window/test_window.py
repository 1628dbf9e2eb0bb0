def test_the_whole_job_in_a_window(blender) -> None:
    assert blender("whole", wait=60)["parts"] > 6


def test_a_kit_is_made_while_the_window_stays_alive(blender) -> None:
    assert blender("modal", wait=25)["parts"] == 6


def test_esc_gives_up_and_leaves_the_scene_as_it_was(blender) -> None:
    result = blender("escape", "mousemove 600 500", "key Escape", wait=12)
    assert result["running before"] == ["HALFBAT_OT_make_kit"]
    assert result["running after"] == []
    assert (result["made"], result["objects"]) == (False, 3)
