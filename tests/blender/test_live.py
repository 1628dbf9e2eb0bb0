"""Kits that keep themselves up to date. There is no window here, so its timer is turned by hand."""

import time

import bpy
import numpy as np
import pytest


@pytest.fixture
def live(addon, box):
    bpy.context.scene.cursor.location = (1.0, 0.3, 1.0)
    bpy.ops.halfbat.add_seam()
    bpy.context.view_layer.objects.active = box
    bpy.ops.halfbat.make_kit()
    box.halfbat.live = True
    bpy.context.view_layer.update()
    return addon("live")


def turn(live, until=lambda: False, longest=2000) -> None:
    """Let the timer come round until it has nothing more to do."""
    for _ in range(longest):
        if live.tick() is None or until():
            return
        time.sleep(0.01)
    pytest.fail("it never came to an end")


def meshes(box) -> dict[str, bytes]:
    found = {}
    for item in box.halfbat.collection.objects:
        flat = np.empty(3 * len(item.data.vertices), dtype=np.float32)
        item.data.vertices.foreach_get("co", flat)
        found[item.name] = flat.tobytes() + np.array(item.matrix_world, dtype=np.float32).tobytes()
    return found


def move_seam(by: float) -> bpy.types.Object:
    (seam,) = [item for item in bpy.data.objects if item.halfbat_placed.kind == "seams"]
    seam.location.x += by
    bpy.context.view_layer.update()
    return seam


def test_a_moved_seam_makes_its_wall_again_and_no_other(live, box) -> None:
    before = meshes(box)
    marked = box.halfbat.collection.objects["WB1"].data
    marked["still here"] = True
    move_seam(1.0)
    turn(live)
    after = meshes(box)
    assert {name for name in after if after[name] != before.get(name)} == {"WA1", "WA2", "CA1"}
    assert box.halfbat.collection.objects["WB1"].data.get("still here")
    assert box.halfbat.live_word == ""


def test_it_is_the_kit_that_the_button_makes(live, box) -> None:
    move_seam(1.0)
    box.halfbat.brick.bond = "english"
    turn(live)
    kept, findings = meshes(box), [finding.text for finding in box.halfbat.findings]
    bpy.ops.halfbat.make_kit()
    assert meshes(box) == kept
    assert [finding.text for finding in box.halfbat.findings] == findings
    assert findings


def test_parts_are_shown_a_few_at_a_time(live, box, monkeypatch) -> None:
    monkeypatch.setattr(live, "AT_ONCE_S", 0.0)
    before, most = meshes(box), 0
    box.halfbat.brick.bond = "english"
    while live.tick() is not None:
        after = meshes(box)
        most = max(most, sum(after[name] != before.get(name) for name in after))
        before = after
        time.sleep(0.01)
    assert most == 1
    bpy.ops.halfbat.make_kit()
    assert meshes(box) == before


def test_where_nothing_changed_nothing_is_begun(live, box) -> None:
    turn(live)
    assert live.tick() is None
    box.select_set(True)
    bpy.context.view_layer.update()
    assert live.tick() is None
    assert live.state().job is None


def test_a_new_change_stops_what_was_begun(live, box) -> None:
    move_seam(1.0)
    assert live.tick() is not None
    first = live.state().job
    move_seam(0.5)
    live.tick()
    assert first.stopping
    turn(live)
    assert not first.running
    cover = box.halfbat.collection.objects["CA1"]
    seam = move_seam(0.0)
    assert cover.matrix_world.translation.x == pytest.approx(seam.matrix_world.translation.x, abs=0.02)


def test_what_is_given_up_by_hand_waits_for_the_next_change(live, box) -> None:
    before = meshes(box)
    move_seam(1.0)
    live.tick()
    live.give_up(by_hand=True)
    turn(live)
    assert meshes(box) == before
    move_seam(0.5)
    turn(live)
    assert meshes(box) != before


def test_what_cannot_be_made_is_said_and_leaves_the_kit(live, box) -> None:
    before = meshes(box)
    box.halfbat.kit.scale = "enormous"
    bpy.context.view_layer.update()
    turn(live)
    assert "enormous" in box.halfbat.live_word
    assert meshes(box) == before
    box.halfbat.kit.scale = "1:148"
    turn(live)
    assert box.halfbat.live_word == ""


def test_a_kit_that_takes_too_long_is_no_longer_kept_up(live, box, monkeypatch) -> None:
    monkeypatch.setattr(live, "LONGEST_S", -1.0)
    move_seam(1.0)
    turn(live)
    assert not box.halfbat.live
    assert "Switched off" in box.halfbat.live_word


def test_switched_off_it_leaves_everything_as_it_is(live, box) -> None:
    box.halfbat.live = False
    before = meshes(box)
    move_seam(1.0)
    turn(live)
    assert meshes(box) == before


def test_a_deleted_seam_goes_from_the_kit(live, box) -> None:
    bpy.data.objects.remove(move_seam(0.0))
    bpy.context.view_layer.update()
    turn(live)
    assert not [name for name in meshes(box) if name.startswith("C")]


def test_another_file_and_taking_out_the_extension_stop_it(addon, live, box) -> None:
    move_seam(1.0)
    live.tick()
    job = live.state().job
    bpy.ops.wm.read_homefile(use_empty=True)
    assert not job.running
    registration = addon("registration")
    registration.unregister()
    try:
        assert not [name for name in bpy.app.driver_namespace if name.startswith("halfbat")]
        assert not bpy.app.timers.is_registered(live.tick)
        assert not bpy.app.timers.is_registered(addon("watching").catch_up)
    finally:
        registration.register()


def test_export_finds_the_parts_on_the_shelf(addon, live, box, tmp_path) -> None:
    shelf = live.shelf_of(box)
    bpy.ops.halfbat.make_kit()
    bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    assert len(shelf)
    order = addon("making").take_order(box, bpy.context)
    order.make(shelf=shelf)
    assert (tmp_path / "Lodge" / "kit.json").is_file()
