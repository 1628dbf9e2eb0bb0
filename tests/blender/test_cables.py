"""Cable runs that bend: curves on the walls of a building, with their path in writing."""

from dataclasses import replace
from pathlib import Path

import bpy
import numpy as np
import pytest
from mathutils import Vector

from halfbat.kitfile import kit_file_from_text, write_kit_file
from halfbat.kitfile.kit_file import KitFile
from halfbat.settings import CableRunRequest, CoverRequest, SeamRequest
from halfbat.settings.paths import path_points

STRAIGHT_RUNS = Path(__file__).parent / "data" / "straight_runs.blend"
BENT = ((0, 0, 0), (0, 0, 1.3), (1.4, 0, 1.3), (1.4, 0, 2.95))


def update() -> None:
    bpy.context.view_layer.update()
    bpy.context.view_layer.update()


def entry(item: bpy.types.Object):
    return getattr(item.halfbat_placed, item.halfbat_placed.kind)


@pytest.fixture
def add(addon, box):
    """A function that puts things on the walls of the box."""

    def put(kind: str, request) -> bpy.types.Object:
        placed = addon("placed")
        placed.write_placed(box, kind, [request])
        update()
        (item,) = placed.placed_on(box, kind)
        bpy.context.view_layer.objects.active = item
        return item

    return put


@pytest.fixture
def run(add) -> bpy.types.Object:
    return add("cable_runs", CableRunRequest("A", "2 m"))


def bend(item: bpy.types.Object, points=BENT) -> None:
    """Do in Edit Mode what a maker does: add points and move them."""
    bpy.ops.object.mode_set(mode="EDIT")
    (spline,) = item.data.splines
    spline.points.add(len(points) - len(spline.points))
    for point, co in zip(spline.points, points, strict=True):
        point.co = (*co, 1.0)
    bpy.ops.object.mode_set(mode="OBJECT")
    item.data.update_tag()
    update()


def line(item: bpy.types.Object) -> np.ndarray:
    return np.array([point.co[:3] for point in item.data.splines[0].points])


def shown(item: bpy.types.Object) -> np.ndarray:
    """Points of what is seen of it, in its own frame."""
    graph = bpy.context.evaluated_depsgraph_get()
    for instance in graph.object_instances:
        if instance.object.original == item and instance.object.type == "MESH":
            return np.array([vertex.co for vertex in instance.object.data.vertices])
    return np.zeros((0, 3))


def covers(box) -> list:
    return [part for part in box.halfbat.collection.objects if part.halfbat_part.kind == "cover"]


def test_a_run_that_was_bent_says_its_path_on_courses_and_perpends(addon, box, run) -> None:
    bend(run)
    (request,) = addon("settings_io").read_settings(box).cable_runs
    points = path_points(request.path)
    assert [up for _, up in points] == ["foot", "6 courses", "6 courses", "top"]
    assert points[0][0] == points[1][0] == request.at and points[2][0] == points[3][0]
    assert not run.halfbat_placed.trouble and not run.halfbat_placed.word
    drawn = line(run)
    assert len(drawn) == 4 and drawn[0] == pytest.approx(0.0, abs=1e-6)
    assert drawn[1, 2] == pytest.approx(6 * 0.225, abs=1e-3) and drawn[3, 2] == pytest.approx(3.0, abs=1e-4)
    assert np.abs(drawn[:, 1]).max() < 1e-6


def test_the_kit_is_made_along_the_bend_and_leaves_the_curve_as_it_was(box, run) -> None:
    bend(run)
    entry(run).seam = True
    update()
    before = line(run)
    (modifier,) = run.modifiers
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    (cover,) = covers(box)
    reach = [cover.matrix_world @ Vector(corner) for corner in cover.bound_box]
    assert np.ptp([point.x for point in reach]) > 1.3 and np.ptp([point.z for point in reach]) > 2.9
    skins = [part for part in box.halfbat.collection.objects if part.halfbat_part.kind == "skin"]
    assert sum(part.name.startswith("WA") for part in skins) == 2
    assert line(run) == pytest.approx(before)
    assert run.modifiers[:] == [modifier] and len(run.data.splines) == 1


