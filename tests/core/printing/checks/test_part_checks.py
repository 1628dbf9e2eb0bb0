"""Each limit of the checks fires just beyond it and not before; parts are made by hand with one fault each."""

from dataclasses import replace

import manifold3d
import numpy as np
import pytest

from halfbat.findings import Severity
from halfbat.parts.part import Part
from halfbat.printing.checks import check_part
from halfbat.printing.checks.run import check_numbers
from halfbat.printing.checks.subject import Subject
from halfbat.settings import Settings
from halfbat.solids.solid import Solid
from printed_parts import box, brick_plate, make, marked, settings, stepped
from sample_kits import box_solid

FAILURE, WARNING, NOTE = Severity.FAILURE, Severity.WARNING, Severity.NOTE


def found(part, chosen=None):
    return {finding.code: finding for finding in check_part(part, chosen or Settings()).findings}


def fires(code, severity, part, chosen=None):
    finding = found(part, chosen)[code]
    assert finding.severity == severity
    assert finding.part == part.number
    assert finding.text and not finding.text.endswith(".") and "\n" not in finding.text
    assert finding.remedy


def quiet(code, part, chosen=None):
    assert code not in found(part, chosen)


def plain(x, y, z, **more):
    return make(box_solid(x, y, z), **more)


def test_a_sound_plate_has_nothing_to_say():
    assert found(make(brick_plate())) == {}
    assert found(make(marked("WA1"))) == {}


def test_groove_width_in_millimetres_and_pixels():
    fires("groove-narrow", FAILURE, make(brick_plate(joint=0.10)))
    quiet("groove-narrow", make(brick_plate(joint=0.15)))
    fine = settings(resin={"pixel_x_mm": 0.02, "pixel_y_mm": 0.02})
    fires("groove-narrow", FAILURE, make(brick_plate(joint=0.10, brick=1.4, course=0.4)), fine)
    quiet("groove-narrow", make(brick_plate(joint=0.12, brick=1.4, course=0.4)), fine)
    fires("groove-narrow", FAILURE, make(brick_plate()), settings(resin={"min_groove_px": 4}))


def test_grooves_off_the_pixels_are_uneven():
    fires("groove-uneven", FAILURE, make(brick_plate(joint=0.17, brick=1.36, course=0.46)))
    quiet("groove-uneven", make(brick_plate()))


def test_groove_depth():
    fires("groove-shallow", FAILURE, make(brick_plate(depth=0.05)))
    fires("groove-shallow", FAILURE, make(brick_plate(depth=0.1)), settings(resin={"layer_mm": 0.1}))
    fires("groove-layers", WARNING, make(brick_plate(depth=0.12)))
    quiet("groove-layers", make(brick_plate(depth=0.15)))
    quiet("groove-shallow", make(brick_plate(depth=0.1)))


def test_longest_side_over_thickness():
    fires("panel-thin", WARNING, plain(101.0, 50.0, 1.0))
    quiet("panel-thin", plain(99.0, 50.0, 1.0))


def test_longest_side():
    large = settings(resin={"usable_x_mm": 200.0})
    fires("panel-long", WARNING, plain(121.0, 50.0, 2.0), large)
    quiet("panel-long", plain(120.0, 50.0, 2.0), large)
    fires("panel-split", FAILURE, plain(151.0, 50.0, 2.0), large)
    quiet("panel-split", plain(150.0, 50.0, 2.0), large)


def test_slenderness():
    fires("slender", WARNING, plain(50.0, 4.9, 1.5))
    quiet("slender", plain(50.0, 5.1, 1.5))
    fires("slender", NOTE, plain(50.0, 1.0, 1.0, kind="cover"))


def test_relief_share():
    fires("relief-share", WARNING, make(brick_plate(base=0.9, depth=0.15)))
    quiet("relief-share", make(brick_plate(base=1.0, depth=0.15)))


def test_sudden_change_of_section():
    thick = [box(0, 0, 20, 6)]
    fires("section-change", WARNING, make(stepped(box(0, 0, 20, 12), [(1.0, ()), (2.4, thick)]), kind="cover"))
    quiet("section-change", make(stepped(box(0, 0, 20, 12), [(1.0, ()), (1.8, thick)]), kind="cover"))


