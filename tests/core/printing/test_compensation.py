from dataclasses import replace

import numpy as np
import pytest
import trimesh

from halfbat.building import building_from_mesh, mesh_from_box
from halfbat.kit import make_kit
from halfbat.output.folder import write_kit
from halfbat.output.manifest import kit_manifest
from halfbat.printing.compensation import correction, written_solid
from halfbat.settings import FilamentProcess, ResinProcess, Settings
from sample_kits import sample_kit

RESIN = replace(ResinProcess(), scale_x=1.006, scale_y=1.004, scale_z=0.998)
FILAMENT = replace(FilamentProcess(), scale_x=1.002, scale_y=1.003, scale_z=1.001)


@pytest.fixture(scope="module")
def kit():
    settings = replace(Settings(), resin=RESIN, filament=FILAMENT)
    return make_kit(building_from_mesh(mesh_from_box(6.0, 4.0, 2.4), smallest_face_m=0.1), settings)


def test_each_material_is_corrected_by_its_own(kit):
    for part in kit.parts:
        process = RESIN if part.process == "resin" else FILAMENT
        wanted = part.solid.size_mm * (process.scale_x, process.scale_y, process.scale_z)
        assert written_solid(part, kit.settings).size_mm == pytest.approx(wanted, abs=1e-9)
        assert part.solid.size_mm != pytest.approx(wanted, abs=1e-3)


def test_what_is_written_is_corrected_and_the_manifest_says_by_how_much(kit, tmp_path):
    write_kit(kit, tmp_path / "kit")
    for item in kit_manifest(kit)["parts"]:
        mesh = trimesh.load_mesh(tmp_path / "kit" / item["file"])
        assert mesh.is_volume
        assert mesh.extents / item["correction"] == pytest.approx(item["size_mm"], abs=1e-4)


def test_nothing_changes_without_a_correction():
    kit = sample_kit()
    assert all(written_solid(part, kit.settings) is part.solid for part in kit.parts)
    assert all((correction(part, kit.settings) == 1).all() for part in kit.parts)


def test_the_assembled_kit_keeps_its_size(kit):
    plain = make_kit(building_from_mesh(mesh_from_box(6.0, 4.0, 2.4), smallest_face_m=0.1), Settings())
    for with_it in (kit, plain):
        corners = [
            np.c_[part.solid.vertices, np.ones(len(part.solid.vertices))] @ part.place[:3].T
            for part in with_it.parts
            if part.kind == "skin"
        ]
        size = np.ptp(np.concatenate(corners), axis=0)
        assert size == pytest.approx(np.array([6.0, 4.0, 2.4]) * 1000 / 148, abs=2e-3)


def test_joints_are_whole_pixels_and_layers_once_corrected(kit):
    for part in kit.parts:
        if part.kind != "skin":
            continue
        solid = written_solid(part, kit.settings)
        height = solid.size_mm[2] - 0.03
        lines = trimesh.intersections.mesh_plane(
            trimesh.Trimesh(solid.vertices, solid.triangles, process=False), [0, 0, 1], [0, 0, height]
        )
        upright = np.abs(np.diff(lines[:, :, 0], axis=1)[:, 0]) < 1e-9
        edges = np.unique(lines[upright, 0, 0])
        pixels = edges[np.abs(edges) < solid.size_mm[0] / 2 - 1.5] / RESIN.pixel_x_mm
        assert len(pixels) > 20
        assert np.abs(pixels - np.round(pixels)).max() * RESIN.pixel_x_mm < 6e-4
        levels = np.unique(np.round(solid.vertices[:, 2] / RESIN.layer_mm, 2))
        assert np.abs(levels[-2:] - np.round(levels[-2:])).max() < 0.02
