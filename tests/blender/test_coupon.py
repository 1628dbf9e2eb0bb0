import bpy
import pytest

from halfbat.cli import main


@pytest.mark.parametrize("printer", ["resin", "filament"])
def test_exports_the_same_coupon_as_the_command_line(box, tmp_path, printer, addon) -> None:
    bpy.ops.halfbat.export_coupon(directory=str(tmp_path), printer=printer)
    settings = addon("settings_io").read_settings(box)
    preset = getattr(settings, printer).preset
    where = tmp_path / "core"
    assert main(["coupon", "--process", preset, "--to", str(where), "--scale", settings.kit.scale]) == 0
    made = tmp_path / f"{printer} coupon"
    names = sorted(path.name for path in where.rglob("*.stl"))
    assert names
    assert sorted(path.name for path in made.rglob("*.stl")) == names
    for path in where.rglob("*.stl"):
        assert (made / path.relative_to(where)).read_bytes() == path.read_bytes()


def test_writes_over_no_coupon(box, tmp_path) -> None:
    (tmp_path / "resin coupon").mkdir()
    (tmp_path / "resin coupon" / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(RuntimeError, match="resin coupon"):
        bpy.ops.halfbat.export_coupon(directory=str(tmp_path), printer="resin")
    assert [path.name for path in (tmp_path / "resin coupon").iterdir()] == ["notes.txt"]
