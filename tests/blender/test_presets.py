import bpy
import pytest

from halfbat.printing.process_files import NamedProcess
from halfbat.printing.process_shelf import write_process_file
from halfbat.printing.processes import preset_process
from halfbat.settings import BrickSettings, RoofSettings, Settings

OTHER = Settings(brick=BrickSettings(format="custom", bond="stack"), roof=RoofSettings(covering="none", ridge="angle"))


def test_every_preset_that_is_shipped_can_be_loaded(addon, plain_box) -> None:
    files = addon("preset_files")
    count = 0
    for section in files.SECTIONS:
        for path in files.presets_in(files.shipped_folder(section)):
            addon("settings_io").write_settings(plain_box, OTHER)
            before = addon("settings_io").read_settings(plain_box)
            assert bpy.ops.halfbat.load_preset(filepath=str(path), section=section) == {"FINISHED"}
            after = addon("settings_io").read_settings(plain_box)
            assert after != before, path
            count += 1
    assert count >= 10


def test_what_is_set_is_kept_loaded_and_removed(addon, plain_box, monkeypatch, tmp_path) -> None:
    files = addon("preset_files")
    io = addon("settings_io")
    plain_box.halfbat.brick.bond = "monk"
    plain_box.halfbat.brick.joint_width_mm = 0.21
    wanted = io.read_settings(plain_box)
    assert bpy.ops.halfbat.keep_preset(name="Mill wall", section="brick") == {"FINISHED"}
    (path,) = files.presets_in(files.own_folder("brick"))
    assert (path.name, path.parent.parts[-3:]) == ("Mill wall.toml", ("presets", "halfbat", "brick"))
    io.write_settings(plain_box, Settings(brick=BrickSettings(format="german_nf")))
    plain_box.halfbat.roof.covering = "pantile"
    bpy.ops.halfbat.load_preset(filepath=str(path), section="brick")
    read = io.read_settings(plain_box)
    assert (read.brick, read.roof.covering) == (wanted.brick, "pantile")
    assert bpy.ops.halfbat.keep_preset(name="Mill wall", section="brick", remove_name=True) == {"FINISHED"}
    assert files.presets_in(files.own_folder("brick")) == []
    with pytest.raises(RuntimeError, match="no such preset"):
        bpy.ops.halfbat.keep_preset(name="Mill wall", section="brick", remove_name=True)


@pytest.mark.parametrize("name", ["", "../../startup/evil", "a/b", "a\\b"])
def test_names_that_files_cannot_have_are_refused(plain_box, name) -> None:
    with pytest.raises(RuntimeError, match="name"):
        bpy.ops.halfbat.keep_preset(name=name, section="brick")


def test_a_preset_of_another_section_or_a_broken_one_changes_nothing(addon, plain_box, tmp_path) -> None:
    before = addon("settings_io").read_settings(plain_box)
    wrong = tmp_path / "wrong.toml"
    for text in ("[roof]\n", '[brick]\nbond = "loose"\n', "[brick"):
        wrong.write_text(text, encoding="utf-8")
        with pytest.raises(RuntimeError, match="wrong"):
            bpy.ops.halfbat.load_preset(filepath=str(wrong), section="brick")
    with pytest.raises(RuntimeError, match="cannot be read"):
        bpy.ops.halfbat.load_preset(filepath=str(tmp_path / "none.toml"), section="brick")
    assert addon("settings_io").read_settings(plain_box) == before


def test_the_menus_show_what_there_is(addon, plain_box) -> None:
    from types import SimpleNamespace

    from recording_layout import StandIn

    bpy.ops.halfbat.keep_preset(name="Mill wall", section="brick")
    stand_in = StandIn(addon("panels.presets").HALFBAT_PT_brick_presets)
    manager = bpy.context.window_manager
    addon("panels.presets").HALFBAT_PT_brick_presets.draw(stand_in, SimpleNamespace(window_manager=manager))
    operators = stand_in.layout.record["operators"]
    assert operators.count("halfbat.load_preset") == 8
    assert operators[-2:] == ["halfbat.keep_preset", "halfbat.keep_preset"]
    assert ("WindowManager", "preset_name") in stand_in.layout.record["props"]
    bpy.ops.halfbat.keep_preset(name="Mill wall", section="brick", remove_name=True)


@pytest.mark.parametrize("printer", ["resin", "filament"])
def test_a_process_file_is_loaded_and_saved_with_every_figure(addon, plain_box, tmp_path, printer) -> None:
    from dataclasses import replace

    preset = {"resin": "resin 0.0285 mm", "filament": "filament 0.4 mm"}[printer]
    process = replace(preset_process(preset), min_wall_mm=0.87654321987)
    path = tmp_path / "bench.toml"
    write_process_file(NamedProcess("Bench printer", process), path)
    assert bpy.ops.halfbat.load_process_file(filepath=str(path), printer=printer) == {"FINISHED"}
    assert getattr(addon("settings_io").read_settings(plain_box), printer) == process
    assert bpy.ops.halfbat.save_process_file(filepath=str(tmp_path / "again"), printer=printer) == {"FINISHED"}
    again = tmp_path / "again.toml"
    assert again.read_text(encoding="utf-8") == path.read_text(encoding="utf-8").replace("Bench printer", "again")
    other = "filament" if printer == "resin" else "resin"
    with pytest.raises(RuntimeError, match=f"{printer} process"):
        bpy.ops.halfbat.load_process_file(filepath=str(path), printer=other)
