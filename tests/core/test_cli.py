import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import halfbat
from halfbat import cli
from halfbat.building.structure import Structure
from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from sample_kits import sample_kit

KIT = '[kit]\nname = "Lodge"\nscale = "1:148"\n[building]\nbox = ["9.89 m", "5.39 m", "3.0 m"]\n'


@pytest.fixture
def kit_file(tmp_path):
    path = tmp_path / "lodge.toml"
    path.write_text(KIT)
    return path


@pytest.fixture
def made(monkeypatch):
    """A kit made by hand in place of the real work; returns what the command asked for."""
    asked = []

    def make_kit(building, settings, progress=None):
        asked.append((building, settings))
        progress(0.5, "skins")
        return sample_kit()

    monkeypatch.setattr(cli, "make_kit", make_kit)
    return asked


def run(*arguments):
    return cli.main([str(argument) for argument in arguments])


def entries(folder):
    return sorted(path.name for path in folder.iterdir())


def test_making_a_kit(kit_file, made, tmp_path, capsys):
    assert run("make", kit_file, "--to", tmp_path / "out") == 0
    ((building, settings),) = made
    assert isinstance(building, Structure)
    assert sorted(wall.length_m for wall in building.walls) == pytest.approx([5.39, 5.39, 9.89, 9.89])
    assert settings.kit.name == "Lodge"
    out, err = capsys.readouterr()
    assert "6 parts: 1 shell, 2 skins, 3 covers" in out
    assert "safety data sheet" in out
    assert err == ""
    assert json.loads((tmp_path / "out" / "kit.json").read_text("utf-8"))["format"] == "halfbat-kit"


def test_quiet(kit_file, made, tmp_path, capsys):
    assert run("make", kit_file, "--to", tmp_path / "out", "--quiet") == 0
    assert capsys.readouterr() == ("", "")


def test_a_failed_check_is_exit_code_one_and_the_files_are_there(kit_file, tmp_path, monkeypatch, capsys):
    failure = Finding(Severity.FAILURE, "open", "A1", "not closed")
    monkeypatch.setattr(cli, "make_kit", lambda *_: sample_kit().but(findings=(failure,)))
    assert run("make", kit_file, "--to", tmp_path / "out") == 1
    assert "Failures (1):\n  A1: not closed" in capsys.readouterr().out
    assert (tmp_path / "out" / "parts" / "A1.stl").is_file()


