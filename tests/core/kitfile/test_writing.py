from pathlib import Path

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as effort
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.kitfile import KitFile, kit_file_from_text, write_kit_file
from halfbat.printing.processes import PRESETS
from halfbat.settings import CableRunRequest, CoverRequest, NoSeam, SeamRequest, Settings, iter_settings, with_value
from halfbat.settings.checks import check_kit_name

FOLDER = Path("/kits")


def good_name(name):
    try:
        check_kit_name(name, "")
    except KitError:
        return False
    return True


def values_for(group, record):
    if record.kind == "choice":
        return st.sampled_from(record.choices)
    if record.kind == "bool":
        return st.booleans()
    if record.kind == "int":
        return st.integers(int(record.minimum), int(record.maximum))
    if record.kind == "float":
        return st.floats(record.minimum, record.maximum)
    if (group, record.key) == ("kit", "name"):
        return st.text(min_size=1, max_size=80).filter(good_name)
    return st.sampled_from(["1:148", "4 mm/ft", "N (British)", "¼ in/ft"])


def candidates(record):
    if record.kind == "bool":
        return (True, False)
    if record.kind == "text":
        return ("120",)
    return record.choices or (record.minimum, record.maximum)


@st.composite
def any_settings(draw):
    settings = Settings()
    records = [(group, record) for group, record in iter_settings(Settings)]
    for group, record in draw(st.lists(st.sampled_from(records), max_size=12)):
        settings = with_value(settings, group, record.key, draw(values_for(group, record)))
    return settings


@effort(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(any_settings())
def test_settings_read_back_as_written(settings):
    kit_file = KitFile(settings, box_m=(9.89, 5.39, 3.0))
    assert kit_file_from_text(write_kit_file(kit_file), "x.toml", FOLDER) == kit_file


@pytest.mark.parametrize(
    ("group", "record"), list(iter_settings(Settings)), ids=lambda item: getattr(item, "key", item)
)
def test_every_setting_is_written_when_it_is_not_usual(group, record):
    other = next((value for value in candidates(record) if value != record.default), record.default)
    text = write_kit_file(KitFile(with_value(Settings(), group, record.key, other), box_m=(1.0, 1.0, 1.0)))
    assert f"[{group}]\n" in text
    assert f"\n{record.key} = " in text


def test_seams_and_mesh_read_back():
    settings = Settings(
        seams=(SeamRequest("A", "4.2 m"), SeamRequest("C", "12'6\"", "toothed")),
        no_seams=(NoSeam("B", "0 m", "6ft"),),
        downpipes=(CoverRequest("A", "3 m"), CoverRequest("B", "2 bricks")),
        cable_runs=(CableRunRequest("C", "1 m"),),
    )
    kit_file = KitFile(settings, mesh=FOLDER / "meshes" / "lodge.obj")
    text = write_kit_file(kit_file, FOLDER)
    assert 'mesh = "meshes/lodge.obj"' in text
    assert kit_file_from_text(text, "x.toml", FOLDER) == kit_file
    elsewhere = KitFile(settings, mesh=Path("/elsewhere/lodge.obj"))
    assert kit_file_from_text(write_kit_file(elsewhere, FOLDER), "x.toml", FOLDER) == elsewhere


def test_defaults_make_a_short_file():
    text = write_kit_file(KitFile(Settings(), mesh=FOLDER / "lodge.obj"), FOLDER)
    assert text == (
        '[kit]\nname = "Untitled"\nscale = "1:148"\n\n[building]\nmesh = "lodge.obj"\n\n'
        '[resin]\npreset = "resin 0.05 mm"\n\n[filament]\npreset = "filament 0.4 mm"\n'
    )


def test_a_preset_is_written_by_its_name_alone():
    settings = Settings(resin=PRESETS[0])
    assert '[resin]\npreset = "resin 0.019 x 0.024 mm"\n\n' in write_kit_file(KitFile(settings, box_m=(1.0, 1.0, 1.0)))
