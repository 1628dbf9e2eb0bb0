from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import pytest

from halfbat.shelf import PartShelf, digest_of
from halfbat.solids.solid import Solid
from halfbat.surfaces import Kind


@dataclass(frozen=True)
class Plank:
    length: float
    name: str = "deal"


@dataclass(frozen=True)
class Board:
    length: float
    name: str = "deal"


def doubled(values):
    return np.asarray(values) * 2


def refuse():
    raise ValueError("no")


def cube(size):
    return Solid(np.eye(3) * size, np.array([[0, 1, 2]]))


def test_the_same_arguments_are_made_once():
    shelf = PartShelf()
    first = shelf.call(doubled, np.array([1.0, 2.0]))
    assert shelf.call(doubled, np.array([1.0, 2.0])) is first
    assert (shelf.made, shelf.found, len(shelf)) == (1, 1, 1)
    assert shelf.call(doubled, np.array([1.0, 2.5])) is not first
    assert shelf.call(cube, 2.0) is not shelf.call(cube, size=2.0)


def test_what_is_not_asked_for_in_some_rounds_is_thrown_away():
    shelf = PartShelf(rounds=2)
    shelf.call(cube, 1.0)
    kept = shelf.call(cube, 2.0)
    for left in (2, 2, 1):
        shelf.sort_out()
        assert len(shelf) == left
        assert shelf.call(cube, 2.0) is kept
    for left in (1, 1, 0):
        shelf.sort_out()
        assert len(shelf) == left


def test_what_a_function_refuses_is_not_kept():
    shelf = PartShelf()
    for _ in range(2):
        with pytest.raises(ValueError, match="no"):
            shelf.call(refuse)
    assert (shelf.made, len(shelf)) == (2, 0)
    shelf.sort_out()
    assert len(shelf) == 0


def test_a_shelf_that_keeps_nothing_makes_everything_anew():
    shelf = PartShelf(keeping=False)
    assert shelf.call(cube, 1.0) is not shelf.call(cube, 1.0)
    assert len(shelf) == 0


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (1, 1.0),
        (1, True),
        ("1", 1),
        (0.1, 0.1 + 1e-16 * 2),
        (("ab", "c"), ("a", "bc")),
        ((1, (2,)), ((1, 2),)),
        (None, "None"),
        (Plank(1.0), Board(1.0)),
        (Plank(1.0), Plank(1.0, "oak")),
        (np.zeros(4), np.zeros((2, 2))),
        (np.zeros(2), np.zeros(2, dtype=np.float32)),
        (np.array([0.0]), np.array([-0.0])),
        (Kind.HEADER, Kind.STRETCHER),
        ({"a": 1}, {"a": 2}),
        (doubled, cube),
        (np.float64(1.0), 1.0),
    ],
)
def test_different_things_have_different_digests(one, other):
    assert digest_of(one) != digest_of(other)


def test_equal_things_have_one_digest():
    assert digest_of({"a": (1, 2)}) == digest_of(MappingProxyType({"a": [1, 2]}))
    assert digest_of(np.arange(6).reshape(2, 3).T) == digest_of(np.array([[0, 3], [1, 4], [2, 5]]))
    assert digest_of(Plank(2.0)) == digest_of(Plank(2.0, "deal"))


@pytest.mark.parametrize("strange", [object(), {1, 2}, lambda: 1])
def test_things_without_a_known_digest_are_refused(strange):
    with pytest.raises(TypeError, match="no digest"):
        digest_of(strange)
