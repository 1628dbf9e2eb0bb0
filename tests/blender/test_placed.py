"""Openings and seams as objects on the walls of a building."""

import json
from dataclasses import replace

import bpy
import numpy as np
import pytest
from mathutils import Euler, Matrix, Vector

from halfbat.kitfile import KitFile, write_kit_file
from halfbat.settings import OpeningRequest, SeamRequest, Settings
from halfbat.settings.usual_openings import USUAL_OPENINGS


@pytest.fixture
def placed(addon):
    return addon("placed")


def update() -> None:
    bpy.context.view_layer.update()


def add(usual: str, x: float, y: float, z: float = 1.0) -> bpy.types.Object:
    bpy.context.scene.cursor.location = (x, y, z)
    assert bpy.ops.halfbat.add_opening(usual=usual) == {"FINISHED"}
    update()
    return bpy.context.active_object


def add_seam(x: float, y: float, z: float = 1.0) -> bpy.types.Object:
    bpy.context.scene.cursor.location = (x, y, z)
    assert bpy.ops.halfbat.add_seam() == {"FINISHED"}
    update()
    return bpy.context.active_object


def entry(item: bpy.types.Object):
    data = item.halfbat_placed
    return getattr(data, data.kind)


def test_a_seam_goes_where_the_cursor_is(addon, box) -> None:
    box.halfbat.snap = False
    seam = add_seam(1.25, 0.3)
    (request,) = addon("settings_io").read_settings(box).seams
    assert (request.hide, seam.parent, seam.type) == ("cable run", box, "CURVE")
    assert tuple(seam.matrix_world.translation) == pytest.approx((1.25, 0.5, 0.0), abs=1e-3)
    bpy.ops.halfbat.make_kit()
    (cover,) = [item for item in box.halfbat.collection.objects if item.halfbat_part.kind == "cover"]
    assert cover.matrix_world.translation.x == pytest.approx(1.25, abs=0.02)


def test_a_seam_in_a_scene_of_centimetres(box) -> None:
    box.halfbat.snap = False
    bpy.context.scene.unit_settings.scale_length = 0.01
    box.scale = (800.0, 500.0, 300.0)
    box.location = (0.0, 0.0, 150.0)
    update()
    seam = add_seam(0.0, -260.0, 100.0)
    assert entry(seam).at == "4 m"
    assert tuple(seam.matrix_world.translation) == pytest.approx((0.0, -250.0, 0.0), abs=0.1)


def test_an_opening_is_what_the_core_says_and_where_it_says(box) -> None:
    window = add("Round-headed window", 0.0, 0.4, 1.0)
    assert window.matrix_world.translation.z == pytest.approx(0.9, abs=0.02)
    assert window.matrix_world.translation.y == pytest.approx(0.5, abs=1e-4)
    size = np.ptp([window.matrix_world @ vertex.co for vertex in window.data.vertices], axis=0)
    assert size[0] > 1.135 and size[2] > 1.8 and size[1] == pytest.approx(0.075, abs=1e-3)
    assert len(window.data.polygons) > 8
    assert not window.halfbat_placed.trouble


def test_moving_an_opening_along_its_wall_writes_where_it_is(addon, box) -> None:
    door = add("Door", 0.0, 0.4)
    before = entry(door).at
    door.location.x += 1.3
    update()
    assert entry(door).at != before
    left = float(entry(door).at.removesuffix(" m"))
    assert door.matrix_world.translation.x == pytest.approx(-2.0 + left + 0.455, abs=1e-3)
    assert door.matrix_world.translation.y == pytest.approx(0.5, abs=1e-4)
    assert entry(door).wall == "A"
    (request,) = addon("settings_io").read_settings(box).openings
    assert request == replace(USUAL_OPENINGS["Door"], at=entry(door).at, sill_height="0")


def test_it_snaps_to_the_bricks_or_not(box) -> None:
    door = add("Door", 0.0, 0.4)
    found = []
    for snap in (True, False):
        box.halfbat.snap = snap
        places = set()
        for step in range(12):
            door.location = (0.5 + 0.02 * step, 0.5, 0.0)
            update()
            places.add(entry(door).at)
        found.append(len(places))
    assert found[0] < 6 and found[1] == 12


