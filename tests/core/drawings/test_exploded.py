from dataclasses import replace
from functools import cache

import numpy as np

from halfbat.drawings.drawing import Label, Shape
from halfbat.drawings.exploded import exploded
from halfbat.drawings.faces import kit_faces
from halfbat.kit import make_kit
from halfbat.settings import OpeningRequest
from kit_help import building_of, settings_with


@cache
def windowed():
    """A box of 8 x 5 x 3 m with a window in wall A."""
    opening = OpeningRequest("A", "2 m", width="1 m", height="1.2 m", sill_height="0.9 m", insert="casement window")
    settings = replace(settings_with(kit__scale="1:100"), openings=(opening,))
    return make_kit(building_of([[0, 0], [8, 0], [8, 5], [0, 5]]), settings, checked=False)


def test_a_window_is_drawn_over_its_wall_with_a_line_to_its_place():
    kit = windowed()
    drawing = exploded(kit, kit_faces(kit), (176.0, 215.0))
    at = {item.part: np.array(item.at) for item in drawing.items if isinstance(item, Label) and item.part}
    assert at["JA1"][1] > at["WA1"][1] + 10.0
    ways = [item.rings[0] for item in drawing.items if isinstance(item, Shape) and item.style == "leader"]
    straight = [ring for ring in ways if abs(ring[0, 0] - ring[-1, 0]) < 1e-6]
    assert any(np.hypot(*(ring[0] - at["JA1"])) < 20.0 and ring[-1, 1] < ring[0, 1] - 5.0 for ring in straight)


def test_every_part_is_named_once():
    kit = windowed()
    drawing = exploded(kit, kit_faces(kit), (176.0, 215.0))
    named = sorted(item.part for item in drawing.items if isinstance(item, Label) and item.part)
    assert named == sorted(part.number for part in kit.parts)
