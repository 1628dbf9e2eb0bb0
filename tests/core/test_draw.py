"""``halfbat draw``, and the booklet that ``halfbat make`` writes."""

import json
import sys
from hashlib import sha256
from xml.etree import ElementTree as ET

import pytest

from halfbat import cli
from sample_kits import sample_kit

KIT = '[kit]\nname = "Lodge"\nscale = "1:148"\n[building]\nbox = ["9.89 m", "5.39 m", "3.0 m"]\n'


@pytest.fixture
def kit_file(tmp_path, monkeypatch):
    monkeypatch.setattr(cli, "make_kit", lambda *_, **__: sample_kit())
    path = tmp_path / "lodge.toml"
    path.write_text(KIT)
    return path


def run(*arguments):
    return cli.main([str(argument) for argument in arguments])


def refused(capsys, *arguments):
    assert run(*arguments) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1
    return err


def test_one_drawing(kit_file, tmp_path, capsys):
    assert run("draw", kit_file, "--to", tmp_path / "walls.svg") == 0
    assert capsys.readouterr() == ("", "")
    root = ET.parse(tmp_path / "walls.svg").getroot()
    assert root.get("data-drawing") == "elevations"
    assert run("draw", kit_file, "--what", "exploded", "--to", tmp_path / "walls.svg") == 0
    assert ET.parse(tmp_path / "walls.svg").getroot().get("data-drawing") == "exploded"


def test_a_dxf(kit_file, tmp_path):
    pytest.importorskip("ezdxf")
    assert run("draw", kit_file, "--what", "elevation-B", "--to", tmp_path / "b.DXF") == 0
    assert b"SECTION" in (tmp_path / "b.DXF").read_bytes()


@pytest.mark.parametrize(
    ("what", "name", "says"),
    [
        ("elevation-A", "a.pdf", "end in .svg or .dxf"),
        ("elevation-X", "a.svg", "there is no drawing 'elevation-X'"),
        ("exploded", "a.dxf", "not to scale"),
        ("plan", "none/a.svg", "the folder of this file is not there"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_one_sentence(kit_file, tmp_path, capsys, what, name, says):
    assert says in refused(capsys, "draw", kit_file, "--what", what, "--to", tmp_path / name)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["lodge.toml"]


def test_without_ezdxf_one_sentence_says_how_to_get_it(kit_file, tmp_path, capsys, monkeypatch):
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    assert "pip install 'halfbat[dxf]'" in refused(capsys, "draw", kit_file, "--to", tmp_path / "a.dxf")


def test_a_made_kit_has_its_booklet(kit_file, tmp_path):
    assert run("make", kit_file, "--to", tmp_path / "out", "--quiet") == 0
    booklet = (tmp_path / "out" / "booklet.html").read_bytes()
    assert booklet.startswith(b"<!DOCTYPE html>") and "Lodge, größer".encode() in booklet
    files = json.loads((tmp_path / "out" / "kit.json").read_text("utf-8"))["files"]
    assert files["booklet.html"] == sha256(booklet).hexdigest()
    assert run("make", kit_file, "--to", tmp_path / "out", "--quiet") == 0
    assert (tmp_path / "out" / "booklet.html").read_bytes() == booklet


def test_pictures_without_blender_are_refused_before_the_work(kit_file, tmp_path, capsys, monkeypatch):
    monkeypatch.setitem(sys.modules, "bpy", None)
    told = refused(capsys, "make", kit_file, "--to", tmp_path / "out", "--pictures")
    assert "bpy" in told and "leave --pictures out" in told
    assert not (tmp_path / "out").exists()
