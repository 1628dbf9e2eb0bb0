from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.printing.process_files import NamedProcess, process_from_text, process_text, read_process_file
from halfbat.printing.process_shelf import file_name, find_process, shelf_folder, shelved, write_process_file
from halfbat.printing.processes import PRESETS, preset_process
from halfbat.settings import settings_of


@pytest.mark.parametrize("process", PRESETS, ids=lambda process: process.preset)
def test_a_process_reads_back_as_it_was_written(process):
    named = NamedProcess("Bench, größer", process)
    assert process_from_text(process_text(named), "x.toml") == named


@given(st.data())
def test_any_figures_read_back(data):
    process = data.draw(st.sampled_from(PRESETS))
    for record in settings_of(type(process)):
        if record.kind == "float":
            value = data.draw(st.floats(record.minimum, record.maximum))
            process = replace(process, **{record.key: value})
    assert process_from_text(process_text(NamedProcess("P", process)), "x.toml").process == process


def test_figures_not_named_are_those_of_the_preset():
    process = process_from_text('kind = "resin"\npreset = "resin 0.022 mm"\nlayer_mm = 0.02\n', "mine.toml")
    assert process.name == "mine"
    assert process.process == replace(preset_process("resin 0.022 mm"), layer_mm=0.02)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("pixel_x_mm = 0.05\n", "the kind is missing or not known (p.toml, kind)"),
        ('kind = "laser"\n', "give kind = 'resin' or 'filament'"),
        ('kind = "resin"\npixel_x = 0.05\n', "there is no key 'pixel_x' (p.toml): did you mean 'pixel_x_mm'?"),
        (
            'kind = "resin"\npixel_x_mm = 50\n',
            "50 is out of range (p.toml, pixel_x_mm): give a number from 0.005 to 0.5",
        ),
        ('kind = "resin"\npreset = "filament 0.4 mm"\n', "(p.toml, preset)"),
        ('kind = "resin"\nmin_groove_px = 2.5\n', "2.5 is not allowed here (p.toml, min_groove_px)"),
        ('kind = "resin"\nname = 3\n', "the name is not text (p.toml, name)"),
        ('kind = "resin"\nname = "../x"\n', "cannot be the name of a process (p.toml, name)"),
        ("kind = resin\n", "this is not TOML"),
        ('kind = "filament"\n', "this is a filament process, not a resin one (p.toml)"),
    ],
)
def test_what_is_wrong_is_told_in_one_sentence(text, says):
    with pytest.raises(KitError) as refusal:
        process_from_text(text, "p.toml", "resin")
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_a_file_that_cannot_be_read(tmp_path):
    (tmp_path / "big.toml").write_bytes(b"#" * 200_000)
    (tmp_path / "binary.toml").write_bytes(b"\xff\xfe\x00")
    for name, says in (("none.toml", "no such"), ("big.toml", "too large"), ("binary.toml", "UTF-8")):
        with pytest.raises(KitError, match=says):
            read_process_file(tmp_path / name)
    with pytest.raises(KitError, match="cannot be read"):
        read_process_file(tmp_path)


def test_a_process_is_found_by_preset_by_file_and_by_its_name(tmp_path):
    shelf, beside = tmp_path / "shelf", tmp_path / "kit"
    named = NamedProcess("Bench printer", preset_process("resin 0.035 mm"))
    write_process_file(named, shelf / file_name(named.name))
    write_process_file(NamedProcess("Other", preset_process("filament 0.4 mm")), beside / "other.toml")
    assert find_process("resin 0.05 mm", shelf)[1] is None
    assert find_process("Bench printer", shelf) == (named, shelf / "bench-printer.toml")
    assert find_process("bench-printer.toml", shelf)[0] == named
    assert find_process("other.toml", shelf, beside=beside)[0].name == "Other"
    assert [process for _, process in shelved(shelf)] == [named]
    assert shelved(tmp_path / "nowhere") == ()
    with pytest.raises(KitError, match="there is no process 'laser'"):
        find_process("laser", shelf)
    with pytest.raises(KitError, match="is a filament process"):
        find_process("filament 0.4 mm", shelf, kind="resin")


def test_a_process_is_not_written_over_another(tmp_path):
    named = NamedProcess("P", PRESETS[0])
    write_process_file(named, tmp_path / "p.toml")
    with pytest.raises(KitError, match="already"):
        write_process_file(named, tmp_path / "p.toml")
    write_process_file(named, tmp_path / "p.toml", replace=True)
    with pytest.raises(KitError, match="cannot be written"):
        write_process_file(named, tmp_path / "p.toml" / "below.toml")
    assert [path.name for path in tmp_path.iterdir()] == ["p.toml"]


def test_where_processes_are_kept(tmp_path):
    assert shelf_folder({"HALFBAT_PROCESSES": str(tmp_path)}) == tmp_path
    assert shelf_folder({"XDG_CONFIG_HOME": str(tmp_path)}) == tmp_path / "halfbat" / "processes"
    assert shelf_folder({"HOME": str(tmp_path)}) == tmp_path / ".config" / "halfbat" / "processes"
    assert file_name("../..") == "process.toml"
