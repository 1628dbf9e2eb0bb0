from dataclasses import replace

import numpy as np
import pytest

from covered_kits import house, kit_of_box
from halfbat.parts.hands import lean, with_hands
from halfbat.parts.part import Part
from halfbat.solids.solid import Solid
from kit_help import parts_of
from roof_solids import block, lean_to, mesh_of_solid, union


def wedge(number, kind="skin", mirrored=False, length=20.0):
    """A slab whose height falls to its right, or to its left."""
    outline = np.array([[0, 0], [length, 0], [length, 5], [0, 12]], dtype=float)
    faces = [[0, 1, 2], [0, 2, 3]]
    if mirrored:
        outline = (outline * [-1, 1] + [length, 0])[::-1]
    ring = [[k, (k + 1) % 4] for k in range(4)]
    vertices = np.concatenate([np.column_stack([outline, np.full(4, z)]) for z in (0.0, 1.0)])
    triangles = [[a, c, b] for a, b, c in faces] + [[a + 4, b + 4, c + 4] for a, b, c in faces]
    triangles += [t for a, b in ring for t in ([a, b, b + 4], [a, b + 4, a + 4])]
    return Part(number, number, kind, "resin", Solid(vertices, np.array(triangles)), np.eye(4))


def test_lean_is_the_way_from_the_middle_of_the_box():
    # A trapezium 20 long, 12 high at its left and 5 at its right: its middle lies at 20/3 * (12 + 10) / 17.
    x, y = lean(wedge("A").solid)
    assert x == pytest.approx(20 / 3 * 22 / 17 / 20 - 0.5)
    assert y < 0
    assert lean(wedge("A", mirrored=True).solid) == pytest.approx((-x, y))


def test_mirror_images_are_told_with_their_hand():
    one, other = with_hands([wedge("WA1"), wedge("WB1", mirrored=True)])
    assert one.mirror_of == "WB1" and other.mirror_of == "WA1"
    assert one.notes == ("The left hand: WB1, the right hand, is its mirror image.",)
    assert other.notes == ("The right hand: WA1, the left hand, is its mirror image.",)


@pytest.mark.parametrize(
    "other",
    [
        wedge("B"),
        wedge("B", mirrored=True, length=22.0),
        wedge("B", kind="roof skin", mirrored=True),
        wedge("B", kind="cover", mirrored=True),
    ],
)
def test_others_have_no_hand(other):
    parts = [wedge("A"), other]
    assert with_hands(parts) == tuple(parts)


def test_each_part_has_one_partner_at_most():
    parts = [wedge("A"), wedge("B", mirrored=True), wedge("C", mirrored=True), replace(wedge("D"), notes=("Note.",))]
    assert [part.mirror_of for part in with_hands(parts)] == ["B", "A", "D", "C"]
    assert with_hands(parts)[3].notes[0] == "Note."


def test_the_sides_of_a_lean_to_are_a_pair_and_those_of_a_box_are_not():
    kit = house(mesh_of_solid(union(block(0, 0, 8, 5, 4.0), lean_to(8, 1, 11, 4, 3.0, 2.0))))
    paired = [part for part in parts_of(kit, "skin") if part.mirror_of]
    assert len(paired) == 2 and paired[0].mirror_of == paired[1].number
    assert not any(part.mirror_of for part in kit_of_box().parts)
