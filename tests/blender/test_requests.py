import bpy
import pytest

from halfbat.settings import check_settings
from halfbat.settings.features import FEATURE_CHOICES, FINISH_CHOICES

LISTS = {
    "features": "feature",
    "finishes": "finish",
    "no_seams": "stretch_without_seams",
}


def operator(verb: str, noun: str):
    return getattr(bpy.ops.halfbat, f"{verb}_{noun}")


@pytest.mark.parametrize(("name", "noun"), LISTS.items())
def test_entries_are_added_copied_moved_and_removed(plain_box, name, noun) -> None:
    data = plain_box.halfbat
    stored = getattr(data, name)
    for wall in "ABC":
        data.walls_index = "ABCD".index(wall)
        assert operator("add", noun)() == {"FINISHED"}
    assert [item.wall for item in stored] == ["A", "B", "C"]
    assert getattr(data, f"{name}_index") == 2
    setattr(data, f"{name}_index", 0)
    operator("duplicate", noun)()
    assert [item.wall for item in stored] == ["A", "A", "B", "C"]
    assert getattr(data, f"{name}_index") == 1
    operator("move", noun)(direction="DOWN")
    assert [item.wall for item in stored] == ["A", "B", "A", "C"]
    operator("move", noun)(direction="UP")
    operator("move", noun)(direction="UP")
    assert operator("move", noun)(direction="UP") == {"CANCELLED"}
    operator("remove", noun)()
    assert [item.wall for item in stored] == ["A", "B", "C"]
    setattr(data, f"{name}_index", 2)
    operator("remove", noun)()
    assert getattr(data, f"{name}_index") == 1


@pytest.mark.parametrize("noun", LISTS.values())
def test_what_cannot_be_done_to_an_empty_list_says_why(plain_box, noun) -> None:
    for verb in ("remove", "duplicate"):
        with pytest.raises(RuntimeError, match="add one"):
            operator(verb, noun)()
    operator("add", noun)()
    with pytest.raises(RuntimeError, match="only one"):
        operator("move", noun)(direction="UP")


def test_a_new_entry_of_any_kind_is_one_the_core_allows(addon, plain_box) -> None:
    for kind in FEATURE_CHOICES:
        bpy.ops.halfbat.add_feature(kind=kind)
    for kind in FINISH_CHOICES:
        bpy.ops.halfbat.add_finish(kind=kind)
    bpy.ops.halfbat.add_stretch_without_seams()
    settings = addon("settings_io").read_settings(plain_box)
    check_settings(settings)
    assert [feature.kind for feature in settings.features] == list(FEATURE_CHOICES)
    assert [finish.kind for finish in settings.finishes] == list(FINISH_CHOICES)
    assert (settings.no_seams[0].start, settings.no_seams[0].end) == ("0 m", "1 m")


def test_a_copy_is_equal_in_every_field(addon, plain_box) -> None:
    bpy.ops.halfbat.add_feature(kind="plinth")
    feature = plain_box.halfbat.features[0]
    feature.height, feature.top, feature.start = "5 courses", "square", "1 m"
    bpy.ops.halfbat.duplicate_feature()
    one, other = addon("settings_io").read_settings(plain_box).features
    assert one == other


def test_the_walls_of_the_building_are_offered_while_a_letter_is_typed(addon, plain_box) -> None:
    bpy.ops.halfbat.add_feature(kind="plinth")
    bpy.ops.halfbat.add_stretch_without_seams()
    data = plain_box.halfbat
    offer = addon("setting_properties").offer_walls
    assert offer(every=True)(data.features[0], bpy.context, "")[:2] == [("all", "every wall"), ("A", "8.00 m")]
    assert [letter for letter, _ in offer(every=False)(data.no_seams[0], bpy.context, "")] == ["A", "B", "C", "D"]
    assert offer(every=True)(data.features[0], bpy.context, "b") == [("B", "5.00 m")]


def test_walls_are_read_when_an_object_becomes_a_building_and_again_when_asked(addon, plain_box) -> None:
    data = plain_box.halfbat
    assert [(wall.name, round(wall.length_m, 3)) for wall in data.walls] == [("A", 8), ("B", 5), ("C", 8), ("D", 5)]
    walls = addon("walls")
    assert not walls.walls_outdated(plain_box)
    plain_box.scale.x = 9.0
    bpy.context.view_layer.update()
    assert walls.walls_outdated(plain_box)
    bpy.ops.halfbat.read_walls()
    assert data.walls[0].length_m == pytest.approx(9.0)
    assert not walls.walls_outdated(plain_box)
    data.walls_index = 3
    assert walls.chosen_wall(plain_box) == "D"


def test_a_mesh_without_walls_becomes_a_building_that_has_none_yet(addon) -> None:
    bpy.ops.mesh.primitive_plane_add()
    assert bpy.ops.halfbat.use_as_building() == {"FINISHED"}
    assert len(bpy.context.active_object.halfbat.walls) == 0
    with pytest.raises(RuntimeError):
        bpy.ops.halfbat.read_walls()


def test_features_and_finishes_are_made(box) -> None:
    bpy.ops.halfbat.add_feature(kind="pier")
    box.halfbat.features[0].at = "2 m"
    bpy.ops.halfbat.add_finish(kind="render")
    box.halfbat.finishes[0].wall = "C"
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    box.halfbat.features[0].at = "200 m"
    with pytest.raises(RuntimeError, match="feature 1"):
        bpy.ops.halfbat.make_kit()
