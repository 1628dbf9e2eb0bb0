from dataclasses import replace

import numpy as np
import pytest

from halfbat.printing.orientation import oriented
from halfbat.settings import Settings, with_value
from halfbat.solids.verify import faults
from printed_parts import box, make, stepped


@pytest.fixture
def part():
    solid = stepped(box(0, 0, 20, 12), [(1.0, ()), (1.4, [box(1, 1, 5, 3)])])
    place = np.eye(4)
    place[:3, 3] = 3, 4, 5
    return replace(make(solid), place=place)


def there(part):
    return np.c_[part.solid.vertices, np.ones(len(part.solid.vertices))] @ part.place.T


@pytest.mark.parametrize(
    ("asked", "size"),
    [("upside down", (20, 12, 1.4)), ("on long edge", (20, 1.4, 12)), ("on short edge", (1.4, 12, 20))],
)
@pytest.mark.parametrize("kind", ["skin", "cover", "shell", "lid"])
def test_a_part_is_turned_and_keeps_its_place(part, asked, size, kind):
    part = replace(part, kind=kind)
    turned, findings = oriented(part, with_value(Settings(), "orientation", kind, asked))
    assert turned.solid.size_mm == pytest.approx(size)
    assert turned.solid.bounds_mm[0, 2] == pytest.approx(0)
    assert turned.solid.bounds_mm[:, :2].sum(axis=0) == pytest.approx([0, 0])
    assert there(turned) == pytest.approx(there(part))
    assert np.linalg.det(turned.place[:3, :3]) == pytest.approx(1)
    assert faults(turned.solid) == ()
    assert [finding.code for finding in findings] == (["orientation"] if kind == "skin" else [])


def test_a_long_edge_is_the_long_one_whichever_way_it_runs(part):
    upright = replace(part, solid=stepped(box(0, 0, 12, 20), [(1.0, ())]))
    turned, _ = oriented(upright, with_value(Settings(), "orientation", "skin", "on long edge"))
    assert turned.solid.size_mm == pytest.approx((1.0, 20, 12))


def test_by_rule_nothing_changes(part):
    assert oriented(part, Settings()) == (part, ())