def test_fine_features_near_the_plate():
    groove = [box(2, 5, 18, 5.4)]
    fires("first-layers-fine", WARNING, make(stepped(box(0, 0, 20, 12), [(1.2, ())], back=[(0.3, groove)])))
    wide = [box(2, 5, 18, 5.7)]
    quiet("first-layers-fine", make(stepped(box(0, 0, 20, 12), [(1.2, ())], back=[(0.3, wide)])))
    fires("first-layers-fine", WARNING, make(marked("WA1", stroke=0.3, height=2.2)))
    quiet("first-layers-fine", make(marked("WA1", stroke=0.6, height=5.0)))


def test_pockets_on_the_plate_face():
    hollow = [(0.5, [box(5, 3, 9, 8)])]
    fires("pocket", FAILURE, make(stepped(box(0, 0, 20, 12), [(1.5, ())], back=hollow)))
    open_to_edge = [(0.5, [box(5, -1, 9, 8)])]
    quiet("pocket", make(stepped(box(0, 0, 20, 12), [(1.5, ())], back=open_to_edge)))
    quiet("pocket", make(stepped(box(0, 0, 20, 12), [(1.5, ())], holes=[box(5, 3, 9, 8)])))
    quiet("pocket", make(marked("WA1")))


def test_cups():
    floor = [(1.0, [box(2, 2, 18, 10)])]
    fires("cup", FAILURE, make(stepped(box(0, 0, 20, 12), [(4.0, ()), *floor]), kind="box"))
    quiet("cup", make(stepped(box(0, 0, 20, 12), [(2.8, ()), *floor]), kind="box"))
    vented = [(1.0, [box(2, 2, 18, 10), box(18, 5, 20, 8)])]
    quiet("cup", make(stepped(box(0, 0, 20, 12), [(4.0, ()), *vented]), kind="box"))
    quiet("cup", make(stepped(box(0, 0, 20, 12), [(4.0, ()), *floor]), kind="box", process="filament"))


@pytest.mark.parametrize(("process", "limit"), [("resin", 0.8), ("filament", 0.84)])
def test_thin_teeth_and_necks(process, limit):
    def tooth(width):
        outline = np.array([[0, 0], [20, 0], [20, 12], [10 + width, 12], [10 + width, 14], [10, 14], [10, 12], [0, 12]])
        return make(stepped(outline, [(2.0, ())]), process=process)

    fires("neck-thin", FAILURE, tooth(limit * 0.75))
    quiet("neck-thin", tooth(limit))


def test_bars_held_at_both_ends():
    def window(bar):
        panes = [box(4, 3, 10 - bar / 2, 9), box(10 + bar / 2, 3, 16, 9)]
        return make(stepped(box(0, 0, 20, 12), [(1.2, ())], holes=panes), kind="insert")

    fires("bar-thin", WARNING, window(0.3))
    assert not {"bar-thin", "neck-thin"} & set(found(window(0.5)))


def test_thin_stretches():
    fires("plate-thin", FAILURE, make(stepped(box(0, 0, 20, 12), [(1.6, ()), (0.6, [box(4, 3, 9, 9)])]), kind="cover"))
    quiet("plate-thin", make(stepped(box(0, 0, 20, 12), [(1.6, ()), (0.9, [box(4, 3, 9, 9)])]), kind="cover"))


def test_what_is_glued_down_all_along_may_be_half_as_thick():
    def strip(thick, wide):
        legs = [box(wide, 0, 3.0 - wide, 30)]
        return make(stepped(box(0, 0, 3.0, 30), [(0.8 + thick, ()), (thick, legs)]), kind="ridge")

    assert not {"neck-thin", "plate-thin"} & set(found(strip(0.45, 0.6)))
    fires("plate-thin", FAILURE, strip(0.3, 0.6))  # thinner than half over 1.8 mm
    quiet("neck-thin", plain(30.0, 0.45, 0.8, kind="ridge"))
    fires("neck-thin", FAILURE, plain(30.0, 0.35, 0.8, kind="ridge"))
    fires("neck-thin", FAILURE, plain(30.0, 0.45, 0.8, kind="cover"))


