import pytest

from halfbat.errors import KitError
from halfbat.printing.processes import preset_process
from halfbat.printing.readings import READINGS, changed_figures, kit_changes, with_readings
from halfbat.settings import settings_of

RESIN, FILAMENT = preset_process("resin 0.05 mm"), preset_process("filament 0.4 mm")


def test_readings_set_the_figures_they_stand_for():
    read = with_readings(RESIN, ["groove=0.12", "hole = 0.9", "min_groove_px=4", "bar_x=99.4/100"], "p.toml")
    assert (read.min_groove_mm, read.min_hole_mm, read.min_groove_px) == (0.12, 0.9, 4)
    assert read.scale_x == pytest.approx(100 / 99.4, abs=1e-5)
    assert read.scale_y == 1.0


def test_a_second_coupon_corrects_the_correction():
    once = with_readings(RESIN, ["bar_y=59.7/60"], "p.toml")
    twice = with_readings(once, ["bar_y=60.06/60"], "p.toml")
    assert twice.scale_y == pytest.approx(60 / 59.7 * 60 / 60.06, abs=1e-4)


def test_every_reading_has_its_figure_in_some_process():
    keys = {record.key for process in (RESIN, FILAMENT) for record in settings_of(type(process))}
    assert {target for target, _ in READINGS.values()} <= keys


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("groove", "is not of the form key=value"),
        ("groove=", "is not of the form key=value"),
        ("groove=wide", "'wide' is not allowed here (p.toml, min_groove_mm)"),
        ("bar_x=99.4", "write it like bar_x=99.4/100"),
        ("bar_x=0/100", "is not a measured length"),
        ("bar_x=50/100", "2.0 is out of range"),
        ("grove=1", "there is no key 'grove'"),
        ("min_groove_px=2.5", "2.5 is not allowed here"),
    ],
)
def test_a_reading_that_will_not_do(text, says):
    with pytest.raises(KitError) as refusal:
        with_readings(RESIN, [text], "p.toml")
    assert says in str(refusal.value)


def test_what_changes_is_told():
    after = with_readings(RESIN, ["groove=0.17", "stroke=0.4", "bar_x=99.5/100"], "p")
    assert changed_figures(RESIN, after)[0] == "Smallest groove (min_groove_mm): 0.11 mm -> 0.17 mm"
    told = "\n".join(kit_changes(RESIN, after))
    assert (
        "joints at 1:148: 0.150 mm wide (3 x 3 pixels), 0.100 mm deep -> 0.199 x 0.200 mm wide (4 x 4 pixels)" in told
    )
    assert "100.50 % of their size along X instead of 100.00 %" in told
    assert "strokes of 0.4 mm instead of 0.3 mm" in told
    assert kit_changes(RESIN, RESIN) == changed_figures(RESIN, RESIN) == ()
    assert kit_changes(FILAMENT, with_readings(FILAMENT, ["lip=0.2"], "p")) == (
        "the lid's lip has 0.2 mm a side instead of 0.15 mm",
    )