def refused(capsys, tmp_path, *arguments):
    """Run a command that must be refused; return its one sentence."""
    before = entries(tmp_path)
    assert run(*arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("halfbat: ") and err.endswith(".\n") and err.count("\n") == 1
    assert entries(tmp_path) == before
    return err


def test_what_is_wrong_in_the_kit_file_is_refused(kit_file, made, tmp_path, capsys):
    kit_file.write_text(KIT + "[brick]\nbond = 'herringbone'\n")
    sentence = refused(capsys, tmp_path, "make", kit_file, "--to", tmp_path / "out")
    assert "lodge.toml, [brick] bond" in sentence
    assert made == []


def test_a_folder_of_the_makers_is_refused_before_the_work(kit_file, made, tmp_path, capsys):
    assert "not a kit" in refused(capsys, tmp_path, "make", kit_file, "--to", tmp_path)
    assert made == []


def test_what_the_making_refuses(kit_file, tmp_path, monkeypatch, capsys):
    def make_kit(*_):
        raise KitError("wall A is lower\nthan one course", "wall A", "make it taller")

    monkeypatch.setattr(cli, "make_kit", make_kit)
    assert "lower than one course" in refused(capsys, tmp_path, "make", kit_file, "--to", tmp_path / "out")


def test_a_mesh_that_is_not_there(tmp_path, capsys):
    (tmp_path / "lodge.toml").write_text('[building]\nmesh = "none.obj"\n')
    assert "none.obj" in refused(capsys, tmp_path, "make", tmp_path / "lodge.toml", "--to", tmp_path / "out")
    assert "none.obj" in refused(capsys, tmp_path, "inspect", tmp_path / "none.obj")


@pytest.mark.parametrize(
    "arguments", [[], ["make"], ["make", "x.toml"], ["mend", "x"], ["inspect"], ["make", "--nope"]]
)
def test_a_command_that_is_none_is_refused_in_one_sentence(tmp_path, capsys, arguments):
    assert "--help" in refused(capsys, tmp_path, *arguments)


@pytest.mark.parametrize(
    ("arguments", "example"),
    [
        (["--help"], "halfbat make lodge.toml --to lodge-kit"),
        (["make", "--help"], "halfbat make lodge.toml --to lodge-kit"),
        (["inspect", "--help"], "halfbat inspect lodge.obj"),
    ],
)
def test_help_has_examples(capsys, arguments, example):
    assert run(*arguments) == 0
    assert example in capsys.readouterr().out


def test_version(capsys):
    assert run("--version") == 0
    assert capsys.readouterr().out == f"halfbat {halfbat.__version__}\n"


def test_interrupting_leaves_nothing(kit_file, tmp_path, monkeypatch, capsys):
    def make_kit(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(cli, "make_kit", make_kit)
    assert run("make", kit_file, "--to", tmp_path / "out") == 130
    assert entries(tmp_path) == ["lodge.toml"]
    assert "stopped" in capsys.readouterr().err


def test_the_bar_is_shown_in_a_terminal_only_and_wiped(kit_file, made, tmp_path, monkeypatch):
    class Terminal(io.StringIO):
        encoding = "utf-8"

        def isatty(self):
            return True

    monkeypatch.setattr(sys, "stderr", Terminal())
    assert run("make", kit_file, "--to", tmp_path / "out") == 0
    assert "50% skins" in sys.stderr.getvalue()
    assert sys.stderr.getvalue().rsplit("\r", 2)[-2].strip() == ""


def test_inspecting_a_mesh(tmp_path, capsys):
    path = tmp_path / "box.obj"
    corners = [(x, y, z) for z in (0, 3) for x, y in ((0, 0), (4, 0), (4, 2), (0, 2))]
    faces = ["1 2 6 5", "2 3 7 6", "3 4 8 7", "4 1 5 8", "5 6 7 8"]
    path.write_text("".join(f"v {x} {y} {z}\n" for x, y, z in corners) + "".join(f"f {face}\n" for face in faces))
    assert run("inspect", path) == 0
    out = capsys.readouterr().out
    assert "4.000 m long, 3.000 m high" in out
    path.write_text("v 0 0 0\nv 1 0 0\nv 1 1 0\nf 1 2 3\n")
    assert run("inspect", path) == 1
    assert "no kit can be made" in capsys.readouterr().out


def test_letters_an_old_terminal_cannot_show(kit_file, made, tmp_path, monkeypatch):
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", stream)
    assert run("make", kit_file, "--to", tmp_path / "out") == 0
    assert b"Lodge, gr??er" in stream.buffer.getvalue()


@pytest.mark.skipif(sys.platform == "win32", reason="pipes differ")
def test_a_pipe_that_is_closed_early_is_no_error(tmp_path):
    # The reader is gone before the first byte comes.
    read, write = os.pipe()
    os.close(read)
    environment = {**os.environ, "PYTHONPATH": str(Path(cli.__file__).parents[1])}
    command = [sys.executable, "-m", "halfbat", "inspect", str(tmp_path / "box.obj")]
    (tmp_path / "box.obj").write_text("v 0 0 0\nv 1 0 0\nv 1 1 0\nf 1 2 3\n")
    done = subprocess.run(command, stdout=write, stderr=subprocess.PIPE, env=environment, check=False)
    os.close(write)
    assert done.stderr == b""
    assert done.returncode == 1


def test_a_scale_too_small_is_told_before_making(kit_file, made, tmp_path, capsys):
    kit_file.write_text(KIT.replace("1:148", "1:300"))
    cli.main(["make", str(kit_file), "--to", str(tmp_path / "kit")])
    assert capsys.readouterr().err.index("at 1:300 a brick's face is 0.100 mm") < 100
    kit_file.write_text(KIT.replace("1:148", "1:700"))
    assert cli.main(["make", str(kit_file), "--to", str(tmp_path / "other")]) == cli.REFUSED
    assert "1:250 is the smallest" in capsys.readouterr().err
    assert len(made) == 1 and not (tmp_path / "other").exists()


def test_inspecting_for_a_scale(tmp_path, capsys):
    mesh = Path(__file__).parents[2] / "examples" / "lodge.obj"
    assert cli.main(["inspect", str(mesh), "--scale", "1:148"]) == cli.MADE
    assert "faces of bricks are 0.357 mm between joints of 0.150 mm" in capsys.readouterr().out
    assert cli.main(["inspect", str(mesh), "--scale", "1:148", "--process", "resin 0.035 mm"]) == cli.MADE
    assert "joints of 0.140 mm" in capsys.readouterr().out
    assert cli.main(["inspect", str(mesh), "--scale", "1:700"]) == cli.MADE_WITH_FAILURES
    assert cli.main(["inspect", str(mesh), "--scale", "small"]) == cli.REFUSED
    assert cli.main(["inspect", str(mesh), "--scale", "1:148", "--process", "nothing"]) == cli.REFUSED


def _tree(folder):
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


@pytest.mark.parametrize(
    "words",
    [
        ("make", "k.toml", "--to", "/"),
        ("make", "k.toml", "--to", "a\0b"),
        ("make", "k\0.toml", "--to", "out"),
        ("make", "k.toml", "--to", "other"),
        ("make", "k.toml", "--to", "file/x"),
        ("make", "k.toml", "--to", "x" * 300),
        ("make", "other", "--to", "out"),
        ("draw", "k.toml", "--to", "folder.svg"),
        ("draw", "k.toml", "--to", "gone/x.svg"),
        ("draw", "k.toml", "--to", "a\0.svg"),
        ("draw", "k.toml", "--to", "x.png"),
        ("inspect", "other"),
        ("inspect", "a\0.obj"),
        ("process", "new", "COM1", "--from", "resin 0.05 mm", "--to", "p.toml"),
        ("process", "new", "a/b", "--from", "resin 0.05 mm", "--to", "p.toml"),
        ("coupon", "--process", "resin 0.05 mm", "--to", "other"),
        ("coupon", "--process", "resin 0.05 mm", "--to", "a\0b"),
        (),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence_and_nothing_written(tmp_path, monkeypatch, capsys, words):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "k.toml").write_text('[kit]\nname = "Lodge"\n[building]\nbox = [4, 3, 2.5]\n')
    (tmp_path / "file").write_text("x")
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "a.txt").write_text("x")
    (tmp_path / "folder.svg").mkdir()
    before = _tree(tmp_path)
    assert cli.main(list(words)) == 2
    told = capsys.readouterr().err
    assert told.startswith("halfbat: ") and told.endswith(".\n") and told.count("\n") == 1 and len(told) < 420
    assert _tree(tmp_path) == before


@pytest.mark.parametrize("words", [(), *((name,) for name in ("make", "draw", "inspect", "process", "coupon"))])
def test_every_command_says_what_it_does_with_an_example(capsys, words):
    assert cli.main([*words, "--help"]) == 0
    told = capsys.readouterr().out
    assert "example" in told and "halfbat " in told
    assert max(len(line) for line in told.splitlines()) <= 120


@pytest.mark.parametrize("verb", ["list", "show", "new", "set"])
def test_every_process_command_says_what_it_does(capsys, verb):
    assert cli.main(["process", verb, "--help"]) == 0
    assert re.search(r"\n\n[A-Z][^\n]+\w", capsys.readouterr().out)


def test_help_of_make_names_what_a_kit_folder_holds(capsys):
    cli.main(["make", "--help"])
    told = capsys.readouterr().out
    for name in ("parts/NUMBER.stl", "plates/", "kit.model.3mf", "booklet.html", "parts-list.csv", "kit.json"):
        assert name in told