def test_thin_raised_pieces():
    fires("raised-thin", WARNING, make(brick_plate(course=0.10)))
    quiet("raised-thin", make(brick_plate(course=0.15)))


def test_lands_of_mitres():
    fires("land-thin", FAILURE, make(brick_plate(land=0.03)))
    quiet("land-thin", make(brick_plate(land=0.25)))


def test_holes():
    chosen = Settings()
    for process, limit in (("resin", chosen.resin.min_hole_mm), ("filament", chosen.filament.min_hole_mm)):

        def pierced(across, process=process):
            return make(
                stepped(box(0, 0, 20, 12), [(2.0, ())], holes=[box(8, 5, 8 + across, 5 + across)]), process=process
            )

        fires("hole-small", WARNING, pierced(limit * 0.8))
        quiet("hole-small", pierced(limit * 1.01))


def test_overhangs_of_filament():
    def table(kind):
        solid = stepped(box(0, 0, 20, 12), [(3.0, ()), (8.0, [box(8, 4, 12, 8)])])
        over = Solid(solid.vertices * (1.0, -1.0, -1.0), solid.triangles)
        return make(over, kind=kind, process="filament")

    fires("overhang", WARNING, table("box"))
    upright = stepped(box(0, 0, 20, 12), [(3.0, ()), (8.0, [box(8, 4, 12, 8)])])
    quiet("overhang", make(upright, process="filament", kind="box"))
    bridge = stepped(box(0, 0, 20, 12), [(3.0, ())], back=[(1.0, [box(2, 3, 18, 9)])])
    quiet("overhang", make(bridge, process="filament", kind="box"))
    wide = stepped(box(0, 0, 30, 30), [(3.0, ())], back=[(1.0, [box(4, 4, 25, 25)])])
    fires("overhang", WARNING, make(wide, process="filament", kind="box"))


def sloping(degrees):
    """A box whose one side leans out by an angle from upright."""
    solid = box_solid(20.0, 12.0, 6.0)
    points = solid.vertices.copy()
    points[(points[:, 0] > 0) & (points[:, 2] > 3), 0] += 6.0 * np.tan(np.radians(degrees))
    return make(Solid(points, solid.triangles), kind="box", process="filament")


def test_slopes_of_filament():
    fires("overhang", WARNING, sloping(50))
    quiet("overhang", sloping(44))
    quiet("overhang", sloping(50), settings(filament={"max_overhang_deg": 55.0}))


def test_islands_and_reach_of_resin():
    leg = stepped(box(0, 0, 10, 6), [(1.0, ()), (3.0, [box(0, 0, 2, 6)]), (2.0, [box(7, 0, 10, 6)])])
    over = make(Solid(leg.vertices * (1.0, -1.0, -1.0), leg.triangles), kind="box")
    fires("island", FAILURE, over)
    quiet("island", make(leg, kind="box"))

    def shelf(reach):
        solid = stepped(box(0, 0, 10, 6), [(1.0, ()), (3.0, [box(0, 0, 10 - reach, 6)])])
        return make(Solid(solid.vertices * (1.0, -1.0, -1.0), solid.triangles), kind="box")

    fires("overhang", WARNING, shelf(1.5))
    quiet("overhang", shelf(0.9))


def ring(thickness):
    outline, inner = box(0, 0, 40, 30), box(thickness, thickness, 40 - thickness, 30 - thickness)
    return make(stepped(outline, [(10.0, ())], holes=[inner]), kind="shell", process="filament", number="S1")


def test_walls_in_whole_lines():
    fires("wall-lines", WARNING, ring(1.5))
    quiet("wall-lines", ring(4 * 0.42))


def test_lifting_first_layers():
    large = settings(filament={"usable_x_mm": 300.0, "usable_y_mm": 300.0})
    fires("lift", WARNING, plain(160.0, 130.0, 4.0, kind="lid", process="filament"), large)
    quiet("lift", plain(150.0, 130.0, 4.0, kind="lid", process="filament"), large)
    turn = np.linspace(0, 2 * np.pi, 121)[:-1]
    corners = [(60, 70, 0), (-60, 70, 1), (-60, -70, 2), (60, -70, 3)]
    rounded = np.concatenate(
        [
            np.stack([x + 12 * np.cos(turn[30 * k : 30 * k + 31]), y + 12 * np.sin(turn[30 * k : 30 * k + 31])], axis=1)
            for x, y, k in corners[:3]
        ]
        + [np.stack([60 + 12 * np.cos(np.append(turn[90:], 0)), -70 + 12 * np.sin(np.append(turn[90:], 0))], axis=1)]
    )
    quiet("lift", make(stepped(rounded, [(4.0, ())]), kind="lid", process="filament"), large)