def test_moved_off_its_wall_it_comes_back_to_it(box) -> None:
    door = add("Door", 0.0, 0.4)
    door.location += Vector((0.4, -1.0, 0.6))
    update()
    assert door.matrix_world.translation.y == pytest.approx(0.5, abs=1e-4)
    door.rotation_euler.z = 0.4
    door.scale = (2.0, 1.0, 1.0)
    update()
    assert door.matrix_world.to_euler().z == pytest.approx(0.0, abs=1e-4)
    assert tuple(door.matrix_world.to_scale()) == pytest.approx((1.0, 1.0, 1.0), abs=1e-4)


def test_moved_round_a_corner_it_is_in_the_next_wall(box) -> None:
    door = add("Door", 5.0, 0.4)
    door.location = (6.1, 3.0, 0.0)
    update()
    assert entry(door).wall == "B"
    assert door.matrix_world.translation.x == pytest.approx(6.0, abs=1e-4)
    assert door.matrix_world.to_euler().z == pytest.approx(np.pi / 2, abs=1e-3)


def test_off_every_wall_it_keeps_its_place_and_says_so(addon, box) -> None:
    door, other = add("Door", 0.0, 0.4), add("Vent", 3.0, 0.4)
    at = entry(door).at
    door.location = (0.0, -30.0, 0.0)
    update()
    assert door.matrix_world.translation.y == pytest.approx(-30.0)
    assert "off the walls" in door.halfbat_placed.trouble
    assert door.data.materials[0].name == "Halfbat trouble"
    assert len(addon("settings_io").read_settings(box).openings) == 1
    bpy.ops.halfbat.make_kit()
    assert "off-wall" in [finding.code for finding in box.halfbat.findings]
    door.location = (0.0, 0.2, 0.0)
    update()
    assert (door.halfbat_placed.trouble, entry(door).wall) == ("", "A")
    assert door.data.materials[0].name == "Halfbat openings"
    assert entry(door).at == at
    assert not other.halfbat_placed.trouble


def test_a_move_given_up_brings_back_what_was_typed(box) -> None:
    door = add("Door", 0.0, 0.4)
    entry(door).at = "7 bricks 13 mm"
    update()
    rest = door.location.copy()
    for x in (0.3, 0.6):
        door.location.x = rest.x + x
        update()
    assert entry(door).at != "7 bricks 13 mm"
    door.location = rest
    update()
    assert entry(door).at == "7 bricks 13 mm"


def test_what_is_typed_moves_the_object(box) -> None:
    door = add("Door", 0.0, 0.4)
    entry(door).wall, entry(door).at = "C", "1 m"
    update()
    assert tuple(door.matrix_world.translation) == pytest.approx((6.0 - 1.0 - 0.455, 5.5, 0.0), abs=1e-3)
    entry(door).width = "1.81 m"
    update()
    assert np.ptp([vertex.co.x for vertex in door.data.vertices]) > 1.8


@pytest.mark.parametrize(("key", "text"), [("wall", "Z"), ("at", "two"), ("at", "7.9 m"), ("height", "9 m")])
def test_what_cannot_be_is_said_in_red(box, key, text) -> None:
    door = add("Door", 0.0, 0.4)
    setattr(entry(door), key, text)
    update()
    assert door.halfbat_placed.trouble.endswith(".")
    assert door.data.materials[0].name == "Halfbat trouble"
    with pytest.raises(RuntimeError):
        bpy.ops.halfbat.make_kit()
    setattr(entry(door), key, {"wall": "A", "at": "2 m", "height": "2 m"}[key])
    update()
    assert door.halfbat_placed.trouble == ""
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}


@pytest.mark.parametrize("how", ["moved", "turned", "scaled", "parented"])
def test_it_goes_with_its_building(addon, box, how) -> None:
    following = addon("following")
    door = add("Door", 0.0, 0.4)
    request = addon("placed").request_of(door)
    if how == "moved":
        box.location += Vector((3.0, -2.0, 1.0))
    elif how == "turned":
        box.rotation_euler.z = 0.7
    elif how == "scaled":
        box.scale = (9.0, 7.0, 3.3)
    else:
        yard = bpy.data.objects.new("Yard", None)
        bpy.context.scene.collection.objects.link(yard)
        yard.location, yard.rotation_euler = (5.0, 1.0, 0.0), Euler((0.0, 0.0, -0.4))
        box.parent = yard
    update()
    addon("watching").catch_up()
    update()
    assert addon("placed").request_of(door) == request
    depsgraph = bpy.context.evaluated_depsgraph_get()
    sites = following.sites_for(box, depsgraph, bpy.context.scene)
    shape = addon("following").shape_of(sites, request, "door", "openings")
    stands = addon("mesh_in").building_frame(box.matrix_world)
    assert np.allclose(np.array(door.matrix_world), np.array(stands) @ shape.place, atol=1e-4)
    turned = door.matrix_world.to_3x3()
    assert np.allclose(np.array(turned @ turned.transposed()), np.eye(3), atol=1e-4)


