"""Sections of random boxes and Ls: sound, within the printer's room, apart, and put together by going straight down.

HALFBAT_EXAMPLES sets how many are drawn; the default keeps the suite quick.
"""

import os
from itertools import combinations

import numpy as np
from hypothesis import HealthCheck, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from halfbat.solids.verify import faults
from kit_help import common_mm3, kit_of, manifold, parts_of

EXAMPLES = int(os.environ.get("HALFBAT_EXAMPLES", "6"))


@st.composite
def plans(draw):
    """A box or an L in metres, turned by any angle."""
    long, deep = draw(st.floats(8.0, 16.0)), draw(st.floats(5.0, 11.0))
    plan = [(0, 0), (long, 0), (long, deep), (0, deep)]
    if draw(st.booleans()):
        x, y = long * draw(st.floats(0.35, 0.65)), deep * draw(st.floats(0.4, 0.6))
        plan = [(0, 0), (long, 0), (long, y), (x, y), (x, deep), (0, deep)]
    angle = draw(st.sampled_from((0.0, 0.0, 0.3, 1.1)))
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    return (np.array(plan) @ turn).tolist()


@given(plans(), st.floats(95.0, 160.0), st.floats(95.0, 160.0), st.booleans())
@examples(max_examples=EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
def test_sections_of_random_buildings(plan, room_x, room_y, floor):
    values = {"filament__usable_x_mm": room_x, "filament__usable_y_mm": room_y, "shell__floor": floor}
    kit = kit_of(plan, 3.6, kit__scale="1:76.2", mark__make=False, **values)
    whole = kit_of(plan, 3.6, kit__scale="1:76.2", mark__make=False, shell__floor=floor, shell__sections=False)
    for kind in ("shell", "lid"):
        parts = parts_of(kit, kind)
        assert [part.number for part in parts if faults(part.solid)] == []
        bodies = [manifold(part) for part in parts]
        for one, other in combinations(bodies, 2):
            for lift in (0.0, 0.7, 5.0):
                assert common_mm3(one, other.translate((0, 0, lift))) < 1e-6
        # A body is whole or in sections that fit, and either way as large as it was.
        if len(parts) > 1:
            assert all(_fits(part.solid.size_mm, room_x, room_y) for part in parts)
        boxes = np.array([body.bounding_box() for body in bodies])
        box = np.concatenate([boxes[:, :3].min(axis=0), boxes[:, 3:].max(axis=0)])
        assert np.allclose(box, manifold(parts_of(whole, kind)[0]).bounding_box(), atol=3e-3)


def _fits(size, room_x, room_y):
    return (size[0] <= room_x and size[1] <= room_y) or (size[0] <= room_y and size[1] <= room_x)
