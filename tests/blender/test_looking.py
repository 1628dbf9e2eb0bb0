"""Looking at a kit: apart, on plates, coloured, numbered, and what a finding is about."""

from dataclasses import replace

import bpy
import numpy as np
import pytest
from mathutils import Matrix, Vector

from halfbat.drawings.tones import Tone


@pytest.fixture
def kit(box):
    bpy.ops.halfbat.make_kit()
    bpy.context.view_layer.update()
    return box


def places(building) -> dict[str, np.ndarray]:
    bpy.context.view_layer.update()
    return {item.name: np.array(item.matrix_world) for item in building.halfbat.collection.objects}


def slide(building, share: float, slider: str = "halfbat_explode") -> None:
    building[slider] = share
    building.update_tag()


def files(folder) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_slider_draws_parts_apart_and_together_again(kit) -> None:
    there = places(kit)
    kit.halfbat.look = "EXPLODED"
    apart = places(kit)
    moved = {name: apart[name][:3, 3] - there[name][:3, 3] for name in there}
    assert not moved["S1"].any()
    assert moved["L1"][2] > 1.0
    assert moved["WA1"][1] < -0.5 and moved["WC1"][1] > 0.5
    slide(kit, 0.5)
    half = places(kit)
    assert half["L1"][2, 3] - there["L1"][2, 3] == pytest.approx(moved["L1"][2] / 2, abs=1e-4)
    kit.halfbat.look = "ASSEMBLED"
    assert kit["halfbat_explode"] == 0.0
    assert all(np.allclose(places(kit)[name], there[name], atol=1e-5) for name in there)
    kit.halfbat.look = "EXPLODED"
    assert kit["halfbat_explode"] == pytest.approx(0.5)
    slide(kit, 0.0)
    assert kit.halfbat.look == "ASSEMBLED"
    assert all(np.allclose(places(kit)[name], there[name], atol=1e-5) for name in there)


def test_on_their_plates_parts_lie_as_they_are_printed(kit) -> None:
    there = places(kit)
    kit.halfbat.look = "PLATES"
    lying = places(kit)
    for name, matrix in lying.items():
        turned = matrix[:3, :3] / np.linalg.norm(matrix[:3, 0])
        assert turned[:, 2] == pytest.approx([0, 0, 1], abs=1e-4), name
        assert matrix[2, 3] == pytest.approx(0.0, abs=1e-3)
        assert matrix[1, 3] < 0.5
    kit.halfbat.look = "ASSEMBLED"
    assert all(np.allclose(places(kit)[name], there[name], atol=1e-4) for name in there)


@pytest.mark.parametrize("look", ["EXPLODED", "PLATES"])
def test_what_is_exported_does_not_depend_on_how_it_is_looked_at(kit, tmp_path, look) -> None:
    bpy.ops.mesh.primitive_cube_add(size=0.5, location=(2.0, 0.5, 1.0))
    cutter = bpy.context.active_object
    for collection in list(cutter.users_collection):
        collection.objects.unlink(cutter)
    kit.halfbat.cutters.objects.link(cutter)
    bpy.context.view_layer.objects.active = kit
    bpy.context.view_layer.update()
    bpy.ops.halfbat.export_kit(directory=str(tmp_path / "a"))
    kit.halfbat.look = look
    seen = places(kit)
    bpy.ops.halfbat.export_kit(directory=str(tmp_path / "b"))
    assert files(tmp_path / "a") == files(tmp_path / "b")
    assert all(np.allclose(places(kit)[name], seen[name], atol=1e-5) for name in seen)


@pytest.mark.parametrize("look", ["EXPLODED", "PLATES"])
def test_made_again_it_is_looked_at_as_before(kit, look) -> None:
    kit.halfbat.look = look
    before = places(kit)
    bpy.ops.halfbat.make_kit()
    after = places(kit)
    assert all(np.allclose(after[name], before[name], atol=1e-4) for name in before)
    kit.halfbat.look = "ASSEMBLED"
    low = min(matrix[1, 3] for matrix in places(kit).values())
    assert low > -1.0


def test_bricks_have_tones_and_mortar_between(kit) -> None:
    skin = kit.halfbat.collection.objects["WA1"]
    names = [material.name for material in skin.data.materials]
    assert names[Tone.MORTAR] == "Halfbat mortar" and names[Tone.BRICK] == "Halfbat brick 1"
    index = np.empty(len(skin.data.polygons), dtype=np.int32)
    skin.data.polygons.foreach_get("material_index", index)
    assert {Tone.MORTAR, Tone.BRICK, Tone.BRICK + 3} <= set(index.tolist())
    shell = kit.halfbat.collection.objects["S1"]
    assert [material.name for material in shell.data.materials] == ["Halfbat shell"]