def test_faults_of_solids():
    good = box_solid(10.0, 8.0, 2.0)
    fires("solid-fault", FAILURE, make(Solid(good.vertices, good.triangles[:-1])))
    fires("solid-fault", FAILURE, make(Solid(good.vertices, good.triangles[:, ::-1])))
    twice = np.concatenate([good.vertices, good.vertices + np.array([20.0, 0.0, 0.0])])
    two = Solid(twice, np.concatenate([good.triangles, good.triangles + 8]))
    fires("solid-fault", FAILURE, make(two))
    quiet("solid-fault", make(good))


def test_a_solid_that_crosses_itself():
    good = box_solid(10.0, 8.0, 2.0)
    twice = np.concatenate([good.vertices, good.vertices + np.array([4.0, 3.0, 0.0])])
    fires("self-cross", FAILURE, make(Solid(twice, np.concatenate([good.triangles, good.triangles + 8]))))
    quiet("self-cross", make(good))


def test_sizes_that_are_not_millimetres():
    fires("size-implausible", FAILURE, plain(0.06, 0.03, 0.02))
    fires("size-implausible", FAILURE, plain(1100.0, 30.0, 20.0, process="filament"))
    quiet("size-implausible", plain(60.0, 30.0, 2.0))


def test_strokes_of_marks():
    fires(
        "mark-thin",
        FAILURE,
        make(marked("WA1", stroke=0.4)),
        settings(resin={"min_stroke_mm": 0.55, "min_gap_mm": 0.3}),
    )
    quiet("mark-thin", make(marked("WA1", stroke=0.6)), settings(resin={"min_stroke_mm": 0.6}))


def test_walls_between_strokes():
    close = settings(resin={"min_gap_mm": 1.2})
    fires("mark-close", FAILURE, make(marked("WA1", stroke=0.6, height=4.2)), close)
    quiet("mark-close", make(marked("WA1", stroke=0.6, height=5.0)))


@pytest.mark.parametrize("number", ["WA1", "WB2", "L1", "CA12"])
def test_a_mark_that_reads_mirrored(number):
    fires("mark-mirrored", FAILURE, make(marked(number, mirrored=True), number=number))
    quiet("mark-mirrored", make(marked(number), number=number))


def test_a_mark_that_reads_something_else():
    fires("mark-unreadable", FAILURE, make(marked("WA1"), number="WB2"))
    quiet("mark-unreadable", make(marked("WA1")))


@pytest.mark.parametrize("over", [False, True])
def test_joints_closed_in_on_the_face_of_a_roof_skin_are_no_number(over):
    """A square ring of joints between tiles, on a skin too small for a number; however it lies on the plate."""
    outline, tiles = box(0, 0, 12, 12), [box(0, 0, 12, 12), box(3, 3, 9, 9)]
    joints = [box(3, 3, 9, 9), box(3.2, 3.2, 8.8, 8.8)]
    skin = stepped(outline, [(1.0, []), (1.2, tiles[:1]), (1.0, joints[:1]), (1.2, joints[1:])])
    turn = np.diag([1.0, -1.0, -1.0, 1.0])
    place = np.eye(4)
    if over:
        skin, place = Solid(skin.vertices @ turn[:3, :3].T, skin.triangles), turn
    quiet("mark-unreadable", make(skin, kind="roof skin", place=place))
    fires("mark-unreadable", FAILURE, make(skin, kind="skin", place=place))
    fires("mark-unreadable", FAILURE, make(marked("WA1"), kind="roof skin", number="RB2"))


