import os

import numpy as np
import pytest

from halfbat.building import read_obj
from halfbat.building.obj import MAX_OBJ_BYTES
from halfbat.errors import KitError

TRIANGLE = "v 0 0 0\nv 1 0 0\nv 0 0 1\n"


def read(tmp_path, text):
    file = tmp_path / "house.obj"
    if isinstance(text, str):
        text = text.encode()
    file.write_bytes(text)
    return read_obj(file)


@pytest.mark.parametrize(
    "face",
    [
        "f 1 2 3",
        "f 1/7 2/8 3/9",
        "f 1/7/4 2/8/5 3/9/6",
        "f 1//4 2//5 3//6",
        "f -3 -2 -1",
        "f 1 \\\n 2 \\\n3",
        "f 1 2 3 # x",
    ],
)
def test_faces_are_read_however_written(tmp_path, face):
    mesh = read(tmp_path, TRIANGLE + "vt 0 0\nvn 0 0 1\no house\ng wall\ns off\nusemtl brick\n" + face + "\n")
    assert mesh.faces == ((0, 1, 2),)
    assert np.array_equal(mesh.vertices, [[0, 0, 0], [1, 0, 0], [0, 0, 1]])
    assert mesh.source == "house.obj"


def test_crlf_byte_order_mark_weights_colours_and_late_points(tmp_path):
    text = "\ufeff# made\r\nf 1 2 3\r\nv 0 0 0 1\r\nv 1e0 0 0 0.5 0.5 0.5\r\nv 0 0 1.\r\n"
    assert read(tmp_path, text).faces == ((0, 1, 2),)


def test_negative_indices_count_from_where_they_stand(tmp_path):
    mesh = read(tmp_path, TRIANGLE + "f -3 -2 -1\nv 5 5 5\nf -4 -2 -1\n")
    assert mesh.faces == ((0, 1, 2), (0, 2, 3))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (TRIANGLE + "v nan 0 0\nf 1 2 3", ("line 4", "finite")),
        (TRIANGLE + "v 0 inf 0\nf 1 2 3", ("line 4", "finite")),
        (TRIANGLE + "v 0 1\nf 1 2 3", ("line 4", "three numbers")),
        (TRIANGLE + "v 0 1,5 2\nf 1 2 3", ("line 4", "three numbers")),
        (TRIANGLE + "f 1 2 4", ("line 4", "point 4", "3 points")),
        (TRIANGLE + "f 0 1 2", ("line 4", "point 0")),
        (TRIANGLE + "f 1 2 -4", ("line 4", "point -4")),
        (TRIANGLE + "f 1 2", ("line 4", "2 corners")),
        (TRIANGLE + "f a b c", ("line 4", "'a'")),
        (TRIANGLE + "# one\n\nf 1 2 \\\n x", ("line 6", "'x'")),
        (TRIANGLE, ("no faces",)),
        ("", ("no points",)),
        ("<html>not found</html>", ("no points",)),
        (b"\x89PNG\r\n\0\0\0", ("binary",)),
        (os.urandom(4096) + b"\0", ("binary",)),
    ],
)
def test_broken_files_are_refused_with_their_line(tmp_path, text, words):
    with pytest.raises(KitError) as refusal:
        read(tmp_path, text)
    sentence = str(refusal.value)
    assert "house.obj" in sentence
    for word in words:
        assert word in sentence


def test_missing_file_folder_and_impossible_path(tmp_path):
    for path, word in ((tmp_path / "none.obj", "no such"), (tmp_path, "folder"), ("a\0b.obj", "")):
        with pytest.raises(KitError) as refusal:
            read_obj(path)
        assert word in str(refusal.value)


def test_size_is_checked_before_reading(tmp_path, monkeypatch):
    file = tmp_path / "scan.obj"
    with file.open("wb") as stream:
        stream.truncate(MAX_OBJ_BYTES + 1)
    monkeypatch.setattr("pathlib.Path.read_bytes", lambda self: pytest.fail("was read"))
    with pytest.raises(KitError, match="64 MB"):
        read_obj(file)


def test_unreadable_file(tmp_path, monkeypatch):
    file = tmp_path / "locked.obj"
    file.write_text(TRIANGLE)

    def refuse(self):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.read_bytes", refuse)
    with pytest.raises(KitError, match="Permission denied"):
        read_obj(file)
