from dataclasses import replace

import numpy as np
import pytest

from halfbat.drawings.drawing import Label, Shape
from halfbat.drawings.elevation import elevation_size
from halfbat.drawings.finding_marks import finding_marks, numbered_findings
from halfbat.findings import Finding, Place, Severity
from made_kits import l_shape


def findings(*places):
    return tuple(
        Finding(Severity.NOTE, "x", "wall A", f"finding {k}", "", Place.on_wall("wall A", *place))
        for k, place in enumerate(places)
    )


def marked(*places):
    kit = replace(l_shape(), findings=findings(*places))
    size = elevation_size(kit)
    return finding_marks(kit, "A", size, numbered_findings(kit)), float(size), kit


def test_a_mark_is_where_the_place_is():
    items, size, kit = marked((5.0, 6.0, 25.0, 16.0))
    box, ring, label = items
    assert isinstance(box, Shape) and isinstance(ring, Shape) and isinstance(label, Label)
    assert box.rings[0].min(axis=0) == pytest.approx([5.0 * size, 6.0 * size])
    assert box.rings[0].max(axis=0) == pytest.approx([25.0 * size, 16.0 * size])
    assert label.text == "1"
    assert finding_marks(kit, "B", elevation_size(kit), numbered_findings(kit)) == ()


def test_a_point_is_marked_large_enough_to_be_seen():
    (box, *_), size, _ = marked((5.0, 6.0, 5.0, 6.0))
    assert np.ptp(box.rings[0], axis=0) == pytest.approx([1.6, 1.6])
    assert box.rings[0].mean(axis=0) == pytest.approx([5.0 * size, 6.0 * size])


def test_rings_do_not_hide_each_other():
    items, *_ = marked(*[(5.0, 6.0, 25.0, 16.0)] * 5)
    middles = np.array([item.at for item in items if isinstance(item, Label)])
    apart = np.hypot(*(middles[:, None] - middles[None]).transpose(2, 0, 1))
    assert apart[~np.eye(5, dtype=bool)].min() >= 3.8 - 1e-9


def test_the_worst_have_the_lowest_numbers():
    one, other = findings((1.0, 1.0, 2.0, 2.0), (3.0, 3.0, 4.0, 4.0))
    bad = replace(other, severity=Severity.FAILURE)
    kit = replace(l_shape(), findings=(one, bad, Finding(Severity.FAILURE, "y", "", "nowhere")))
    assert numbered_findings(kit) == {bad: 1, one: 2}


def test_a_stretch_as_high_as_the_wall_is_marked_at_its_foot():
    _, size, kit = marked((5.0, 0.0, 25.0, 1.0))
    top = kit.plan.walls[0].facing.laying.height_mm
    (box, *_), _, _ = marked((5.0, 0.0, 25.0, top))
    assert np.ptp(box.rings[0], axis=0) == pytest.approx([20.0 * size, 3.0])
    (box, *_), _, _ = marked((5.0, 0.0, 25.0, 0.6 * top))
    assert np.ptp(box.rings[0], axis=0) == pytest.approx([20.0 * size, 0.6 * top * size], abs=1e-3)