def test_where_marks_stand():
    fires("mark-on-glue-face", FAILURE, make(marked("WA1", at=(1.2, 4.0))))
    quiet("mark-on-glue-face", make(marked("WA1")))
    fires("mark-deep", FAILURE, make(marked("WA1", thickness=0.9, depth=0.5)))
    quiet("mark-deep", make(marked("WA1", thickness=0.9, depth=0.3)))


def test_a_mark_in_the_wall_of_a_shell():
    cut = replace(make(marked("S1", at=(1.0, 4.0), stroke=0.6), number="S1"), kind="shell", process="filament")
    fires("mark-on-glue-face", FAILURE, cut)


def test_numbers_are_unique():
    one, other = plain(5.0, 5.0, 2.0), plain(6.0, 5.0, 2.0)
    (finding,) = check_numbers([one, other])
    assert (finding.code, finding.severity, finding.part) == ("number-not-unique", FAILURE, "WA1")
    assert check_numbers([one, replace(other, number="WA2")]) == ()


def test_too_large():
    fires("too-large", FAILURE, plain(116.0, 50.0, 2.0))
    quiet("too-large", plain(115.0, 50.0, 2.0))
    fires("too-large", FAILURE, plain(112.0, 50.0, 2.0), settings(resin={"margin_mm": 2.0}))


def test_bought_parts_are_not_checked():
    report = check_part(Part("X1", "Wire", "cover", "bought", box_solid(1, 1, 1), np.eye(4)), Settings())
    assert (report.count, report.findings) == (0, ())


def test_the_outline_seen_from_above_is_that_of_the_whole_solid():
    # A roof tile over a mitre that leans out by 1.4 for each millimetre: its foot lies inside the end face at its own
    # height, but beyond it at the heights where there are level faces to cut between.
    tiles = [(21.9 - 1.3 * k, height) for k in range(1, 17) for height in (1.9, 1.7)]
    side = np.array([(0, 0), (20.0, 0), (22.1, 1.5), (22.52, 1.8), (21.9, 1.9), (21.9, 1.7), *tiles, (0, 1.87)])
    body = manifold3d.Manifold.extrude(manifold3d.CrossSection([side]), 30.0).rotate((90, 0, 0))
    found = body.to_mesh64()
    solid = Solid(np.array(found.vert_properties[:, :3]), np.array(found.tri_verts, dtype=np.int64))
    subject = Subject.of(make(solid), Settings())
    grid = subject.grid(0.05)
    assert subject.footprint(grid).sum() * grid.pixel_mm2 == pytest.approx(body.project().area(), rel=5e-3)
    quiet("neck-thin", make(solid))


@pytest.mark.parametrize(("rise", "fires_at"), [(0.0, True), (1.0, False), (12.0, True)])
def test_the_tip_of_a_slope_stands_on_more_but_that_of_a_wall_does_not(rise, fires_at):
    # A wedge of 25 degrees in plan, upright, under a slope of 45 degrees, or under one nearly upright.
    low = np.array([(0.0, 0.0), (40.0, 0.0), (40.0, 18.6)])
    tip = 12.0 / rise if rise else 0.0
    high = np.array([(tip, 0.0), (40.0, 0.0), (40.0, 18.6 * (40.0 - tip) / 40.0)])
    tops = np.array([*np.column_stack([low, np.zeros(3)]), *np.column_stack([high, np.full(3, 12.0)])])
    body = manifold3d.Manifold.hull_points(tops)
    found = body.to_mesh64()
    solid = Solid(np.array(found.vert_properties[:, :3]), np.array(found.tri_verts, dtype=np.int64))
    part = make(solid, process="filament", kind="former")
    assert ("neck-thin" in {one.code for one in check_part(part, Settings()).findings}) is fires_at


@pytest.mark.parametrize(("kind", "told"), [("skin", True), ("roof skin", False)])
def test_gaps_between_tiles_are_no_number(kind, told):
    # Narrow blind gaps in the front, as side joints of tiles are at some height.
    gaps = [box(5.0 + 2.4 * k, 4.0 + 1.2 * row, 5.4 + 2.4 * k, 5.0 + 1.2 * row) for k in range(8) for row in range(3)]
    part = make(stepped(box(0, 0, 30.0, 12.0), [(1.4, ()), (1.25, gaps)]), kind=kind, number="RJ1")
    assert ("mark-unreadable" in found(part)) is told
