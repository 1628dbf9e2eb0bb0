"""Rendered pictures for the booklet."""

import numpy as np
import pytest

from halfbat import rendering
from sample_kits import sample_kit


@pytest.mark.blender
def test_a_picture_of_the_model_and_of_every_part(monkeypatch, tmp_path):
    bpy = pytest.importorskip("bpy")
    monkeypatch.setattr(rendering, "COVER_PIXELS", (132, 90))
    monkeypatch.setattr(rendering, "COVER_SAMPLES", 2)
    monkeypatch.setattr(rendering, "PART_PIXELS", (72, 40))
    monkeypatch.setattr(rendering, "PART_SAMPLES", 2)
    bpy.ops.wm.read_factory_settings()
    before = [sorted(one.name for one in kind) for kind in (bpy.data.objects, bpy.data.meshes, bpy.data.scenes)]
    kit = sample_kit()
    said = []
    pictures = rendering.render_pictures(kit, lambda share, text: said.append((share, text)))
    assert set(pictures) == {"assembled", *(part.number for part in kit.parts)}
    assert len(said) == len(pictures) and all(0 <= share <= 1 for share, _ in said)
    # The maker's own scene is as it was.
    assert before == [sorted(one.name for one in kind) for kind in (bpy.data.objects, bpy.data.meshes, bpy.data.scenes)]
    for number, data in pictures.items():
        (tmp_path / f"{number}.jpg").write_bytes(data)
        image = bpy.data.images.load(str(tmp_path / f"{number}.jpg"))
        grey = np.array(image.pixels[:]).reshape(-1, 4)[:, :3].mean(axis=1)
        # Something stands before a white ground.
        assert (grey > 0.9).mean() > 0.1 and (grey < 0.8).mean() > 0.01, number