def test_deleting_and_duplicating_are_all_there_is_to_it(addon, box) -> None:
    io = addon("settings_io")
    door = add("Door", 0.0, 0.4)
    vent = add("Vent", 3.0, 0.4)
    with bpy.context.temp_override(selected_objects=[door], active_object=door):
        bpy.ops.object.duplicate(linked=False)
    twin = next(item for item in addon("placed").placed_on(box, "openings") if item not in (door, vent))
    twin.location.x += 1.5
    update()
    inserts = [request.insert for request in io.read_settings(box).openings]
    assert inserts == ["panelled door", "panelled door", "vent"]
    assert len({request.at for request in io.read_settings(box).openings}) == 3
    bpy.data.objects.remove(door)
    assert [request.insert for request in io.read_settings(box).openings] == ["panelled door", "vent"]
    bpy.ops.halfbat.remove_placed(item=vent.name)
    assert [request.insert for request in io.read_settings(box).openings] == ["panelled door"]


def test_settings_of_a_kit_file_become_objects_and_come_back_the_same(addon, box, placed) -> None:
    io = addon("settings_io")
    openings = tuple(
        replace(usual, wall="ABCD"[turn % 4], at=f"{1 + turn // 4 * 2} m")
        for turn, usual in enumerate(USUAL_OPENINGS.values())
    )
    seams = (SeamRequest("C", "44 bricks"), SeamRequest("A", "4ft 6in", "toothed"), SeamRequest("A", "2 m"))
    settings = replace(io.read_settings(box), openings=openings, seams=seams)
    io.write_settings(box, settings)
    update()
    assert io.read_settings(box) == settings
    assert len(placed.placed_on(box)) == len(openings) + len(seams)
    assert write_kit_file(KitFile(io.read_settings(box), box_m=(1, 1, 1))) == write_kit_file(
        KitFile(settings, box_m=(1, 1, 1))
    )
    assert all(np.isfinite(np.array(item.matrix_world)).all() for item in placed.placed_on(box))
    io.write_settings(box, Settings())
    assert placed.placed_on(box) == []


def test_a_copied_building_has_its_own(addon, box, placed) -> None:
    io = addon("settings_io")
    add("Door", 0.0, 0.4)
    copy = box.copy()
    bpy.context.scene.collection.objects.link(copy)
    copy.location.x += 20.0
    update()
    assert io.read_settings(copy).openings == io.read_settings(box).openings
    addon("watching").catch_up()
    update()
    (twin,) = placed.placed_on(copy)
    assert twin.matrix_world.translation.x == pytest.approx(placed.placed_on(box)[0].matrix_world.translation.x + 20)
    bpy.data.objects.remove(twin)
    addon("watching").catch_up()
    assert io.read_settings(copy).openings == ()
    assert len(io.read_settings(box).openings) == 1


