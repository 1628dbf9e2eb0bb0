import errno
import json
import os
import stat
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
import trimesh

from halfbat.errors import KitError
from halfbat.output.folder import check_destination, write_file, write_kit
from halfbat.parts.part import Part
from sample_kits import box_solid, sample_kit


def tree(folder):
    """Path and bytes of everything under a folder; folders as None."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }


def part(number, process="resin"):
    return Part(number, "Part", "skin", process, box_solid(1.0, 1.0, 1.0), np.eye(4))


def refused(kit, directory, says):
    """Check that writing is refused in one sentence and changes nothing around the folder."""
    root = directory.parent
    while not root.exists():
        root = root.parent
    before = tree(root)
    with pytest.raises(KitError) as refusal:
        write_kit(kit, directory)
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)
    assert tree(root) == before


def test_what_is_in_the_folder(tmp_path):
    write_kit(sample_kit(), tmp_path / "lodge")
    assert set(tree(tmp_path)) == {
        "lodge",
        "lodge/kit.json",
        "lodge/parts-list.csv",
        "lodge/parts",
        *(f"lodge/parts/{number}.stl" for number in ("S1", "A1", "B1", "K1")),
        "lodge/plates",
        "lodge/plates/kit.model.3mf",
        *(f"lodge/plates/{plate}{ending}" for plate in ("resin-1", "filament-1") for ending in (".build.3mf", ".svg")),
    }
    for item in json.loads((tmp_path / "lodge/kit.json").read_bytes())["parts"]:
        mesh = trimesh.load_mesh(tmp_path / "lodge" / item["file"])
        assert mesh.is_volume
        assert mesh.volume == pytest.approx(item["volume_mm3"], rel=1e-5)
        assert mesh.extents == pytest.approx(item["size_mm"], abs=1e-4)


def test_the_same_kit_makes_the_same_bytes(tmp_path):
    write_kit(sample_kit(), tmp_path / "a")
    write_kit(sample_kit(), tmp_path / "b")
    assert tree(tmp_path / "a") == tree(tmp_path / "b")


def test_bought_parts_have_no_file(tmp_path):
    write_kit(sample_kit().but(parts=(part("W1", "bought"),)), tmp_path / "lodge")
    assert set(tree(tmp_path / "lodge")) == {"kit.json", "parts-list.csv"}
    write_kit(sample_kit(), tmp_path / "lodge")


def test_a_kit_is_replaced_whole(tmp_path):
    write_kit(sample_kit(), tmp_path / "lodge")
    smaller = sample_kit().but(parts=sample_kit().parts[:1])
    write_kit(smaller, tmp_path / "lodge")
    write_kit(smaller, tmp_path / "fresh")
    assert tree(tmp_path / "lodge") == tree(tmp_path / "fresh")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["fresh", "lodge"]


def test_an_empty_folder_is_used_and_folders_above_are_made(tmp_path):
    (tmp_path / "empty").mkdir()
    write_kit(sample_kit(), tmp_path / "empty")
    write_kit(sample_kit(), tmp_path / "not" / "yet" / "lodge")
    assert tree(tmp_path / "empty") == tree(tmp_path / "not" / "yet" / "lodge")


def test_a_kit_folder_is_as_open_as_any_other(tmp_path):
    write_kit(sample_kit(), tmp_path / "lodge")
    (tmp_path / "other").mkdir()
    assert stat.S_IMODE((tmp_path / "lodge").stat().st_mode) == stat.S_IMODE((tmp_path / "other").stat().st_mode)


def test_a_link_to_a_kit_stays_a_link(tmp_path):
    write_kit(sample_kit(), tmp_path / "lodge")
    (tmp_path / "link").symlink_to(tmp_path / "lodge")
    write_kit(sample_kit(), tmp_path / "link")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "lodge" / "kit.json").is_file()


@pytest.mark.parametrize(
    "name", ["letter.txt", "parts/mine.stl", "parts/deep/er.txt", "photos/", "kit.json.bak", "parts/A1.stl"]
)
def test_a_kit_with_something_of_the_makers_is_not_replaced(tmp_path, name):
    write_kit(sample_kit(), tmp_path / "lodge")
    path = tmp_path / "lodge" / name
    if name.endswith("/"):
        path.mkdir()
    else:
        path.parent.mkdir(exist_ok=True)
        path.write_text("mine")
    refused(sample_kit(), tmp_path / "lodge", name.rstrip("/"))


def test_a_link_in_a_kit_is_the_makers(tmp_path):
    write_kit(sample_kit(), tmp_path / "lodge")
    (tmp_path / "mine").mkdir()
    (tmp_path / "lodge" / "link").symlink_to(tmp_path / "mine")
    refused(sample_kit(), tmp_path / "lodge", "'link' in this kit is not part of it")


def test_what_file_browsers_leave_does_not_count(tmp_path):
    write_kit(sample_kit(), tmp_path / "lodge")
    (tmp_path / "lodge" / "parts" / ".DS_Store").write_bytes(b"x")
    write_kit(sample_kit(), tmp_path / "lodge")


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("letter.txt", "dear"),
        ("kit.json", "{"),
        ("kit.json", "[]"),
        ("kit.json", '{"format": "other", "files": {}}'),
        ("kit.json", '{"format": "halfbat-kit"}'),
        ("kit.json", "[" * 100_000),
    ],
)
def test_a_folder_that_is_not_a_kit_is_not_replaced(tmp_path, name, content):
    (tmp_path / "lodge").mkdir()
    (tmp_path / "lodge" / name).write_text(content)
    refused(sample_kit(), tmp_path / "lodge", "is not a kit")
    with pytest.raises(KitError):
        check_destination(tmp_path / "lodge")


def test_a_file_in_the_way(tmp_path):
    (tmp_path / "lodge").write_text("mine")
    refused(sample_kit(), tmp_path / "lodge", "already a file")
    refused(sample_kit(), tmp_path / "lodge" / "kit", "is a file")


@pytest.mark.parametrize("name", ["../x", "a/b", "", ".."])
def test_kit_names_that_lead_elsewhere(tmp_path, name):
    refused(sample_kit().but(name=name), tmp_path / "lodge", "cannot be the name of a kit")


@pytest.mark.parametrize("number", ["", "../A1", "A/1", "A 1", "A1.stl", "x" * 40])
def test_numbers_that_could_not_be_files(tmp_path, number):
    refused(sample_kit().but(parts=(part(number),)), tmp_path / "lodge", "cannot be the number of a part")


def test_numbers_that_are_not_unique(tmp_path):
    refused(sample_kit().but(parts=(part("A1"), part("a1"))), tmp_path / "lodge", "two parts have the number a1")


def test_a_disk_that_fills_up_leaves_nothing(tmp_path):
    resource = pytest.importorskip("resource")
    write_kit(sample_kit(), tmp_path / "lodge")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1500, hard))
    try:
        refused(sample_kit(), tmp_path / "new" / "lodge", "the disk is full")
        refused(sample_kit(), tmp_path / "lodge", "the disk is full")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.parametrize(
    ("number", "says"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EROFS, "cannot be written to"),
        (errno.EACCES, "cannot be written to"),
        (errno.EIO, "cannot be written"),
    ],
)
def test_what_the_system_says_becomes_a_sentence(tmp_path, monkeypatch, number, says):
    def fail(*_, **__):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "mkdir", fail)
    refused(sample_kit(), tmp_path / "lodge", says)


@pytest.fixture
def ordinary_user():
    """Drop the superuser's rights for a while, who may write everywhere."""
    superuser = os.geteuid() == 0
    if superuser:
        os.seteuid(65534)
    yield
    if superuser:
        os.seteuid(0)