def test_it_is_shown_with_bevel_and_saddles_that_stay_as_the_maker_leaves_them(addon, box, run) -> None:
    look = addon("cable_look")
    (modifier,) = run.modifiers
    bend(run)
    few = len(shown(run))
    assert np.ptp(shown(run)[:, 0]) > 1.3 and few > 60
    spacing = look.get_input(modifier, "Saddle Spacing")
    look.set_input(modifier, "Saddle Spacing", spacing / 3)
    run.update_tag()
    update()
    many = len(shown(run))
    assert many > few
    bpy.ops.halfbat.make_kit()
    bend(run, ((0, 0, 0), (0, 0, 0.9), (1.4, 0, 0.9), (1.4, 0, 2.95)))
    assert look.get_input(modifier, "Saddle Spacing") == pytest.approx(spacing / 3)
    box.halfbat.seam.saddle_spacing_m = 0.7
    addon("watching").catch_up()
    update()
    assert look.get_input(modifier, "Saddle Spacing") == pytest.approx(0.7)
    run.modifiers.remove(modifier)
    bend(run)
    bpy.ops.halfbat.make_kit()
    assert not run.modifiers


def test_it_stays_on_its_wall_and_says_so(run) -> None:
    bend(run, ((0, 0, 0), (0, -0.4, 1.3), (1.4, -0.4, 1.3), (1.4, 0, 2.95)))
    assert np.abs(line(run)[:, 1]).max() < 1e-6
    assert "brought back onto it" in run.halfbat_placed.word
    bend(run, ((0, 0, 0), (0, 0, 1.3), (20.0, 0, 1.3), (20.0, 0, 2.0)))
    assert line(run)[:, 0].max() <= 6.01


@pytest.mark.parametrize(
    ("points", "says"),
    [
        (((0, 0, 0), (0, 0, 2.0), (1.2, 0, 2.0), (1.2, 0, 0.8)), "ends below the top"),
        (((0, 0, 0), (0, 0, 2.0), (1.2, 0, 2.0), (1.2, 0, 0.9), (2.4, 0, 0.9), (2.4, 0, 3)), "leads down again"),
        (((0, 0, 0), (1.2, 0, 1.2), (1.2, 0, 3)), "begin and end upright"),
    ],
)
def test_a_path_under_which_no_seam_can_lie_says_why(addon, box, run, points, says) -> None:
    bend(run, points)
    assert not run.halfbat_placed.trouble
    entry(run).seam = True
    update()
    assert says in run.halfbat_placed.trouble
    with pytest.raises(RuntimeError, match="No seam can lie"):
        bpy.ops.halfbat.make_kit()


def test_it_moves_as_a_whole_and_keeps_its_shape(addon, box, run) -> None:
    bend(run)
    before = line(run)
    run.location.x += 1.0
    update()
    assert line(run) == pytest.approx(before, abs=1e-4)
    first = path_points(entry(run).path)[0]
    assert first == (entry(run).at, "foot") and 2.8 < run.location.x - (2.0 - 4.0) < 3.2
    run.location.x = 7.0
    update()
    assert (run.matrix_world.translation.x + line(run)[:, 0].max()) <= 6.01


def test_its_place_typed_anew_takes_the_path_along(run) -> None:
    bend(run)
    before = line(run)
    entry(run).at = "4 m"
    update()
    assert path_points(entry(run).path)[0] == ("4 m", "foot")
    assert run.matrix_world.translation.x == pytest.approx(2.0, abs=1e-3)
    assert line(run) == pytest.approx(before, abs=2e-3)


def test_a_path_typed_in_is_drawn_and_taken_out_again_it_is_straight(run) -> None:
    entry(run).path = "3 m, 0.5 m; 3 m, 2 m; 5 m, 2 m"
    update()
    assert entry(run).at == "3 m" and run.matrix_world.translation.z == pytest.approx(0.5, abs=1e-4)
    assert line(run)[-1] == pytest.approx((2.0, 0.0, 1.5), abs=1e-3)
    entry(run).path = "3 m; 2 m, 1 m"
    update()
    assert "is not a point of a path" in run.halfbat_placed.trouble
    entry(run).path = ""
    update()
    assert len(line(run)) == 2 and not run.halfbat_placed.trouble