def test_a_material_of_ones_own_covers_the_whole_part_and_stays(kit) -> None:
    skin = kit.halfbat.collection.objects["WA1"]
    own = bpy.data.materials.new("Engineering blue")
    skin.data.materials.clear()
    skin.data.materials.append(own)
    bpy.ops.halfbat.make_kit()
    index = np.empty(len(skin.data.polygons), dtype=np.int32)
    skin.data.polygons.foreach_get("material_index", index)
    assert list(skin.data.materials) == [own]
    assert not index.any()


class View:
    """What the numbers ask of a view, looking along +y from the front."""

    is_perspective = False
    view_matrix = Matrix(((1, 0, 0, 0), (0, 0, 1, 0), (0, -1, 0, -50), (0, 0, 0, 1)))


def test_numbers_are_written_on_what_faces_the_viewer(addon, kit, monkeypatch) -> None:
    overlay = addon("overlay")
    monkeypatch.setattr(overlay, "location_3d_to_region_2d", lambda _region, _view, place: place.xz)
    assert overlay.numbers_seen(View, None) == []
    kit.halfbat.numbers = True
    seen = {number for number, _, _ in overlay.numbers_seen(View, None)}
    assert {"WA1", "L1"} <= seen and not {"WC1", "S1"} & seen
    kit.halfbat.look = "EXPLODED"
    assert "S1" in {number for number, _, _ in overlay.numbers_seen(View, None)}
    kit.halfbat.collection.objects["WA1"].hide_set(True)
    assert "WA1" not in {number for number, _, _ in overlay.numbers_seen(View, None)}


def test_the_nearest_number_is_written_where_several_would_cover_each_other(addon, kit, monkeypatch) -> None:
    overlay = addon("overlay")
    monkeypatch.setattr(overlay, "location_3d_to_region_2d", lambda _region, _view, place: place.xz)
    kit.halfbat.numbers, kit.halfbat.look = True, "EXPLODED"
    bpy.context.view_layer.update()
    order = [number for number, _, _ in overlay.numbers_seen(View, None)]
    assert order.index("WA1") < order.index("S1")  # the front stands before the shell
    label = overlay.Label("A", 0.0, 0.0, 20.0, 10.0)
    labels = [label, replace(label, x=19.0), replace(label, x=39.0), replace(label, y=10.0), replace(label, y=5.0)]
    assert overlay.clear_of_each_other(labels) == [label, labels[2], labels[3]]
    assert overlay.clear_of_each_other(labels[1:3]) == labels[1:3]


def test_the_outlines_of_plates_hold_their_parts(addon, kit) -> None:
    overlay = addon("overlay")
    assert list(overlay.plates_seen()) == []
    kit.location.x, kit.halfbat.look = 7.0, "PLATES"
    bpy.context.view_layer.update()
    seen = dict(overlay.plates_seen())
    assert {"resin-1", "filament-1"} <= set(seen)
    boxes = [(np.min(corners, axis=0), np.max(corners, axis=0)) for corners in seen.values()]
    for item in kit.halfbat.collection.objects:
        middle = np.mean([item.matrix_world @ Vector(corner) for corner in item.bound_box], axis=0)
        assert any((middle[:2] > low[:2]).all() and (middle[:2] < high[:2]).all() for low, high in boxes), item.name


def test_a_part_that_is_as_it_was_is_not_coloured_again(addon, kit, monkeypatch) -> None:
    looking, making = addon("looking"), addon("making")
    coloured: list[str] = []
    colour = looking._colour
    monkeypatch.setattr(looking, "_colour", lambda item, tones: (coloured.append(item.name), colour(item, tones)))
    order = making.take_order(kit, bpy.context)
    making.show(kit, bpy.context, order, order.make(checked=False), only_changed=True)
    assert coloured == []
    kit.halfbat.collection.objects["S1"].data.materials.clear()
    making.show(kit, bpy.context, order, order.make(checked=False), only_changed=True)
    assert coloured == ["S1"]


def test_a_label_stays_in_the_view(addon) -> None:
    label = addon("overlay").Label("A", -5.0, 300.0, 40.0, 10.0)
    assert (label.within(100.0, 80.0).x, label.within(100.0, 80.0).y) == (20.0, 75.0)


def test_choosing_a_finding_selects_what_it_is_about(addon, kit) -> None:
    parts = addon("operators.parts")
    finding = kit.halfbat.findings.add()
    for about, names in (("WA1", ["WA1"]), ("wall B", ["WB1"]), ("", [])):
        finding.part = about
        assert [item.name for item in parts.concerned(kit, finding)] == names
    finding.part, finding.place_on = "wall D", "WD1"
    assert [item.name for item in parts.concerned(kit, finding)] == ["WD1"]
    finding.part, finding.place_on = "WC1", ""
    kit.halfbat.finding_index = len(kit.halfbat.findings) - 1
    assert [item.name for item in bpy.context.selected_objects] == ["WC1"]
    assert bpy.context.active_object.name == "WC1"
