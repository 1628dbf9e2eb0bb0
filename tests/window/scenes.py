"""What is done in the window, run by Blender's own Python."""

import json
import sys
import traceback
from dataclasses import replace
from importlib import import_module
from pathlib import Path

import bpy
import look
import whole_job
from mathutils import Vector
from recording_layout import panels_of_tab

LONG_WAIT_S = 8.0


def play(name: str, folder: str) -> None:
    """Do a scene; what goes wrong is written down as its result."""
    try:
        SCENES[name](Path(folder))
    except BaseException:
        tell(Path(folder), {"error": traceback.format_exc()})
        raise


def tell(folder: Path, result: dict[str, object]) -> None:
    """Write down how a scene came out."""
    (folder / "result.json").write_text(json.dumps(result), encoding="utf-8")
    sys.stdout.flush()


def whole(folder: Path) -> None:
    """The whole job, then a look at the kit with the sidebar open."""

    def do() -> None:
        try:
            whole_job.whole_job(folder)
        except BaseException:
            tell(folder, {"error": traceback.format_exc()})
            raise
        look.show_tab()
        look.later(look.frame_all)
        tell(folder, {"parts": len(bpy.data.objects["Substation"].halfbat.collection.objects)})

    look.later(do)  # so that the time it takes is the picture's to wait for


def start_modal(sides: tuple[float, float, float]) -> bpy.types.Object:
    """Make a kit of the default cube as the button does it."""
    cube = bpy.data.objects["Cube"]
    cube.scale = [side / 2 for side in sides]
    with whole_job.as_maker():
        bpy.context.view_layer.update()
        bpy.ops.halfbat.use_as_building()
        assert bpy.ops.halfbat.make_kit("INVOKE_DEFAULT") == {"RUNNING_MODAL"}
    return cube


def modal(folder: Path) -> None:
    """A kit made while the window stays alive."""
    look.show_tab()
    cube = start_modal((8.0, 5.0, 3.0))
    tell(folder, {"parts": -1})

    def done() -> float | None:
        if cube.halfbat.collection is None:
            return 0.2
        tell(folder, {"parts": len(cube.halfbat.collection.objects)})
        look.frame_all()
        return None

    look.later(done)


def escape(folder: Path) -> None:
    """A kit of very many bricks, given up by the Esc key that the test presses."""
    cube = start_modal((90.0, 60.0, 30.0))
    window = look.view3d()[0]
    before = [operator.bl_idname for operator in window.modal_operators]

    def still() -> None:
        after = [operator.bl_idname for operator in window.modal_operators]
        made = cube.halfbat.collection is not None
        tell(folder, {"running before": before, "running after": after, "made": made, "objects": len(bpy.data.objects)})

    look.later(still, LONG_WAIT_S)


def example() -> bpy.types.Object:
    """Add the example building as the only thing in the scene, with something in every list."""
    for item in list(bpy.data.objects):
        bpy.data.objects.remove(item)
    with whole_job.as_maker():
        bpy.ops.halfbat.add_example_building()
        for kind in ("quoins", "air brick"):
            bpy.ops.halfbat.add_feature(kind=kind)
        bpy.ops.halfbat.add_finish(kind="render")
        bpy.ops.halfbat.add_stretch_without_seams()
    return bpy.data.objects["Gate lodge"]


def first_steps(folder: Path) -> None:
    """What is shown while there is no building."""
    bpy.context.view_layer.objects.active = None
    drawn = look.drawn_since_now()
    look.show_tab()
    look.later(lambda: tell(folder, {"drawn": sorted(set(drawn))}), LONG_WAIT_S)


