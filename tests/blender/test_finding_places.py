"""Where findings are: marked on the part wherever it stands, kept when the kit is made again, written on export."""

import json

import bpy
import numpy as np
import pytest


@pytest.fixture
def kit(box):
    """A kit whose bond is broken in the middle of two walls, which is a finding with a place."""
    box.halfbat.brick.bond = "flemish"
    bpy.ops.halfbat.make_kit()
    bpy.context.view_layer.update()
    return box


def broken(building):
    return next(index for index, item in enumerate(building.halfbat.findings) if item.code == "broken-bond")


def marked(addon):
    bpy.context.view_layer.update()
    return list(addon("finding_places").marked_places(bpy.context))


def test_nothing_is_marked_before_a_finding_is_chosen(addon, kit) -> None:
    assert marked(addon) == []


def test_the_place_is_where_the_bond_is_broken(addon, kit) -> None:
    kit.halfbat.finding_index = broken(kit)
    (place,) = marked(addon)
    finding = kit.halfbat.findings[kit.halfbat.finding_index]
    assert [item.name for item in bpy.context.selected_objects] == [finding.place_on]
    assert finding.place_on[:2] == f"W{finding.part[-1]}"
    middle = np.array(kit.matrix_world.translation)
    side = np.array(place.middle) - middle
    assert side[2] == pytest.approx(0.0, abs=0.02)  # over the whole height
    half = {"A": 2.5, "B": 4.0, "C": 2.5, "D": 4.0}[finding.part[-1]]
    assert sorted(np.abs(side[:2])) == pytest.approx([0.0, half], abs=0.02)  # in the face, in its middle
    heights = [corner.z for corner in place.corners]
    assert (min(heights), max(heights)) == pytest.approx((0.0, 3.0), abs=0.02)


@pytest.mark.parametrize("look", ["ASSEMBLED", "EXPLODED", "PLATES"])
def test_the_mark_goes_with_the_part(addon, kit, look) -> None:
    kit.halfbat.finding_index = broken(kit)
    kit.halfbat.look = look
    (place,) = marked(addon)
    part = kit.halfbat.collection.objects[kit.halfbat.findings[kit.halfbat.finding_index].place_on]
    bounds = [part.matrix_world @ type(place.middle)(corner) for corner in part.bound_box]
    low, high = np.min(bounds, axis=0), np.max(bounds, axis=0)
    assert (np.array(place.middle) > low - 0.05).all() and (np.array(place.middle) < high + 0.05).all()
    part.hide_set(True)
    assert marked(addon) == []


def test_it_stays_marked_and_chosen_when_the_kit_is_made_again(addon, kit) -> None:
    kit.halfbat.finding_index = broken(kit)
    words = kit.halfbat.marked
    other = next(item for item in kit.halfbat.collection.objects if item.name == "S1")
    for item in bpy.context.selected_objects:
        item.select_set(False)
    other.select_set(True)
    bpy.context.view_layer.objects.active = kit
    kit.halfbat.lid.make = False  # fewer findings may come before it
    bpy.ops.halfbat.make_kit()
    assert kit.halfbat.marked == words
    assert kit.halfbat.findings[kit.halfbat.finding_index].code == "broken-bond"
    assert [item.name for item in bpy.context.selected_objects] == ["S1"]  # nobody asked to look there
    kit.halfbat.brick.bond = "stretcher"
    bpy.ops.halfbat.make_kit()
    if "broken-bond" not in [item.code for item in kit.halfbat.findings]:
        assert kit.halfbat.marked == "" and marked(addon) == []


def test_the_mark_is_hidden_again(addon, kit) -> None:
    kit.halfbat.finding_index = broken(kit)
    assert marked(addon)
    assert bpy.ops.halfbat.hide_place() == {"FINISHED"}
    assert marked(addon) == []


def test_of_equal_words_each_is_known_apart(addon, kit) -> None:
    words = addon("properties").words_of_finding
    data = kit.halfbat
    data.findings.clear()
    for _ in range(3):
        data.findings.add().text = "same"
    told = [words(data, index) for index in range(3)]
    assert len(set(told)) == 3 and words(data, 3) == ""


def test_findings_stand_worst_first(kit) -> None:
    order = ["failure", "warning", "note"]
    ranks = [order.index(item.severity) for item in kit.halfbat.findings]
    assert ranks == sorted(ranks)


def test_a_ring_is_never_too_small_to_be_seen(addon, kit, monkeypatch) -> None:
    overlay = addon("overlay")
    kit.halfbat.finding_index = broken(kit)
    (place,) = marked(addon)
    for zoom in (1e-3, 1.0, 40.0):
        monkeypatch.setattr(overlay, "location_3d_to_region_2d", lambda _r, _v, at, zoom=zoom: at.xz * zoom)
        middle, radius = overlay.ring_of(None, None, place)
        assert radius >= overlay.LEAST_RING_PT
        assert all((corner.xz * zoom - middle).length <= radius for corner in place.corners)


def test_places_are_exported(kit, tmp_path) -> None:
    assert bpy.ops.halfbat.export_kit(directory=str(tmp_path)) == {"FINISHED"}
    (path,) = tmp_path.rglob("kit.json")
    manifest = json.loads(path.read_text("utf-8"))
    places = {finding["code"]: finding["place"] for finding in manifest["findings"]}
    assert manifest["format_version"] == 2
    assert places["broken-bond"]["of"].startswith("wall ")
    assert places["course-cut"] is None