def test_a_read_only_folder(ordinary_user):
    with TemporaryDirectory() as name:
        write_kit(sample_kit(), Path(name) / "lodge")
        Path(name).chmod(0o500)
        try:
            refused(sample_kit(), Path(name) / "other", "cannot be written to")
            refused(sample_kit(), Path(name) / "lodge", "cannot be written to")
        finally:
            Path(name).chmod(0o700)


def test_a_read_only_folder_is_refused_before_the_work(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path) != tmp_path)
    with pytest.raises(KitError, match="cannot be written to"):
        check_destination(tmp_path / "not" / "yet" / "lodge")


@pytest.mark.parametrize("existing", [False, True])
@pytest.mark.parametrize("call", [1, 2])
def test_being_interrupted_while_moving_puts_everything_back(tmp_path, monkeypatch, existing, call):
    if existing:
        write_kit(sample_kit(), tmp_path / "lodge")
    before = tree(tmp_path)
    rename, calls = Path.rename, []

    def interrupt(self, target):
        calls.append(target)
        if len(calls) == min(call, 1 + existing):
            raise KeyboardInterrupt
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_kit(sample_kit(), tmp_path / "lodge")
    assert tree(tmp_path) == before


def test_being_interrupted_while_writing_leaves_nothing(tmp_path, monkeypatch):
    def interrupt(_solid):
        raise KeyboardInterrupt

    monkeypatch.setattr("halfbat.output.folder.stl_bytes", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_kit(sample_kit(), tmp_path / "deep" / "lodge")
    assert tree(tmp_path) == {}


def test_a_drawing_that_cannot_be_finished_leaves_the_one_before_it(tmp_path):
    resource = pytest.importorskip("resource")
    path = tmp_path / "wall.svg"
    write_file(path, b"before")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1500, hard))
    try:
        with pytest.raises(KitError, match="the disk is full"):
            write_file(path, b"x" * 9000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert path.read_bytes() == b"before" and [item.name for item in tmp_path.iterdir()] == ["wall.svg"]


def test_a_drawing_goes_through_a_link_to_what_it_points_at(tmp_path):
    (tmp_path / "real.svg").write_bytes(b"before")
    (tmp_path / "link.svg").symlink_to(tmp_path / "real.svg")
    write_file(tmp_path / "link.svg", b"after")
    assert (tmp_path / "real.svg").read_bytes() == b"after" and (tmp_path / "link.svg").is_symlink()