def panels(folder: Path) -> None:
    """Every panel opened, with something in every list; first a roof light is chosen, then an opening."""
    look.open_all_panels()
    drawn = look.drawn_since_now()
    building = example()
    io, placed, following = (
        import_module(f"{look.EXTENSION}.{name}") for name in ("settings_io", "placed", "following")
    )
    light = import_module("halfbat.settings").RoofLightRequest("A", "2 m", up="1 m", width="0.6 m", height="0.9 m")
    io.write_settings(building, replace(io.read_settings(building), roof_lights=(light,)))
    following.put_all(building, bpy.context.evaluated_depsgraph_get(), bpy.context.scene)
    bpy.context.scene.cursor.location = (3.0, 4.04, 1.2)
    with whole_job.as_maker():
        bpy.ops.halfbat.add_opening()
    (opening,) = placed.placed_on(building, "openings")
    (bpy.context.view_layer.objects.active,) = placed.placed_on(building, "roof_lights")
    look.show_tab()
    look.later(look.frame_all)

    def choose() -> None:
        bpy.context.view_layer.objects.active = opening
        look.region("UI").tag_redraw()

    look.later(choose, LONG_WAIT_S)
    shown = panels_of_tab(import_module(f"{look.EXTENSION}.registration"))
    look.later(
        lambda: tell(folder, {"drawn": sorted(set(drawn)), "all": [cls.__name__ for cls in shown]}),
        LONG_WAIT_S + 2 * look.AFTER_A_DRAW_S,
    )


def wall(folder: Path) -> None:
    """Look at a wall, as the eye beside it in the list does."""
    building = example()
    look.show_tab()

    def look_at() -> None:
        window, area = look.view3d()
        with bpy.context.temp_override(window=window, area=area, region=look.region("WINDOW")):
            done = bpy.ops.halfbat.look_at_wall(wall="B")
        toward = area.spaces.active.region_3d.view_rotation @ Vector((0.0, 0.0, -1.0))
        tell(folder, {"done": list(done), "toward": list(toward), "active": building.name})

    look.later(look_at, 4 * look.AFTER_A_DRAW_S)


def presets(folder: Path) -> None:
    """The menu of presets, opened under the mouse."""
    example()
    drawn = look.drawn_since_now()

    def open_menu() -> None:
        window, area = look.view3d()
        with bpy.context.temp_override(window=window, area=area, region=look.region("WINDOW")):
            bpy.ops.wm.call_panel(name="HALFBAT_PT_brick_presets", keep_open=True)
        look.later(lambda: tell(folder, {"drawn": sorted(set(drawn))}))

    look.later(open_menu, 4 * look.AFTER_A_DRAW_S)  # after the mouse is where the menu is to open


def undo(folder: Path) -> None:
    """Add a feature with the button, and take it back with Blender's own undo."""
    example()
    counts: list[int] = []

    def count() -> None:
        counts.append(len(bpy.data.objects["Gate lodge"].halfbat.features))

    def act() -> None:
        with whole_job.as_maker():
            bpy.ops.ed.undo_push(message="before")
            count()
            bpy.ops.halfbat.add_feature("INVOKE_DEFAULT", True, kind="pier")
            count()
            bpy.ops.ed.undo()
            count()
            bpy.ops.ed.redo()
            count()
        tell(folder, {"counts": counts})

    look.later(act)


def dialog(folder: Path) -> None:
    """Save the kit file through the dialog; the test presses Return in it."""
    example()
    with whole_job.as_maker():
        bpy.ops.wm.save_as_mainfile(filepath=str(folder / "lodge.blend"))
    tell(folder, {"files": []})

    def ask() -> None:
        window, area = look.view3d()
        with bpy.context.temp_override(window=window, area=area, region=look.region("WINDOW")):
            bpy.ops.halfbat.save_kit_file("INVOKE_DEFAULT")
        look.later(written, LONG_WAIT_S)

    def written() -> None:
        tell(folder, {"files": sorted(path.name for path in folder.glob("Gate lodge.*"))})

    look.later(ask)