def test_they_come_with_an_appended_building(addon, box, placed, tmp_path) -> None:
    add("Door", 0.0, 0.4)
    add_seam(1.0, 0.4)
    path = str(tmp_path / "lodge.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    before = addon("settings_io").read_settings(box)
    bpy.ops.wm.read_homefile(use_empty=True)
    with bpy.data.libraries.load(path) as (there, here):
        here.objects = ["Lodge"]
    lodge = here.objects[0]
    bpy.context.scene.collection.objects.link(lodge)
    update()
    assert addon("settings_io").read_settings(lodge) == before
    addon("watching").catch_up()
    assert all(item.name in bpy.context.scene.objects for item in placed.placed_on(lodge))
    assert there.objects


def test_undo_and_redo_take_object_and_text_together(addon, box) -> None:
    bpy.ops.ed.undo_push(message="before")
    door = add("Door", 0.0, 0.4)
    bpy.ops.ed.undo_push(message="door")
    first = entry(door).at
    door.location.x += 1.0
    update()
    second = entry(door).at
    bpy.ops.ed.undo_push(message="moved")
    name = door.name
    bpy.ops.ed.undo()
    update()
    assert entry(bpy.data.objects[name]).at == first
    bpy.ops.ed.redo()
    update()
    assert entry(bpy.data.objects[name]).at == second
    bpy.ops.ed.undo()
    bpy.ops.ed.undo()
    assert name not in bpy.data.objects


def test_saved_and_opened_everything_is_as_it_was(addon, box, tmp_path) -> None:
    door = add("Door", 0.0, 0.4)
    name, at, matrix = door.name, entry(door).at, np.array(door.matrix_world)
    path = str(tmp_path / "kept.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    bpy.ops.wm.open_mainfile(filepath=path)
    update()
    door = bpy.data.objects[name]
    assert entry(door).at == at
    assert np.allclose(np.array(door.matrix_world), matrix, atol=1e-6)


def test_old_seams_become_objects(addon, box, placed) -> None:
    for at, hide in (("2 m", "as set"), ("5 m", "toothed")):
        seam = box.halfbat.seams.add()
        seam.wall, seam.at, seam.hide = "A", at, hide
    before = addon("settings_io").read_settings(box)
    assert before.seams == (SeamRequest("A", "2 m"), SeamRequest("A", "5 m", "toothed"))
    assert placed.adopt_old_seams(box) == 2
    assert placed.adopt_old_seams(box) == 0
    assert addon("settings_io").read_settings(box) == before
    assert [item.type for item in placed.placed_on(box, "seams")] == ["CURVE", "CURVE"]


def test_the_list_chooses_the_object_and_the_object_the_list(box) -> None:
    door, vent = add("Door", 0.0, 0.4), add("Vent", 3.0, 0.4)
    assert bpy.data.objects[box.halfbat.openings_chosen] == vent
    box.halfbat.openings_chosen = bpy.data.objects.find(door.name)
    assert bpy.context.active_object == door
    assert box.halfbat.seams_chosen == -1
    assert bpy.ops.halfbat.make_kit.poll()


def test_the_record_keeps_what_is_on_the_walls(addon, box) -> None:
    add("Door", 0.0, 0.4)
    (kept,) = json.loads(box.halfbat.placed_record)["openings"]
    assert OpeningRequest(**kept) == addon("settings_io").read_settings(box).openings[0]


def test_lengths_are_written_in_the_units_of_the_scene(box) -> None:
    bpy.context.scene.unit_settings.system = "IMPERIAL"
    seam = add_seam(1.0, 0.4)
    assert "ft" in entry(seam).at


def test_a_turned_and_mirrored_building(addon, box) -> None:
    box.scale = (-8.0, 5.0, 3.0)
    box.rotation_euler.z = 2.0
    update()
    corner = box.matrix_world @ Vector((0.0, -0.5, 0.0))
    door = add("Door", *corner)
    assert (door.matrix_world.translation - Vector((corner.x, corner.y, 0.0))).length < 0.2
    assert door.matrix_world.determinant() == pytest.approx(1.0, abs=1e-4)
    assert isinstance(door.matrix_world, Matrix)


def test_a_bent_seam_that_no_cable_run_hides_is_made_straight_where_most_of_it_stood(addon, box) -> None:
    box.halfbat.snap = False
    seam = add_seam(1.0, 0.3)
    entry(seam).hide = "movement joint"
    update()
    (spline,) = seam.data.splines
    spline.points.add(2)
    for point, co in zip(spline.points, ((0, 0, 0), (0, 0, 1), (0.6, 0, 1), (0.6, 0, 3)), strict=True):
        point.co = (*co, 1.0)
    seam.update_tag()
    seam.data.update_tag()
    update()
    update()
    assert seam.matrix_world.translation.x == pytest.approx(1.4, abs=2e-3)
    assert len(seam.data.splines[0].points) == 2
    assert "straight up" in seam.halfbat_placed.word
    seam.location.x += 0.5
    update()
    assert seam.halfbat_placed.word == ""
