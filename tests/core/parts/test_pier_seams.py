"""Seams in the corners of piers, on whole walls."""

import numpy as np
import pytest

from covered_kits import kit_of_box
from halfbat.errors import KitError
from halfbat.parts.cuts import SeamStyle
from halfbat.settings import FeatureRequest, SeamRequest
from kit_help import overlaps, parts_of, placed

PIERS = (
    FeatureRequest("A", "pier", at="3 m", width="0.6 m"),
    FeatureRequest("A", "pilaster", at="6 m", width="0.6 m"),
)


def pier_mm2(part):
    """Area of the brick faces of piers, 1.1 mm before those of wall A."""
    corners = placed(part)[part.solid.triangles]
    front = np.abs(corners[:, :, 1] + 1.1).max(axis=1) < 0.06
    return (
        np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)[front].sum() / 2
    )


def wall_a(kit):
    return kit.plan.walls[0]


def test_a_seam_is_set_in_the_corner_of_a_pier():
    kit = kit_of_box(seam__hide="pier", seam__panel_limit_mm=60.0, features=PIERS, checked=True)
    (cut,) = wall_a(kit).seams.cuts
    assert cut.style is SeamStyle.PIER and cut.position_mm == pytest.approx(36.05)
    left, right = [placed(part)[:, 0] for part in parts_of(kit, "skin") if part.wall == "A"]
    # The gap lies in the wall, and the pier is whole.
    assert left.max() == pytest.approx(36.0) and right.min() == pytest.approx(36.1)
    assert overlaps(kit) == []
    assert not [one for one in kit.findings if one.code in ("seam-opening", "seam-open", "seam-unbacked")]


def test_piers_lower_than_the_wall_hide_no_seam():
    low = (FeatureRequest("A", "pier", at="3 m", width="0.6 m", height="1.5 m"),)
    kit = kit_of_box(seam__hide="pier", seam__panel_limit_mm=60.0, features=low)
    assert [cut.style for cut in wall_a(kit).seams.cuts] == [SeamStyle.CABLE_RUN]
    told = [one for one in kit.findings if one.code == "piers-do-not-fit"]
    assert {one.part for one in told} == {"wall A", "wall C"} and "no pier stands" in told[0].text


def test_where_piers_are_too_far_apart_a_cable_run_helps_out():
    kit = kit_of_box(seam__hide="pier", seam__panel_limit_mm=34.0, features=PIERS[1:])
    styles = [cut.style for cut in wall_a(kit).seams.cuts]
    assert sorted(styles) == [SeamStyle.CABLE_RUN, SeamStyle.PIER]
    assert "piers-do-not-fit" in {one.code for one in kit.findings}


@pytest.mark.parametrize(("at", "found"), [("2.9 m", 29.95), ("3.7 m", 36.05), ("6.2 m", 59.95)])
def test_a_seam_asked_for_beside_a_pier_takes_the_nearest_corner(at, found):
    kit = kit_of_box(seams=(SeamRequest("A", at, "pier"),), features=PIERS)
    (cut,) = wall_a(kit).seams.cuts
    assert cut.position_mm == pytest.approx(found) and cut.asked


def test_a_seam_asked_for_beside_no_pier_is_refused():
    with pytest.raises(KitError, match="no pier as high as the wall stands within two bricks"):
        kit_of_box(seams=(SeamRequest("A", "1 m", "pier"),), features=PIERS)


def test_bricks_of_the_pier_are_all_on_one_panel():
    split = kit_of_box(seam__hide="pier", seam__panel_limit_mm=60.0, features=PIERS)
    whole = kit_of_box(features=PIERS)
    areas = [sum(map(pier_mm2, parts_of(kit, "skin"))) for kit in (split, whole)]
    assert areas[0] > 50.0 and areas[0] == pytest.approx(areas[1], rel=2e-3)