def on_walls(folder: Path) -> None:
    """A window put on a wall with a click and dragged along it with G X, while the kit keeps itself up to date.

    The test moves the mouse; what stands on the walls is written down every moment.
    """
    seen: list[str] = []

    def begin() -> None:
        cube = bpy.data.objects["Cube"]
        cube.scale, cube.location = (4.0, 2.5, 1.5), (0.0, 0.0, 1.5)
        with whole_job.as_maker():
            bpy.context.view_layer.update()
            bpy.ops.halfbat.use_as_building()
            bpy.ops.halfbat.make_kit()
            cube.halfbat.live = True
        look.show_tab()
        look.look_at_front()
        look.later(place, 6.0)

    def place() -> None:
        window, area = look.view3d()
        with bpy.context.temp_override(window=window, area=area, region=look.region("WINDOW")):
            bpy.ops.halfbat.place_on_wall("INVOKE_DEFAULT", kind="openings", usual="Sash window")
        look.later(note, 0.2)

    def note() -> float:
        cube = bpy.data.objects["Cube"]
        items = [item for item in cube.children if item.halfbat_placed.kind == "openings"]
        at = items[0].halfbat_placed.openings.at if items else ""
        if at not in seen:
            seen.append(at)
        inserts = [item.name for item in cube.halfbat.collection.objects if item.halfbat_part.kind == "insert"]
        running = [operator.bl_idname for operator in look.view3d()[0].modal_operators]
        tell(folder, {"seen": seen, "inserts": inserts, "word": cube.halfbat.live_word, "running": running})
        return 0.2

    look.later(begin)


def cable(folder: Path) -> None:
    """A cable run with a seam under it, bent in Edit Mode with Blender's own tools; the kit keeps itself up to date."""
    placed = import_module(f"{look.EXTENSION}.placed")
    settings = import_module("halfbat.settings")

    def begin() -> None:
        cube = bpy.data.objects["Cube"]
        cube.scale, cube.location = (4.0, 2.5, 1.5), (0.0, 0.0, 1.5)
        with whole_job.as_maker():
            bpy.context.view_layer.update()
            bpy.ops.halfbat.use_as_building()
            placed.write_placed(cube, "cable_runs", [settings.CableRunRequest("A", "2.4 m", seam=True)])
            bpy.context.view_layer.update()
            bpy.ops.halfbat.make_kit()
            cube.halfbat.live = True
        look.show_tab()
        look.look_at_front()
        look.later(bend, 8.0)

    def bend() -> None:
        cube = bpy.data.objects["Cube"]
        (run,) = placed.placed_on(cube, "cable_runs")
        bpy.context.view_layer.objects.active = run
        window, area = look.view3d()
        with bpy.context.temp_override(window=window, area=area, region=look.region("WINDOW")):
            bpy.ops.object.mode_set(mode="EDIT")
            points = run.data.splines[0].points
            bpy.ops.curve.select_all(action="DESELECT")
            points[1].select = True
            bpy.ops.transform.translate(value=(0.0, 0.0, -1.7))
            for step in ((2.6, 0.0, 0.0), (0.0, 0.0, 1.7)):
                bpy.ops.curve.extrude_move(TRANSFORM_OT_translate={"value": step})
            bpy.ops.object.mode_set(mode="OBJECT")
        look.later(note, 20.0)

    def note() -> None:
        cube = bpy.data.objects["Cube"]
        (run,) = placed.placed_on(cube, "cable_runs")
        parts = sorted(item.name for item in cube.halfbat.collection.objects)
        entry = run.halfbat_placed.cable_runs
        held = [len(run.data.splines[0].points), [modifier.type for modifier in run.modifiers], run.data.bevel_depth]
        told = {"path": entry.path, "trouble": run.halfbat_placed.trouble, "parts": parts, "held": held}
        tell(folder, told | {"word": cube.halfbat.live_word})

    look.later(begin)


