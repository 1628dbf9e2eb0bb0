"""What of the roof stands on an elevation, and where its numbers do."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.drawings.drawing import Brickwork, Label, signed_area
from halfbat.drawings.elevation import elevation, elevation_size
from halfbat.drawings.elevation_roof import box_of, in_wall, roof_over, seen_faces
from halfbat.drawings.paper import ROOM_MM
from halfbat.drawings.roofing import roof_faces
from halfbat.kit import make_kit, smallest_face_m
from halfbat.settings import ChimneyRequest, RoofLightRequest
from kit_help import settings_with
from roof_solids import gabled, mesh_of_solid

DRAWN_MM = 0.6
"""Roof skins are drawn as plates as thick as their highest tiles."""


@cache
def cottage():
    """Gables, overhangs with boards, a chimney astride the ridge and a roof light, at 1:100."""
    settings = settings_with(
        kit__scale="1:100", roof__eaves_overhang_mm=250.0, roof__verge_overhang_mm=150.0, roof__covering="slate"
    )
    settings = replace(settings, chimneys=(ChimneyRequest("A", "6 m"),), roof_lights=(RoofLightRequest("A", "2 m"),))
    mesh = mesh_of_solid(gabled(0, 0, 9, 6, 2.8, 2.4), 0.0, "cottage.obj")
    structure = structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings))
    return make_kit(structure, settings, checked=False)


def labels(drawing):
    return {item.part: item for item in drawing.items if isinstance(item, Label) and item.part}


def walls():
    kit = cottage()
    long = [wall for wall in kit.plan.walls if wall.wall.length_m > 8]
    return kit, long, [wall for wall in kit.plan.walls if wall not in long]


def test_a_wall_under_eaves_shows_its_slope_and_what_is_on_it():
    kit, (wall, _), _ = walls()
    kinds = {part.kind for part in roof_over(kit, wall)}
    assert {"roof skin", "ridge", "fascia", "barge board", "chimney", "pot"} <= kinds
    drawing = elevation(kit, wall, elevation_size(kit))
    assert {"RA1", "EA1", "K1", "GA1"} <= set(labels(drawing)) or {"RB1", "EB1", "K1"} <= set(labels(drawing))


def test_every_part_of_the_roof_is_named_on_some_elevation_and_on_each_once():
    kit, _, _ = walls()
    size, named = elevation_size(kit), set()
    for wall in kit.plan.walls:
        found = [item.part for item in elevation(kit, wall, size).items if isinstance(item, Label) and item.part]
        assert len(found) == len(set(found))
        named |= set(found)
    wanted = {part.number for part in kit.parts if part.kind not in ("shell", "former", "base", "lid", "pot")}
    assert wanted - named == set()


def test_numbers_of_the_roof_cover_no_other_number():
    kit, _, _ = walls()
    size = elevation_size(kit)
    for wall in kit.plan.walls:
        boxes = []
        for label in labels(elevation(kit, wall, size)).values():
            half = np.array([len(label.text) * label.height_mm * 0.56 / 2, label.height_mm * 0.5])
            middle = np.add(label.at, (half[0] if label.anchor == "start" else 0.0, 0.0))
            boxes.append((middle - half, middle + half))
        for index, (low, high) in enumerate(boxes):
            assert not any(((low < other[1]) & (high > other[0])).all() for other in boxes[:index])


def test_a_gable_shows_its_barge_boards_and_not_those_behind_it():
    kit, _, gables = walls()
    size = elevation_size(kit)
    seen = [{name for name in labels(elevation(kit, wall, size)) if name.startswith("B")} for wall in gables]
    assert [len(names) for names in seen] == [2, 2]
    assert not seen[0] & seen[1]


def test_coverings_are_drawn_by_their_gauge_within_the_slope():
    kit, (wall, _), _ = walls()
    size = float(elevation_size(kit))
    drawing = elevation(kit, wall, elevation_size(kit))
    (roof,) = [item for item in drawing.items if isinstance(item, Brickwork) and item.bond.key.startswith("R")]
    beds = (np.column_stack([np.zeros(len(roof.bond.beds_mm)), roof.bond.beds_mm]) @ roof.matrix[:, :2].T)[:, 1]
    face = next(face for face in kit.plan.roofs if roof.bond.key.startswith(f"R{'AB'[face.slope.index]}"))
    plumb = np.sin(np.radians(face.slope.pitch_deg)) * size
    assert len(beds) > 8
    assert np.median(np.diff(beds)) == pytest.approx(face.courses.gauge_mm * plumb, rel=0.02)


def test_the_paper_has_room_for_roofs():
    kit, _, _ = walls()
    size = elevation_size(kit)
    for wall in kit.plan.walls:
        low, high = elevation(kit, wall, size).bounds
        assert (high - low <= np.array(ROOM_MM) + 2.5).all()
        top = box_of(wall, roof_over(kit, wall))[1, 1] * float(size)
        assert high[1] >= top


def test_faces_of_the_roof_lie_where_its_parts_do():
    kit, (wall, _), _ = walls()
    parts = roof_over(kit, wall)
    for one in seen_faces(wall, parts):
        there = in_wall(wall, one.part.solid.vertices @ one.part.place[:3, :3].T + one.part.place[:3, 3])
        low, high = there.min(axis=0) - DRAWN_MM, there.max(axis=0) + DRAWN_MM
        for ring in one.flat.rings:
            deep = np.column_stack([ring, np.ones(len(ring))]) @ one.flat.depth
            assert ((np.column_stack([ring, deep]) >= low) & (np.column_stack([ring, deep]) <= high)).all()


def test_the_outer_ring_of_a_roof_skin_is_its_largest():
    kit, _, _ = walls()
    for part in kit.parts:
        if part.kind != "roof skin":
            continue
        top = roof_faces(part)[0]
        areas = [signed_area(ring[:, :2]) for ring in top.rings]
        assert areas[0] == max(np.abs(areas))