def test_a_seam_under_a_cable_run_bends_too(addon, box, add) -> None:
    seam = add("seams", SeamRequest("A", "2 m", "cable run"))
    bend(seam)
    (request,) = addon("settings_io").read_settings(box).seams
    assert len(path_points(request.path)) == 4 and request.hide == "cable run"
    entry(seam).hide = "toothed"
    update()
    assert "under a cable run only" in seam.halfbat_placed.trouble


def test_a_copy_bends_on_its_own(addon, box, run) -> None:
    bend(run)
    copy = run.copy()
    copy.data = run.data.copy()
    box.halfbat.placed.objects.link(copy)
    update()
    copy.location.x += 2.0
    update()
    requests = addon("settings_io").read_settings(box).cable_runs
    assert [len(path_points(request.path)) for request in requests] == [4, 4]
    assert requests[0].path != requests[1].path


def test_curves_with_handles_are_followed_by_corners(run) -> None:
    bpy.ops.object.mode_set(mode="EDIT")
    run.data.splines.clear()
    spline = run.data.splines.new("BEZIER")
    spline.bezier_points.add(2)
    for point, co in zip(spline.bezier_points, ((0, 0, 0), (0.0, 0, 1.5), (2.0, 0, 1.6)), strict=True):
        point.co = co
        point.handle_left_type = point.handle_right_type = "AUTO"
    bpy.ops.object.mode_set(mode="OBJECT")
    run.data.update_tag()
    update()
    assert run.data.splines[0].type == "POLY" and len(line(run)) >= 3


def test_bending_is_undone_and_done_again(addon, box, run) -> None:
    bpy.ops.ed.undo_push(message="straight")
    bend(run)
    path = entry(run).path
    name = run.name
    bpy.ops.ed.undo_push(message="bent")
    bpy.ops.ed.undo()
    again = bpy.data.objects[name]
    assert entry(again).path == "" and len(line(again)) == 2
    bpy.ops.ed.redo()
    again = bpy.data.objects[name]
    assert entry(again).path == path and len(line(again)) == 4


def test_it_comes_back_with_its_file_and_as_a_kit_file(addon, box, run, tmp_path) -> None:
    bend(run)
    settings = addon("settings_io").read_settings(box)
    told = write_kit_file(KitFile(settings, None, (8.0, 5.0, 3.0)))
    assert kit_file_from_text(told, "it", tmp_path).settings.cable_runs == settings.cable_runs
    path, name = entry(run).path, run.name
    file = tmp_path / "bent.blend"
    bpy.ops.wm.save_as_mainfile(filepath=str(file))
    bpy.ops.wm.open_mainfile(filepath=str(file))
    update()
    addon("watching").catch_up()
    again = bpy.data.objects[name]
    assert entry(again).path == path and len(line(again)) == 4 and len(again.modifiers) == 1
    assert addon("settings_io").read_settings(bpy.data.objects["Lodge"]) == settings


def test_straight_runs_of_an_older_file_stay_straight(addon) -> None:
    bpy.ops.wm.open_mainfile(filepath=str(STRAIGHT_RUNS))
    update()
    addon("watching").catch_up()
    update()
    box = bpy.data.objects["Lodge"]
    settings = addon("settings_io").read_settings(box)
    assert settings.cable_runs == (CableRunRequest("A", "2 m"),)
    assert settings.seams == (SeamRequest("A", "5 m", "cable run"), SeamRequest("C", "3 m", "toothed"))
    assert settings.downpipes == (CoverRequest("B", "1 m"),)
    placed = addon("placed")
    assert all(len(line(item)) == 2 and not item.halfbat_placed.trouble for item in placed.placed_on(box))
    (run,) = placed.placed_on(box, "cable_runs")
    bpy.context.view_layer.objects.active = run
    box.halfbat.snap = False
    bend(run)
    assert replace(addon("settings_io").read_settings(box).cable_runs[0], path="") == settings.cable_runs[0]
    assert len(path_points(entry(run).path)) == 4
