import pytest

from halfbat.building.wall import wall_letter
from halfbat.parts.font import LINES
from halfbat.parts.numbering import Numbering, NumberKind, part_number


def test_the_scheme():
    assert part_number(NumberKind.SHELL, 1) == "S1"
    assert part_number(NumberKind.SKIN, 2, "A") == "WA2"
    assert part_number(NumberKind.COVER, 12, "AB") == "CAB12"
    assert part_number(NumberKind.LID, 1) == "L1"


def test_no_two_parts_of_a_large_kit_share_a_number():
    numbering = Numbering()
    given = [numbering.assign(kind, i) for kind in (NumberKind.SHELL, NumberKind.LID, NumberKind.TAB) for i in (1, 2)]
    for wall in (wall_letter(i) for i in range(600)):
        given += [numbering.assign(kind, i, wall) for kind in (NumberKind.SKIN, NumberKind.COVER) for i in range(1, 12)]
    assert len(set(given)) == len(given)
    assert numbering.given == set(given)


def test_every_number_can_be_engraved():
    letters = {kind.value for kind in NumberKind} | {letter for i in range(600) for letter in wall_letter(i)}
    assert letters | set("0123456789") <= set(LINES)
    assert not letters & set("IOQ")


def test_a_number_is_given_only_once():
    numbering = Numbering()
    numbering.assign(NumberKind.SKIN, 1, "A")
    with pytest.raises(ValueError, match="WA1"):
        numbering.assign(NumberKind.SKIN, 1, "A")


@pytest.mark.parametrize(
    ("kind", "index", "wall"),
    [
        (NumberKind.SKIN, 0, "A"),
        (NumberKind.SKIN, 1, None),
        (NumberKind.SHELL, 1, "A"),
        (NumberKind.COVER, 1, "I"),
        (NumberKind.COVER, 1, "../x"),
    ],
)
def test_a_number_outside_the_scheme_is_refused(kind, index, wall):
    with pytest.raises(ValueError):
        part_number(kind, index, wall)
