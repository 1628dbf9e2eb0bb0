"""The underside of a former over plans as they come."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from halfbat.parts.former_underside import underside
from halfbat.parts.masses import FORMER_EDGE_MM
from halfbat.parts.outlines import area_mm2, set_back
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from kit_help import section
from solids_help import assert_printable_solid

#: Of a wing whose plan narrows, where strips of the flare overlapped by a hair.
NARROWING = (
    [[6.868, -0.819], [5.963, 0.581], [4.871, -0.125], [2.071, 4.207], [-6.158, -2.318], [-3.059, -5.979]],
    [[5.263, -1.653], [4.451, -0.396], [3.359, -1.102], [1.635, 1.565], [-4.994, -3.693], [-3.059, -5.979]],
)


def made(edge, lip, bore):
    below = underside((edge, lip, bore), lip, edge, 1.6, 0.15, 0.42, 1, 0.7)
    base = Layer.union(edge, 0)
    heights = np.array([(0.0, 0.0, 0.0), *below.planes])
    return plate(Relief.flat(Figure((base,)), [4.0]), Relief(Figure((base, *below.layers)), heights))


def test_a_wing_whose_plan_narrows():
    edge, lip = ([np.array(ring)] for ring in NARROWING)
    solid = made(edge, lip, [set_back(lip[0], 0.8)])
    assert_printable_solid(solid)
    # A plate of 4 mm, and under it no more than a lip of 1.6 mm.
    assert 4.0 * area_mm2(*edge) < solid.volume_mm3 < 4.0 * area_mm2(*edge) + 1.6 * area_mm2(*edge)


#: Of a roof over a thin wedge: its lip has lost a side in the thin end and has one more where that was cut square.
WEDGE = (
    [[-20.17, -5.77], [-19.68, -10.87], [-17.62, -9.95], [18.86, 7.96], [15.33, 9.71]],
    [[-19.99, -7.65], [-19.86, -8.98], [-18.38, -8.32], [-10.45, -4.43], [-10.81, -3.65]],
)


def test_a_lip_with_as_many_sides_as_the_edge_but_others_has_no_flare():
    edge, lip = ([np.array(ring)] for ring in WEDGE)
    solid = made(edge, lip, [set_back(lip[0], 0.8)])
    assert_printable_solid(solid)
    # No part of its underside rises through its top.
    assert solid.volume_mm3 > 4.0 * area_mm2(*edge)


def test_under_walls_of_many_lines_it_rises_no_higher_than_it_is_thick():
    edge = np.array([(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)])
    solid = made([edge], [set_back(edge, 3.5)], [set_back(edge, 4.7)])
    levels = np.unique(solid.vertices[:, 2].round(3))
    assert levels[(levels > 0) & (levels < 4.0)].max() == pytest.approx(FORMER_EDGE_MM - 0.4)


@given(st.lists(st.floats(0.4, 1.0), min_size=5, max_size=9), st.floats(6.0, 30.0), st.floats(0.3, 2.2))
def test_any_plan_has_an_underside_that_prints(radii, size, reach):
    way = np.linspace(0, 2 * np.pi, len(radii), endpoint=False)
    edge = np.round(size * np.array(radii)[:, None] * np.stack([np.cos(way), np.sin(way)], axis=1), 3)
    lip = set_back(edge, reach)
    assume(len(lip) > 2 and area_mm2(lip) > 4.0)
    bore = set_back(lip, 0.84)
    assume(len(bore) > 2 and area_mm2(bore) > 1.0)
    assert_printable_solid(made([edge], [lip], [bore]))


def test_what_a_finger_notch_leaves_of_a_rib_in_a_narrow_hollow_is_left_out():
    # A wing 4.4 wide that runs aslant: between the notches in both its sides a rib would be a crumb.
    turn = np.radians(32.0)
    way = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    plan = np.array([[-15.0, -2.6], [15.0, -2.6], [15.0, 2.6], [-15.0, 2.6]]) @ way
    lip = set_back(plan, 0.3)
    solid = made([plan], [lip], [set_back(lip, 1.2)])
    cut = section(solid, solid.bounds_mm[0, 2] + 0.3)
    pieces = getattr(cut, "geoms", [cut])
    assert len(pieces) >= 2
    assert min(piece.buffer(-0.34).area for piece in pieces) > 0
