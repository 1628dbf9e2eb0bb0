from dataclasses import replace

import pytest

from halfbat.errors import KitError
from halfbat.kitfile import tables_text, with_tables
from halfbat.printing.processes import PRESETS
from halfbat.settings import BrickSettings, RoofSettings, Settings


def test_tables_read_back_as_they_were_written_over_anything():
    settings = Settings(brick=BrickSettings(bond="flemish", joint_width_mm=0.21), roof=RoofSettings(covering="pantile"))
    text = tables_text(settings, ("brick", "roof"))
    other = Settings(brick=BrickSettings(format="german_nf", first_quoin=2), roof=RoofSettings(lap_mm=75.0))
    read = with_tables(other, text, "x.toml", ("brick", "roof"))
    assert (read.brick, read.roof) == (settings.brick, settings.roof)


@pytest.mark.parametrize("process", PRESETS, ids=lambda process: process.preset)
def test_a_changed_printer_keeps_every_figure(process):
    changed = replace(process, min_wall_mm=process.min_wall_mm + 0.123)
    settings = replace(Settings(), **{process.kind: changed})
    read = with_tables(Settings(), tables_text(settings, (process.kind,)), "x.toml", (process.kind,))
    assert getattr(read, process.kind) == changed


def test_what_is_not_named_stays_as_it_is():
    settings = Settings(brick=BrickSettings(bond="flemish", joint_width_mm=0.21))
    read = with_tables(settings, '[brick]\nformat = "german_nf"\n', "x.toml", ("brick",))
    assert read.brick == BrickSettings(format="german_nf", bond="flemish", joint_width_mm=0.21)


@pytest.mark.parametrize("text", ["[roof]\n", "brick = 3\n", "[[brick]]\n", "[brick\n", '[brick]\nbond = "loose"\n'])
def test_what_has_no_place_there_is_refused(text):
    with pytest.raises(KitError, match=r"x\.toml"):
        with_tables(Settings(), text, "x.toml", ("brick",))
