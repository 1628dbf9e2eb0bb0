"""Rendered pictures for the booklet."""

import io

import numpy as np
import pytest

from halfbat import rendering
from sample_kits import sample_kit


@pytest.mark.blender
def test_a_picture_of_the_model_and_of_every_part(monkeypatch):
    pytest.importorskip("bpy")
    image = pytest.importorskip("PIL.Image")
    monkeypatch.setattr(rendering, "COVER_PIXELS", (132, 90))
    monkeypatch.setattr(rendering, "COVER_SAMPLES", 2)
    monkeypatch.setattr(rendering, "PART_PIXELS", (72, 40))
    monkeypatch.setattr(rendering, "PART_SAMPLES", 2)
    kit = sample_kit()
    said = []
    pictures = rendering.render_pictures(kit, lambda share, text: said.append((share, text)))
    assert set(pictures) == {"assembled", *(part.number for part in kit.parts)}
    assert len(said) == len(pictures) and all(0 <= share <= 1 for share, _ in said)
    for data in pictures.values():
        grey = np.asarray(image.open(io.BytesIO(data)).convert("L"))
        # Something stands before a white ground.
        assert (grey > 235).mean() > 0.1 and (grey < 200).mean() > 0.02
