from pathlib import Path

import numpy as np
import pytest

from halfbat.building import Mesh, mesh_from_box
from halfbat.errors import KitError
from halfbat.kitfile import KitFile, kit_mesh, read_kit_file, save_kit_file
from halfbat.kitfile.example import example_mesh, example_settings
from halfbat.settings import Settings


def test_what_is_saved_reads_back_as_the_same(tmp_path):
    mesh = example_mesh()
    odd = Mesh(mesh.vertices / 3.0 + 1e-7, mesh.faces)
    path = save_kit_file(tmp_path / "lodge.toml", example_settings(), odd)
    read = read_kit_file(path)
    assert read.settings == example_settings()
    again = kit_mesh(read)
    assert np.array_equal(again.vertices, odd.vertices)
    assert again.faces == odd.faces
    assert sorted(item.name for item in tmp_path.iterdir()) == ["lodge.obj", "lodge.toml"]


def test_saving_again_replaces_both_and_moving_the_folder_does_no_harm(tmp_path):
    folder = tmp_path / "one"
    folder.mkdir()
    save_kit_file(folder / "lodge", Settings(), mesh_from_box(9.0, 5.0, 3.0))
    save_kit_file(folder / "lodge.toml", Settings(), mesh_from_box(8.0, 5.0, 3.0))
    folder.rename(tmp_path / "two")
    assert kit_mesh(read_kit_file(tmp_path / "two" / "lodge.toml")).vertices.max() == 8.0


def test_a_mesh_of_the_makers_own_is_not_written_over(tmp_path):
    (tmp_path / "lodge.obj").write_text("v 0 0 0\n", encoding="utf-8")
    with pytest.raises(KitError, match="another name"):
        save_kit_file(tmp_path / "lodge.toml", Settings(), mesh_from_box(9.0, 5.0, 3.0))
    assert [item.name for item in tmp_path.iterdir()] == ["lodge.obj"]
    assert (tmp_path / "lodge.obj").read_text(encoding="utf-8") == "v 0 0 0\n"


def test_a_place_that_cannot_be_written_to_is_refused_in_a_sentence(tmp_path):
    with pytest.raises(KitError, match="choose another place"):
        save_kit_file(tmp_path / "nowhere" / "lodge.toml", Settings(), mesh_from_box(9.0, 5.0, 3.0))
    (tmp_path / "lodge.obj").mkdir()
    with pytest.raises(KitError, match="choose another name"):
        save_kit_file(tmp_path / "lodge.toml", Settings(), mesh_from_box(9.0, 5.0, 3.0))


def test_the_mesh_of_a_kit_file_is_its_box_or_its_mesh():
    assert kit_mesh(KitFile(Settings(), box_m=(9.0, 5.0, 3.0))).vertices.max(axis=0).tolist() == [9.0, 5.0, 3.0]
    with pytest.raises(KitError, match="no building"):
        kit_mesh(KitFile(Settings()))
    with pytest.raises(KitError, match="no such mesh"):
        kit_mesh(KitFile(Settings(), mesh=Path("nowhere.obj")))
