from dataclasses import replace

import numpy as np
import pytest

from covered_kits import house, kit_of_box
from halfbat.parts.hands import balance, with_hands
from halfbat.parts.part import Part
from halfbat.solids.solid import Solid
from kit_help import parts_of
from roof_solids import block, gabled, lean_to, mesh_of_solid, union


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


def test_balance_is_how_the_mass_lies_in_the_box():
    # A trapezium 20 long, 12 high at its left and 5 at its right: its middle lies at 20/3 * (12 + 10) / 17.
    own = balance(wedge("A").solid)
    assert own.across == pytest.approx(20 / 3 * 22 / 17 / 20 - 0.5)
    assert own.up < 0 and own.is_left
    other = balance(wedge("A", mirrored=True).solid)
    assert (other.across, other.up, other.slant) == pytest.approx((-own.across, own.up, -own.slant))


def test_slant_of_a_parallelogram():
    # 10 wide, 4 high, the top 2 further right: the mean of x times y about the middle is 2 * 4 / 12.
    x = np.array([0.0, 10.0, 12.0, 2.0])
    outline = np.column_stack([x, [0.0, 0.0, 4.0, 4.0]])
    board = wedge("A")
    solid = Solid(np.concatenate([np.column_stack([outline, np.full(4, z)]) for z in (0, 1)]), board.solid.triangles)
    assert balance(solid).slant == pytest.approx(2 * 4 / 12 / 4**2)


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


def test_barge_boards_of_a_gable_are_a_pair():
    kit = house(mesh_of_solid(gabled(0, 0, 8, 5, 2.4, 1.5)))
    boards = parts_of(kit, "barge board")
    assert len(boards) == 4 and all(part.mirror_of in {one.number for one in boards} for part in boards)
    left = [part for part in boards if part.notes[-1].startswith("The left hand")]
    assert len(left) == 2
    for part in left:
        # Seen from outside, a left one rises to the right.
        outward = part.place[:3, 2]
        right = np.cross([0.0, 0.0, 1.0], outward)
        rising = part.place[:3, 0] * np.sign(part.place[:3, 0] @ right)
        assert rising[2] > 0.1
