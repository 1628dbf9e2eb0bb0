import pytest

from halfbat import cli
from halfbat.kitfile import read_kit_file


@pytest.fixture(autouse=True)
def shelf(tmp_path, monkeypatch):
    monkeypatch.setenv("HALFBAT_PROCESSES", str(tmp_path / "shelf"))
    return tmp_path / "shelf"


def run(*arguments):
    return cli.main(["process", *map(str, arguments)])


def test_a_process_of_ones_own_from_making_to_a_kit(shelf, tmp_path, capsys):
    assert run("new", "Bench printer", "--from", "resin 0.05 mm") == 0
    assert (shelf / "bench-printer.toml").is_file()
    assert run("set", "Bench printer", "pixel_x_mm=0.04", "groove=0.15") == 0
    told = capsys.readouterr().out
    assert "Pixel X (pixel_x_mm): 0.05 mm -> 0.04 mm" in told
    assert "joints at 1:148" in told
    assert run("list") == 0
    told = capsys.readouterr().out
    assert "resin 0.022 mm" in told and "Bench printer" in told and "pixels 0.04 x 0.05" in told
    kit = tmp_path / "kit.toml"
    for name in ("Bench printer", "bench-printer.toml"):
        kit.write_text(f'[building]\nbox = [9, 5, 3]\n[resin]\nfile = "{name}"\nlayer_mm = 0.03\n')
        resin = read_kit_file(kit).settings.resin
        assert (resin.pixel_x_mm, resin.min_groove_mm, resin.layer_mm) == (0.04, 0.15, 0.03)


def test_copying_and_showing(tmp_path, capsys):
    assert run("new", "Mine", "--from", "filament 0.4 mm", "--to", tmp_path / "mine.toml") == 0
    capsys.readouterr()
    assert run("show", tmp_path / "mine.toml") == 0
    assert capsys.readouterr().out == (tmp_path / "mine.toml").read_text("utf-8")
    assert run("set", tmp_path / "mine.toml", "min_hole_mm=2") == 0
    assert "nothing changed" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("set", "resin 0.05 mm", "groove=1"), "a preset cannot be changed"),
        (("show", "laser"), "there is no process 'laser'"),
        (("new", "a/b", "--from", "resin 0.05 mm"), "cannot be the name"),
        (("set", "none.toml", "groove=1"), "there is no process"),
    ],
)
def test_refusals_are_one_sentence(arguments, says, capsys):
    assert run(*arguments) == 2
    error = capsys.readouterr().err
    assert says in error and error.count("\n") == 1


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ('file = "none.toml"', "there is no process 'none.toml' (k.toml, [resin] file)"),
        ("file = 3", "the process file is not a file name (k.toml, [resin] file)"),
        ('file = "filament 0.4 mm"', "is a filament process"),
        ('file = "x.toml"\npreset = "resin 0.05 mm"', "there is both a preset and a process file"),
    ],
)
def test_a_kit_file_that_names_a_wrong_process(lines, says, tmp_path, capsys):
    (tmp_path / "k.toml").write_text(f"[building]\nbox = [9, 5, 3]\n[resin]\n{lines}\n")
    assert cli.main(["make", str(tmp_path / "k.toml"), "--to", str(tmp_path / "out")]) == 2
    assert says in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
