"""What lies over bricks ends at the same joints as they do, on whatever pixels a panel is printed."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from halfbat.parts.dressing_layers import PanelWindow
from halfbat.surfaces import Lattice
from halfbat.surfaces.dressing import ground
from halfbat.surfaces.rectangles import course_spans
from wall_samples import wall_run

PITCH, JOINT = 0.05, 0.2


@given(st.floats(0.0, 20.0), st.integers(1, 12), st.sampled_from(("1:76.2", "1:87", "1:148")))
def test_a_band_between_two_bed_joints_keeps_both_whole(centre, course, scale):
    laying = wall_run(8.0, 3.0, scale=scale).laying
    middle = np.array([laying.length_mm, laying.height_mm]) / 2
    rows = [np.concatenate(course_spans(laying, JOINT, Lattice(at, PITCH))) for at in (middle[1], centre)]
    whole = np.array([laying.length_mm, laying.height_mm])
    window = PanelWindow(
        np.zeros(2),
        whole,
        np.array([0.0, centre]),
        Lattice(0.0, PITCH),
        Lattice(centre, PITCH),
        middle,
        0.3,
        lambda u, v: u > v,
        (rows[0], rows[1]),
    )
    bottoms, tops = np.split(rows[0], 2)
    band = window.snapped(ground(2.0, float(bottoms[course]), 5.0, float(tops[course + 1]), 0.0))
    own_bottoms, own_tops = np.split(rows[1], 2)
    assert band[:, 1].min() == own_bottoms[course] and band[:, 1].max() == own_tops[course + 1]
    # The joints beside it are as wide as all.
    np.testing.assert_allclose(
        [band[:, 1].min() - own_tops[course - 1], own_bottoms[course + 2] - band[:, 1].max()], JOINT, atol=1e-9
    )
