from dataclasses import replace

import pytest

from halfbat.printing.snapping import snapped_settings
from halfbat.settings import FilamentProcess, Settings, with_value


def test_default_settings_are_whole_steps_already():
    settings, findings = snapped_settings(Settings())
    assert findings == ()
    assert settings == Settings()


@pytest.mark.parametrize(
    ("group", "key", "asked", "made", "steps"),
    [
        ("lid", "thickness_mm", 1.5, 1.6, "layers"),
        ("lid", "lip_thickness_mm", 1.0, 0.84, "lines"),
        ("lid", "lip_thickness_mm", 0.4, 0.84, "lines"),
        ("lid", "lip_depth_mm", 3.5, 3.6, "layers"),
        ("shell", "floor_thickness_mm", 1.12, 1.2, "layers"),
        ("shell", "ledge_height_mm", 0.93, 1.0, "layers"),
        ("seam", "cover_width_mm", 0.97, 0.95, "pixels"),
        ("seam", "cover_height_mm", 0.63, 0.65, "layers"),
    ],
)
def test_a_size_is_rounded_and_the_change_is_told(group, key, asked, made, steps):
    settings, (finding,) = snapped_settings(with_value(Settings(), group, key, asked))
    assert getattr(getattr(settings, group), key) == pytest.approx(made)
    assert (finding.code, finding.part) == ("snapped", f"{group}.{key}")
    assert f"made {made:.2f} mm instead of {asked:.2f} mm, {made - asked:+.2f} mm" in finding.text
    assert finding.text.endswith(f"a whole number of {steps}")


def test_what_is_left_out_stays_left_out():
    assert snapped_settings(with_value(Settings(), "shell", "ledge_height_mm", 0.0))[0].shell.ledge_height_mm == 0


def test_steps_are_those_of_the_corrected_part():
    filament = replace(FilamentProcess(), scale_z=1.01)
    settings, findings = snapped_settings(replace(Settings(), filament=filament))
    assert settings.lid.thickness_mm * 1.01 / 0.2 == pytest.approx(8)
    assert [finding.part for finding in findings] == ["lid.lip_depth_mm"]
