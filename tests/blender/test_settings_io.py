from dataclasses import replace

import bpy
import pytest
from random_settings import one_feature_of_each_kind, random_settings

from halfbat.kitfile import KitFile, kit_file_from_text, write_kit_file
from halfbat.settings import ResinProcess, Settings, list_classes


@pytest.mark.parametrize("seed", range(40))
def test_any_settings_written_to_a_building_read_back_equal(addon, plain_box, seed) -> None:
    io = addon("settings_io")
    settings = random_settings(seed)
    io.write_settings(plain_box, settings)
    assert io.read_settings(plain_box) == settings
    other = random_settings(seed + 1000)
    io.write_settings(plain_box, other)
    assert io.read_settings(plain_box) == other


def test_every_list_of_the_settings_has_a_place(addon) -> None:
    known = addon("properties").HALFBAT_PG_building.bl_rna.properties
    placed = addon("placed_properties").PLACED_CLASSES
    assert set(list_classes(Settings)) - set(placed) <= set(known.keys())
    assert set(placed) <= set(addon("placed_properties").HALFBAT_PG_placed.bl_rna.properties.keys())


def test_settings_go_through_file_and_copy(addon, plain_box, tmp_path) -> None:
    io = addon("settings_io")
    settings = replace(random_settings(3), features=one_feature_of_each_kind())
    io.write_settings(plain_box, settings)
    copy = plain_box.copy()
    bpy.context.scene.collection.objects.link(copy)
    path = str(tmp_path / "kept.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    bpy.ops.wm.open_mainfile(filepath=path)
    for name in ("Lodge", "Lodge.001"):
        assert io.read_settings(bpy.data.objects[name]) == settings


def test_a_figure_of_many_digits_counts_until_it_is_changed(addon, plain_box) -> None:
    io = addon("settings_io")
    fine = replace(Settings(), resin=ResinProcess(pixel_x_mm=0.0333333333333))
    io.write_settings(plain_box, fine)
    assert io.read_settings(plain_box).resin.pixel_x_mm == 0.0333333333333
    plain_box.halfbat.resin.pixel_x_mm = 0.034
    assert io.read_settings(plain_box).resin.pixel_x_mm == 0.034


def test_what_is_left_of_another_kind_does_not_count(addon, plain_box) -> None:
    feature = plain_box.halfbat.features.add()
    feature.wall, feature.kind, feature.height, feature.top = "A", "plinth", "6 courses", "square"
    feature.kind = "coping"
    (read,) = addon("settings_io").read_settings(plain_box).features
    assert (read.kind, read.height, read.top) == ("coping", "6 courses", "chamfered")
    feature.kind = "plinth"
    (read,) = addon("settings_io").read_settings(plain_box).features
    assert read.top == "square"


@pytest.mark.parametrize("seed", range(5))
def test_settings_out_of_blender_make_a_kit_file_that_reads_back(addon, plain_box, seed, tmp_path) -> None:
    io = addon("settings_io")
    settings = random_settings(seed)
    io.write_settings(plain_box, settings)
    text = write_kit_file(KitFile(io.read_settings(plain_box), box_m=(8.0, 5.0, 3.0)))
    assert kit_file_from_text(text, "x.toml", tmp_path).settings == settings
