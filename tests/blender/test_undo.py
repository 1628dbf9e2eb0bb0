"""Each operator that changes something is undone and redone as a whole."""

from collections.abc import Callable
from pathlib import Path

import bpy
import pytest

SUBSTATION = Path(__file__).parents[2] / "examples/substation/substation.toml"


def state() -> dict[str, object]:
    """Everything the operators change."""
    found: dict[str, object] = {"active": getattr(bpy.context.view_layer.objects.active, "name", "")}
    for item in bpy.data.objects:
        data = item.halfbat
        lists = {
            name: [
                tuple(str(getattr(entry, known.identifier)) for known in entry.bl_rna.properties)
                for entry in getattr(data, name)
            ]
            for name in ("features", "finishes", "no_seams", "seams", "walls")
        }
        groups = {
            group: [
                str(getattr(getattr(data, group), key)) for key in getattr(data, group).bl_rna.properties.keys()[1:]
            ]
            for group in ("kit", "brick", "roof", "resin", "filament")
        }
        parts = sorted(part.name for part in data.collection.objects) if data.collection else []
        found[item.name] = (data.is_building, tuple(item.location), lists, groups, parts)
    return found


def cube() -> None:
    bpy.ops.mesh.primitive_cube_add(size=1.0, location=(4.0, 2.5, 1.5))
    item = bpy.context.active_object
    item.name, item.scale = "Lodge", (8.0, 5.0, 3.0)
    bpy.context.view_layer.update()


def building() -> None:
    cube()
    bpy.ops.halfbat.use_as_building()
    brick = bpy.context.active_object.halfbat.brick
    brick.format = "custom"
    brick.custom_length_mm, brick.custom_width_mm, brick.custom_height_mm = 440.0, 215.0, 215.0
    brick.custom_gauge_mm = 225.0


def two_features() -> None:
    building()
    bpy.ops.halfbat.add_feature(kind="plinth")
    bpy.ops.halfbat.add_feature(kind="quoins")


def kit() -> None:
    building()
    bpy.ops.halfbat.make_kit()


def preset() -> str:
    return str(next((Path(bpy.utils.user_resource("EXTENSIONS"))).rglob("shipped_presets/roof/Pantiles*.toml")))


CASES: dict[str, tuple[Callable[[], None], Callable[[], object]]] = {
    "use_as_building": (cube, bpy.ops.halfbat.use_as_building),
    "forget_building": (building, bpy.ops.halfbat.forget_building),
    "add_example_building": (cube, bpy.ops.halfbat.add_example_building),
    "load_kit_file": (cube, lambda: bpy.ops.halfbat.load_kit_file(filepath=str(SUBSTATION))),
    "load_kit_file onto": (building, lambda: bpy.ops.halfbat.load_kit_file(filepath=str(SUBSTATION), onto="ACTIVE")),
    "load_preset": (building, lambda: bpy.ops.halfbat.load_preset(filepath=preset(), section="roof")),
    "add_feature": (building, lambda: bpy.ops.halfbat.add_feature(kind="pier")),
    "add_finish": (building, lambda: bpy.ops.halfbat.add_finish(kind="render")),
    "add_stretch_without_seams": (building, bpy.ops.halfbat.add_stretch_without_seams),
    "remove_feature": (two_features, bpy.ops.halfbat.remove_feature),
    "duplicate_feature": (two_features, bpy.ops.halfbat.duplicate_feature),
    "move_feature": (two_features, lambda: bpy.ops.halfbat.move_feature(direction="UP")),
    "make_kit": (building, bpy.ops.halfbat.make_kit),
    "remove_kit": (kit, bpy.ops.halfbat.remove_kit),
    "select_part": (kit, lambda: bpy.ops.halfbat.select_part(number="WB1")),
}


@pytest.mark.parametrize("name", CASES)
def test_an_operator_is_undone_and_redone_as_a_whole(addon, name) -> None:
    prepare, act = CASES[name]
    prepare()
    bpy.ops.ed.undo_push(message="before")
    before = state()
    assert act() == {"FINISHED"}
    bpy.ops.ed.undo_push(message="after")  # in a window Blender does so itself, after each operator that says UNDO
    after = state()
    assert after != before
    bpy.ops.ed.undo()
    assert state() == before
    bpy.ops.ed.redo()
    assert state() == after


def test_every_operator_that_changes_the_file_says_so(addon) -> None:
    only_files_and_views = {
        "export_kit",
        "export_coupon",
        "save_kit_file",
        "save_process_file",
        "keep_preset",
        "look_at_wall",
        "view_kit",
        "watch_live",
    }
    for cls in addon("registration").OPERATORS:
        verb = cls.bl_idname.removeprefix("halfbat.")
        assert ("UNDO" in cls.bl_options) == (verb not in only_files_and_views), verb
