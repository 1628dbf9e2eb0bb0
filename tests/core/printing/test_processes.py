import pytest

from halfbat.errors import KitError
from halfbat.printing.processes import PRESETS, preset_process
from halfbat.settings import Settings, group_classes, settings_of
from halfbat.settings.checks import check_value


def test_settings_offer_every_preset_and_no_other():
    for group, group_class in group_classes(Settings).items():
        offered = [record.choices for record in settings_of(group_class) if record.key == "preset"]
        if offered:
            assert list(offered[0]) == [process.preset for process in PRESETS if process.kind == group]


def test_default_settings_are_their_presets():
    settings = Settings()
    assert preset_process(settings.resin.preset) == settings.resin
    assert preset_process(settings.filament.preset) == settings.filament


@pytest.mark.parametrize("process", PRESETS, ids=lambda process: process.preset)
def test_presets_are_in_range_and_named_after_their_pixels(process):
    for record in settings_of(type(process)):
        check_value(record, getattr(process, record.key), process.preset)
    if process.kind == "resin":
        pitches = {f"{process.pixel_x_mm:g}", f"{process.pixel_y_mm:g}"}
        assert set(process.preset.removeprefix("resin ").removesuffix(" mm").split(" x ")) == pitches


def test_an_unknown_printer_is_refused():
    with pytest.raises(KitError, match=r"choose one of .*resin 0\.05 mm"):
        preset_process("laser")
