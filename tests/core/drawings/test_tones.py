from dataclasses import replace

import numpy as np
import pytest

from halfbat.drawings.tones import BRICK_TONES, Tone, tones_of
from halfbat.kit import make_kit
from halfbat.settings import OpeningRequest
from kit_help import building_of, settings_with
from made_kits import long_box


@pytest.fixture(scope="module")
def skin():
    return next(part for part in long_box().parts if part.number == "WA1")


def area_by_tone(part):
    a, b, c = (part.solid.vertices[part.solid.triangles[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a) / 2
    tones = tones_of(part)
    up = normals[:, 2] > 0
    return {tone: float(normals[up & (tones == tone), 2].sum()) for tone in range(Tone.BRICK + BRICK_TONES)}


def test_a_skin_shows_bricks_in_all_tones_and_mortar_between(skin):
    areas = area_by_tone(skin)
    bricks = [areas[Tone.BRICK + turn] for turn in range(BRICK_TONES)]
    assert min(bricks) > 0.15 * sum(bricks)
    assert 0.3 < areas[Tone.MORTAR] / sum(bricks) < 0.8  # joints are wide at this small scale
    x, y, _ = skin.solid.size_mm
    assert sum(bricks) + areas[Tone.MORTAR] > 0.9 * x * y * 0.9


def test_each_brick_has_one_tone(skin):
    tones, floor = tones_of(skin), skin.relief_mm[0]
    seen = {}
    for triangle, tone in zip(skin.solid.triangles.tolist(), tones.tolist(), strict=True):
        for corner in triangle:
            if skin.solid.vertices[corner, 2] > floor + 0.01:
                assert seen.setdefault(corner, tone) == tone
    assert len(seen) > 1000


def test_bricks_keep_their_tones_when_the_panel_is_cut_elsewhere(skin):
    moved = replace(
        skin, solid=replace(skin.solid, vertices=skin.solid.vertices - [1.0, 0, 0]), place=skin.place.copy()
    )
    moved.place[:3, 3] += skin.place[:3, 0] * 1.0
    assert np.mean(tones_of(moved) == tones_of(skin)) > 0.97


def test_parts_without_bricks_are_plain():
    shell = next(part for part in long_box().parts if part.kind == "shell")
    assert set(tones_of(shell).tolist()) == {Tone.PLAIN}


def test_a_lintel_and_a_stone_sill_are_stone():
    window = OpeningRequest("A", "2 m", "1.2 m", "1.2 m", "0.9 m", sill="stone")
    settings = replace(settings_with(kit__scale="1:76.2"), openings=(window,))
    kit = make_kit(building_of([(0, 0), (5, 0), (5, 4), (0, 4)], 2.6), settings, checked=False)
    areas = area_by_tone(next(part for part in kit.parts if part.number == "WA1"))
    lintel_mm2 = 1200 / 76.2 * 150 / 76.2
    assert areas[Tone.STONE] > lintel_mm2
    assert areas[Tone.STONE] < 8 * lintel_mm2


def test_tones_lie_in_no_pattern(skin):
    """Neighbours in a course are as often of one tone as chance has it."""
    tones = tones_of(skin)
    middles = skin.solid.vertices[skin.solid.triangles].mean(axis=1)
    rows = np.round(middles[:, 1] / 0.5)
    same = total = 0
    for row in np.unique(rows):
        held = (rows == row) & (tones >= Tone.BRICK)
        ordered = tones[held][np.argsort(middles[held, 0])]
        runs = ordered[np.flatnonzero(np.diff(ordered, prepend=-1))]
        total, same = total + len(ordered), same + len(runs)
    shares = np.bincount(tones[tones >= Tone.BRICK] - Tone.BRICK) / (tones >= Tone.BRICK).sum()
    assert shares == pytest.approx(np.full(BRICK_TONES, 1 / BRICK_TONES), abs=0.06)
    assert 0 < same < total
