"""Finishes shown as colours on the building."""

import bpy
import numpy as np
import pytest
from recording_layout import drawn_panels

from halfbat.settings.features import FINISH_CHOICES


@pytest.fixture
def view(addon):
    return addon("finish_view")


def add(building, wall, kind, **more) -> None:
    item = building.halfbat.finishes.add()
    item.wall, item.kind = wall, kind
    for key, value in more.items():
        setattr(item, key, value)


def shown(view, building) -> dict[str, np.ndarray]:
    """Refresh as the timer does, and return the corners in the world by finish."""
    bpy.context.view_layer.update()
    view.refresh()
    known = view.state().painted.get(building.session_uid)
    matrix = np.array(building.matrix_world)
    return {
        kind: corners @ matrix[:3, :3].T + matrix[:3, 3] for kind, corners in (known.corners if known else {}).items()
    }


def extent(corners) -> list[list[float]]:
    return np.stack([corners.min(axis=0), corners.max(axis=0)]).round(3).tolist()


def test_walls_and_bands_are_coloured_where_they_stand(view, box) -> None:
    add(box, "A", "render")
    add(box, "B", "ashlar", top="4 courses")
    found = shown(view, box)
    assert extent(found["render"]) == [[-2.0, 0.5, 0.0], [6.0, 0.5, 3.0]]
    assert extent(found["ashlar"])[0] == [6.0, 0.5, 0.0]
    assert extent(found["ashlar"])[1][2] == pytest.approx(0.9, abs=0.03)


def test_nothing_of_the_building_is_changed_by_it(view, box) -> None:
    own = bpy.data.materials.new("My own")
    box.data.materials.append(own)
    before = [
        list(box.data.materials),
        [tuple(vertex.co) for vertex in box.data.vertices],
        set(box.data.attributes.keys()),
    ]
    meshes = set(bpy.data.meshes)
    add(box, "A", "render")
    assert shown(view, box)
    after = [
        list(box.data.materials),
        [tuple(vertex.co) for vertex in box.data.vertices],
        set(box.data.attributes.keys()),
    ]
    assert (after, set(bpy.data.meshes)) == (before, meshes)


def test_colours_follow_finishes_mesh_and_place(view, box) -> None:
    add(box, "A", "render")
    shown(view, box)
    box.halfbat.finishes[0].kind = "ashlar"
    assert list(shown(view, box)) == ["ashlar"]
    box.data.transform(((1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 2, 0), (0, 0, 0, 1)))
    box.data.update()
    box.update_tag()
    assert np.ptp(shown(view, box)["ashlar"][:, 2]) == pytest.approx(6.0)
    box.location.x += 10.0
    assert shown(view, box)["ashlar"][:, 0].min() == pytest.approx(8.0)
    box.halfbat.finish_colours = False
    assert shown(view, box) == {}


def test_each_building_has_its_own_and_hidden_ones_are_not_drawn(view, box) -> None:
    add(box, "A", "render")
    other = box.copy()
    other.data = box.data.copy()
    bpy.context.scene.collection.objects.link(other)
    other.location.x += 20.0
    other.halfbat.finishes[0].kind = "weatherboard"
    assert list(shown(view, box)) == ["render"]
    assert list(shown(view, other)) == ["weatherboard"]
    space = next(area.spaces.active for area in bpy.data.screens[0].areas if area.type == "VIEW_3D")

    def drawn() -> set[str]:
        return {item.name for item, _ in view.shown_in(space)}

    assert drawn() == {box.name, other.name}
    other.hide_set(True)
    assert drawn() == {box.name}
    bpy.data.objects.remove(other)
    assert drawn() == {box.name}


def test_where_the_kit_is_seen_it_shows_the_finishes_itself(view, box) -> None:
    add(box, "A", "render")
    bpy.ops.halfbat.make_kit()
    shown(view, box)
    assert [item for item, _ in view.shown_in(None)] == []
    bpy.ops.object.select_all(action="DESELECT")
    bpy.context.view_layer.objects.active = box
    bpy.ops.object.mode_set(mode="EDIT")
    assert [item for item, _ in view.shown_in(None)] == [box]
    bpy.ops.object.mode_set(mode="OBJECT")
    for item in box.halfbat.collection.objects:
        item.hide_set(True)
    assert [item for item, _ in view.shown_in(None)] == [box]


def test_undo_brings_the_colours_before_back(view, box) -> None:
    bpy.ops.ed.undo_push(message="bare")
    add(box, "A", "render")
    bpy.ops.ed.undo_push(message="rendered")
    assert list(shown(view, box)) == ["render"]
    bpy.ops.ed.undo()
    assert view.state().painted == {}
    assert shown(view, bpy.data.objects["Lodge"]) == {}
    bpy.ops.ed.redo()
    assert list(shown(view, bpy.data.objects["Lodge"])) == ["render"]


def test_in_edit_mode_colours_come_with_the_finish_just_set(view, box) -> None:
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.mesh.select_all(action="SELECT")
    bpy.ops.halfbat.set_finish(kind="render")
    found = shown(view, box)
    bpy.ops.object.mode_set(mode="OBJECT")
    assert extent(found["render"]) == [[-2.0, 0.5, 0.0], [6.0, 5.5, 3.0]]
    assert view.draw_finishes() is None  # there is no view here to draw in


def test_a_finish_that_cannot_be_is_told_in_the_legend_and_the_others_show(addon, view, box) -> None:
    add(box, "Z", "render")
    add(box, "B", "ashlar", bottom="1 m", top="2 m")
    assert list(shown(view, box)) == ["ashlar"]
    record = drawn_panels(addon("registration"))["HALFBAT_PT_finish_colours"]
    assert "Ashlar: B from 1 m to 2 m" in record["labels"]
    assert "no wall 'Z'" in " ".join(record["labels"])
    assert ("HALFBAT_AP_preferences", "ashlar") in record["props"]


def test_every_finish_has_a_colour_of_its_own_that_can_be_chosen(addon, view) -> None:
    preferences = addon("preferences")
    usual = [preferences.colour_of(kind) for kind in FINISH_CHOICES]
    assert len(set(usual)) == len(FINISH_CHOICES)
    preferences.preferences().render = (0.1, 0.2, 0.3, 1.0)
    assert preferences.colour_of("render") == pytest.approx((0.1, 0.2, 0.3, 1.0))
