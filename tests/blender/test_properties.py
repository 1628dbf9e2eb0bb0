import bpy
import pytest

from halfbat.printing.processes import preset_process
from halfbat.settings import (
    BrickSettings,
    KitSettings,
    ResinProcess,
    SeamRequest,
    SeamSettings,
    Settings,
    group_classes,
    iter_settings,
    settings_of,
)


def property_of(record) -> str:
    return "kit_name" if record.key == "name" else record.key


ALL = [pytest.param(group, record, id=f"{group}.{record.key}") for group, record in iter_settings(Settings)]


@pytest.mark.parametrize(("group", "record"), ALL)
def test_every_setting_has_one_property_that_says_the_same(addon, group, record) -> None:
    known = addon("properties").GROUP_TYPES[group].bl_rna.properties[property_of(record)]
    assert known.description == record.help.removesuffix(".")
    assert known.name.startswith(record.label)
    if record.kind == "choice":
        assert tuple(known.enum_items.keys()) == record.choices
        assert tuple(item.name for item in known.enum_items) == record.choice_labels
        assert known.default == record.default
    elif record.kind in ("int", "float"):
        assert known.hard_min == pytest.approx(record.minimum)
        assert known.hard_max == pytest.approx(record.maximum)
        assert known.default == pytest.approx(record.default)
    else:
        assert known.default == record.default


def test_there_are_no_properties_beside_the_settings(box) -> None:
    for group, group_class in group_classes(Settings).items():
        keys = set(getattr(box.halfbat, group).bl_rna.properties.keys()) - {"rna_type", "name"}
        assert keys == {property_of(record) for record in settings_of(group_class)}


def test_defaults_read_back_as_they_are(addon, plain_box) -> None:
    read = addon("settings_io").read_settings(plain_box)
    assert read == Settings(kit=KitSettings(name="Lodge"))


def test_what_is_written_reads_back_exactly(addon, box) -> None:
    io = addon("settings_io")
    settings = Settings(
        kit=KitSettings(name="Gatehouse", scale="4 mm/ft"),
        brick=BrickSettings(format="custom", custom_length_mm=228.6, custom_gauge_mm=76.2, perpend_limit_mm=2.7),
        seam=SeamSettings(gap_mm=0.13, saddle_spacing_m=0.35),
        resin=preset_process("resin 0.019 x 0.024 mm"),
        seams=(SeamRequest("A", "44 bricks"), SeamRequest("C", "13 ft 9 in", "toothed")),
    )
    io.write_settings(box, settings)
    assert io.read_settings(box) == settings


def test_choosing_a_printer_fills_in_its_figures(addon, box) -> None:
    box.halfbat.resin.min_wall_mm = 1.5
    box.halfbat.resin.preset = "resin 0.0285 mm"
    assert addon("settings_io").read_settings(box).resin == preset_process("resin 0.0285 mm")
    assert preset_process("resin 0.0285 mm") != ResinProcess()


def test_each_building_keeps_its_own_settings_through_saving(addon, box, tmp_path) -> None:
    bpy.ops.mesh.primitive_cube_add(size=4.0)
    bpy.context.active_object.name = "Shed"
    bpy.ops.halfbat.use_as_building()
    bpy.data.objects["Shed"].halfbat.kit.scale = "OO"
    bpy.data.objects["Shed"].halfbat.brick.bond = "flemish"
    path = str(tmp_path / "two.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    bpy.ops.wm.open_mainfile(filepath=path)
    shed, lodge = (bpy.data.objects[name].halfbat for name in ("Shed", "Lodge"))
    assert (shed.kit.scale, shed.brick.bond) == ("OO", "flemish")
    assert shed.settings_version == addon("properties").SETTINGS_VERSION
    assert (lodge.kit.scale, lodge.brick.bond) == ("1:148", "stretcher")


def test_the_scale_offers_published_scales_and_takes_any_ratio(addon, box) -> None:
    offered = addon("setting_properties")._scale_names(box.halfbat.kit, bpy.context, "nem")
    assert "N (NEM)" in offered
    box.halfbat.kit.scale = "1:152.4"
    assert addon("settings_io").read_settings(box).kit.scale == "1:152.4"
