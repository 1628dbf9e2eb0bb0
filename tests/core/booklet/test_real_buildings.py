"""The booklet of real buildings with gables, openings and roofs."""

import os
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from halfbat.booklet.corners import Role, order_round, wall_ends
from halfbat.booklet.page import booklet_html
from halfbat.booklet.steps import assembly_steps
from halfbat.building import read_obj
from halfbat.building.erect import structure_from_mesh
from halfbat.drawings.catalogue import named_drawing
from halfbat.drawings.svg import svg_bytes
from halfbat.kit import make_kit, smallest_face_m
from made_kits import with_values

FOLDER = os.environ.get("HALFBAT_BUILDINGS")
pytestmark = pytest.mark.skipif(not FOLDER, reason="HALFBAT_BUILDINGS does not say where they are")


@pytest.mark.parametrize("name", ["b03_gable_bungalow", "b08_lod3_house_windows"])
def test_every_part_is_listed_drawn_and_put_in_place(name):
    settings = with_values(("kit", "scale", "1:148"), ("kit", "name", "Real"))
    mesh = read_obj(Path(FOLDER) / f"{name}.obj")
    kit = make_kit(structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings)), settings, checked=False)
    wanted = Counter({part.number: part.quantity for part in kit.parts})
    assert {"former", "roof skin"} <= {part.kind for part in kit.parts}
    steps = assembly_steps(kit)
    assert Counter(part.number for step in steps for part in step.uses) == Counter(part.number for part in kit.parts)
    drawn = ET.fromstring(svg_bytes(named_drawing(kit, "exploded")))
    assert sorted(text.get("data-part") for text in drawn.iter() if text.get("data-part")) == sorted(wanted)
    page = booklet_html(kit)
    assert all(f'data-part="{number}"'.encode() in page for number in wanted)
    assert len(page) < 4_000_000
    place = {wall.wall.index: index for index, wall in enumerate(order_round(kit.plan))}
    for wall in kit.plan.walls:
        for end in wall_ends(kit.plan, wall):
            if end.role is Role.RUNS_ON:
                assert place[wall.wall.index] < place[end.other.wall.index]
