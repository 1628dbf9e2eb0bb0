from dataclasses import replace

import numpy as np
import pytest
import trimesh

from halfbat import cli
from halfbat.errors import KitError
from halfbat.output.coupon_files import GUIDE, coupon_files
from halfbat.printing.coupon import filament, make_coupon, resin
from halfbat.printing.plates import plates_for
from halfbat.printing.processes import PRESETS, preset_process
from halfbat.printing.readings import READINGS, with_readings
from halfbat.solids.verify import faults
from halfbat.units import parse_scale

RESIN, FILAMENT = preset_process("resin 0.05 mm"), preset_process("filament 0.4 mm")


def mesh(part):
    return trimesh.Trimesh(part.solid.vertices, part.solid.triangles, process=False)


def cut(part, height):
    return mesh(part).section(plane_origin=[0, 0, height], plane_normal=[0, 0, 1]).to_2D(np.eye(4))[0]


@pytest.mark.parametrize("process", PRESETS, ids=lambda process: process.preset)
def test_every_piece_is_one_closed_solid_that_fits_its_printer(process):
    coupon = make_coupon(process)
    assert [part.number for part in coupon.parts] == (["R1", "R2", "R3"] if process.kind == "resin" else ["F1", "F2"])
    for part in coupon.parts:
        assert faults(part.solid) == ()
        assert mesh(part).is_volume
    plates = plates_for(coupon)
    assert plates.left_out == ()
    assert len(plates.plates) == 1


def test_scale_bars_are_as_long_as_they_say():
    part = make_coupon(RESIN).parts[0]
    assert part.solid.size_mm[:2] == pytest.approx((100.0, 50.0))
    part = make_coupon(FILAMENT).parts[0]
    assert part.solid.size_mm == pytest.approx((100.0, 60.0, 11.0))
    small = replace(RESIN, usable_x_mm=75.0, usable_y_mm=65.0)
    assert make_coupon(small).parts[0].solid.size_mm[:2] == pytest.approx((70.0, 50.0))


def test_holes_are_as_wide_as_their_ladder_says():
    section = cut(make_coupon(RESIN).parts[0], 0.5)
    across = sorted(np.ptp(np.array(ring.coords)[:, 0]) for ring in section.polygons_full[0].interiors)
    assert len(across) == len(resin.HOLES_MM)
    for measured, drawn in zip(across, resin.HOLES_MM, strict=True):
        assert drawn - 1e-3 <= measured < 1.03 * drawn + 0.01


def test_grooves_are_as_wide_as_their_ladder_says():
    part = make_coupon(RESIN).parts[0]
    section = cut(part, resin.THICKNESS_MM - 0.05)
    rings = [np.array(ring.coords) for polygon in section.polygons_full for ring in polygon.interiors]
    sizes = [np.ptp(ring, axis=0) for ring in rings]
    widths = sorted(size[0] for size in sizes if abs(size[1] - resin.GROOVE_LENGTH_MM) < 1e-3 and size[0] < 1)
    assert widths == pytest.approx(resin.GROOVES_MM, abs=2e-3)


def test_slots_leave_the_plug_their_gap_on_each_side():
    section = cut(make_coupon(FILAMENT).parts[0], 1.0)
    rings = [np.array(ring.coords) for ring in section.polygons_full[0].interiors]
    slots = sorted(tuple(np.ptp(ring, axis=0)) for ring in rings if np.ptp(ring[:, 1]) > 7)
    plug = cut(make_coupon(FILAMENT).parts[1], 5.0).bounds
    tongue = plug[1] - plug[0]
    assert tongue == pytest.approx((8.0, 1.26), abs=2e-3)
    for (wide, long), gap in zip(slots, filament.GAPS_MM, strict=True):
        assert (wide - tongue[1]) / 2 == pytest.approx(gap, abs=2e-3)
        assert (long - tongue[0]) / 2 == pytest.approx(gap, abs=2e-3)


def test_walls_are_whole_lines():
    section = cut(make_coupon(FILAMENT).parts[0], 8.0)
    widths = sorted(polygon.bounds[2] - polygon.bounds[0] for polygon in section.polygons_full)[:4]
    assert widths == pytest.approx([0.42, 0.84, 1.26, 1.68], abs=2e-3)


def test_strips_follow_the_scale():
    at_76 = make_coupon(RESIN, parse_scale("1:76.2"))
    assert "bricks at 1:76.2" in at_76.guide
    assert len(at_76.parts[0].solid.triangles) < len(make_coupon(RESIN).parts[0].solid.triangles)


def test_the_guide_names_readings_that_there_are():
    for process in (RESIN, FILAMENT):
        guide = make_coupon(process).guide
        command = next(line for line in guide.splitlines() if line.startswith("Then:"))
        assignments = command.split("PROCESS")[1].split()
        assert {item.partition("=")[0] for item in assignments} <= set(READINGS)
        assert with_readings(process, assignments, "p") != process


def test_a_printer_too_small_is_refused():
    with pytest.raises(KitError, match="too small for a coupon"):
        make_coupon(replace(RESIN, usable_x_mm=30.0, usable_y_mm=20.0))


def test_the_same_coupon_gives_the_same_bytes():
    assert coupon_files(make_coupon(FILAMENT)) == coupon_files(make_coupon(FILAMENT))


def test_the_command(tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("HALFBAT_PROCESSES", str(tmp_path / "shelf"))
    out = tmp_path / "coupon"
    assert cli.main(["coupon", "--process", "filament 0.4 mm", "--to", str(out)]) == 0
    assert "Print F1 and F2" in capsys.readouterr().out
    assert sorted(path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()) == [
        GUIDE,
        "parts/F1.stl",
        "parts/F2.stl",
        "plates/filament-1.build.3mf",
        "plates/filament-1.svg",
    ]
    assert cli.main(["coupon", "--process", "filament 0.4 mm", "--to", str(out)]) == 2
    assert "holds something already" in capsys.readouterr().err
    assert cli.main(["coupon", "--process", "laser", "--to", str(tmp_path / "x")]) == 2
    assert not (tmp_path / "x").exists()