def apart(folder: Path) -> None:
    """A kit drawn apart, with the numbers of its parts."""

    def do() -> None:
        cube = bpy.data.objects["Cube"]
        cube.scale, cube.location = (4.0, 2.5, 1.5), (0.0, 0.0, 1.5)
        with whole_job.as_maker():
            bpy.context.view_layer.update()
            bpy.ops.halfbat.use_as_building()
            bpy.ops.halfbat.make_kit()
        cube.halfbat.look, cube["halfbat_explode"], cube.halfbat.numbers = "EXPLODED", 0.7, True
        cube.update_tag()
        bpy.context.view_layer.update()
        look.show_tab()
        look.later(look.frame_all)
        tell(folder, {"lid": bpy.data.objects["L1"].delta_location.z})

    look.later(do)


def finishes(folder: Path, *, theme: str = "", mode: str = "OBJECT") -> None:
    """Finishes shown as colours on the example building, in solid shading."""
    if theme:
        places = [Path(place) / f"{theme}.xml" for place in bpy.utils.preset_paths("interface_theme")]
        path = next(place for place in places if place.exists())
        bpy.ops.script.execute_preset(filepath=str(path), menu_idname="USERPREF_MT_interface_theme_presets")
    building = example()
    data = building.halfbat
    data.finishes.clear()
    for wall, kind, top in (("A", "weatherboard", ""), ("B", "render", ""), ("B", "coursed rubble", "12 courses")):
        item = data.finishes.add()
        item.wall, item.kind, item.top = wall, kind, top
    if mode == "EDIT":
        bpy.ops.object.mode_set(mode="EDIT")
    look.show_tab()
    look.later(look.frame_all)
    view = import_module(f"{look.EXTENSION}.finish_view")

    def told() -> None:
        known = view.state().painted.get(building.session_uid)
        drawn = {kind: [len(own), kind in known.batches] for kind, own in known.corners.items()} if known else {}
        tell(folder, {"drawn": drawn})

    look.later(told, LONG_WAIT_S)


def finding(folder: Path, look_at: str = "ASSEMBLED") -> None:
    """A finding clicked in the list: its part selected, and the place marked and brought into view."""

    def do() -> None:
        cube = bpy.data.objects["Cube"]
        cube.scale, cube.location = (4.0, 2.5, 1.5), (0.0, 0.0, 1.5)
        with whole_job.as_maker():
            bpy.context.view_layer.update()
            bpy.ops.halfbat.use_as_building()
            brick = cube.halfbat.brick  # blocks that break the bond in the middle of walls
            brick.format, brick.bond, brick.custom_gauge_mm = "custom", "flemish", 225.0
            brick.custom_length_mm, brick.custom_width_mm, brick.custom_height_mm = 440.0, 215.0, 215.0
            bpy.ops.halfbat.make_kit()
        cube.halfbat.look, cube.halfbat.numbers = look_at, True
        look.show_tab()
        look.frame_all()
        look.later(lambda: click(cube), 4 * look.AFTER_A_DRAW_S)

    def click(cube: bpy.types.Object) -> None:
        told = [(item.code, item.part) for item in cube.halfbat.findings]
        with whole_job.as_maker():
            cube.halfbat.finding_index = told.index(("broken-bond", "wall A"))
        view = look.view3d()[1].spaces.active.region_3d
        (marked,) = import_module(f"{look.EXTENSION}.finding_places").marked_places(bpy.context)
        away = (Vector(view.view_location) - marked.middle).length
        selected = [item.name for item in bpy.context.selected_objects]
        tell(folder, {"selected": selected, "away": away, "radius": marked.radius, "distance": view.view_distance})

    look.later(do)


SCENES = {
    "finding": finding,
    "finding_apart": lambda folder: finding(folder, "EXPLODED"),
    "finding_on_plates": lambda folder: finding(folder, "PLATES"),
    "finishes": finishes,
    "finishes_light": lambda folder: finishes(folder, theme="Blender_Light"),
    "finishes_edit": lambda folder: finishes(folder, mode="EDIT"),
    "first_steps": first_steps,
    "panels": panels,
    "wall": wall,
    "presets": presets,
    "undo": undo,
    "dialog": dialog,
    "whole": whole,
    "modal": modal,
    "escape": escape,
    "on_walls": on_walls,
    "apart": apart,
    "cable": cable,
}
