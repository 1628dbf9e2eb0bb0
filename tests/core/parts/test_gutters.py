"""Gutters: sound, sized by the trade, clear of everything, over the downpipes, and off with the roof."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.kit import make_kit, smallest_face_m
from halfbat.parts.gutter_solids import pieces_mm
from halfbat.parts.gutters import BRACKET_M, USUAL_M, gutter_size_mm
from halfbat.printing.checks.run import check_part
from halfbat.settings import CoverRequest
from halfbat.units import parse_scale
from kit_help import lift_fouls, manifold, overlaps, parts_of, placed, section, settings_with
from roof_solids import gabled, hipped, mesh_of_solid, union
from solids_help import assert_printable_solid

SHAPES = {
    "gable": lambda: gabled(0, 0, 8, 5, 2.4, 1.5),
    "hip": lambda: hipped(0, 0, 8, 5, 2.4, 35.0),
    "L": lambda: union(gabled(0, 0, 8, 5, 2.4, 1.5), gabled(4, -3, 8, 3, 2.4, 1.2, along_x=False)),
}
KINDS = ("half round", "ogee", "box")
SCALES = ("1:76.2", "1:148", "1:220")


@cache
def kit_of_shape(shape, scale, kind, **values):
    settings = settings_with(
        kit__scale=scale,
        roof__gutter=kind,
        roof__eaves_overhang_mm=250.0,
        roof__verge_overhang_mm=150.0,
        mark__make=False,
        downpipe__top="swan neck",
        **values,
    )
    structure = structure_from_mesh(mesh_of_solid(SHAPES[shape]()), smallest_face_m=smallest_face_m(settings))
    letter = next(wall.letter for wall in structure.walls if wall.length_m > 7.5)
    pipes = (CoverRequest(letter, "2 m"), CoverRequest(letter, "6.5 m"))
    return make_kit(structure, replace(settings, downpipes=pipes), checked=False)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("shape", SHAPES)
def test_one_gutter_for_each_fascia_clear_of_all_and_sound(shape, kind):
    kit = kit_of_shape(shape, "1:76.2", kind)
    gutters = parts_of(kit, "gutter")
    assert len(gutters) == len([board for board in kit.plan.boards if board.kind.value == "eaves"])
    numbers = {part.number for part in gutters}
    for part in gutters:
        assert_printable_solid(part.solid)
    assert not [pair for pair in overlaps(kit) if numbers & set(pair[:2])]
    assert not [pair for pair in lift_fouls(kit) if numbers & set(pair[:2])]


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("kind", KINDS)
def test_they_are_sturdy_enough_for_the_printer_at_every_scale(kind, scale):
    kit = kit_of_shape("hip", scale, kind)
    for part in parts_of(kit, "gutter"):
        told = {finding.code for finding in check_part(part, kit.settings).findings}
        assert told <= {"slender"}
        assert_printable_solid(part.solid)


def test_sizes_are_those_of_the_trade_where_resin_holds_them():
    # Half-round 112 mm, square 116 x 60, ogee 120 x 75: see USUAL_M.
    settings, scale = settings_with(), parse_scale("1:43.5")
    for kind, (wide, high) in (("half round", (0.112, 0.056)), ("box", (0.116, 0.060)), ("ogee", (0.120, 0.075))):
        assert USUAL_M[kind] == (wide, high)
        made = gutter_size_mm(replace(settings, roof=replace(settings.roof, gutter=kind)), scale)
        assert made == pytest.approx((scale.to_mm(wide), scale.to_mm(high)))
    asked = replace(settings.roof, gutter="half round", gutter_size_mm=125.0)
    assert gutter_size_mm(replace(settings, roof=asked), scale)[0] == pytest.approx(scale.to_mm(0.125))
    small = gutter_size_mm(replace(settings, roof=replace(settings.roof, gutter="box")), parse_scale("1:220"))
    assert small[1] > settings.resin.min_wall_mm > scale.to_mm(0.060) * 43.5 / 220


def test_outlets_stand_over_the_downpipes_of_the_wall_and_nowhere_else():
    kit = kit_of_shape("gable", "1:76.2", "half round")
    one, other = sorted(parts_of(kit, "gutter"), key=lambda part: -len(part.solid.triangles))
    pipes = [placed(part) for part in parts_of(kit, "cover")]
    assert len(pipes) == 2
    lowest = placed(one)[placed(one)[:, 2] < placed(other)[:, 2].min() - 0.2]
    run = next(gutter.run for gutter in kit.plan.gutters if np.ptp(lowest @ gutter.run.along) > 10)
    for pipe in pipes:
        middle = pipe[pipe[:, 2] > pipe[:, 2].max() - 1.0].mean(axis=0) @ run.along
        here = lowest[np.abs(lowest @ run.along - middle) < 1.0]
        assert len(here)
        # Over the top of the pipe by no more than shows, and never in it.
        assert 0 < here[:, 2].min() - pipe[:, 2].max() < 1.2
    beside = lowest[np.min([np.abs(lowest @ run.along - pipe.mean(axis=0) @ run.along) for pipe in pipes], axis=0) > 2]
    assert not len(beside)


def test_its_channel_is_open_along_it_and_stopped_at_its_ends():
    kit = kit_of_shape("gable", "1:76.2", "box")
    (gutter,) = [one for one in kit.plan.gutters if one.run.slope == 1]
    part = next(part for part in parts_of(kit, "gutter") if part.number.startswith("DB"))
    # As printed it lies on its back: along x, up its y.
    long, deep = part.solid.size_mm[0] / 2, gutter.channel_mm
    assert deep > 0.3
    high = part.solid.vertices[:, 1].max()

    def top_at(x):
        near = np.abs(part.solid.vertices[:, 0] - x) < 0.03
        middle = np.abs(part.solid.vertices[:, 2] - np.ptp(gutter.run.section_mm[:, 0]) / 2) < 0.05
        return part.solid.vertices[near & middle, 1].max()

    first = gutter.brackets_mm[0] - gutter.brackets_mm[len(gutter.brackets_mm) // 2]
    assert high - top_at(first - gutter.bracket_mm[1] / 2) == pytest.approx(deep, abs=0.01)
    for end in (-long, long):
        assert high - top_at(end) < 0.03


def test_long_ones_come_in_lengths_that_meet_at_brackets():
    kit = kit_of_shape("gable", "1:76.2", "half round", seam__panel_limit_mm=50.0)
    gutter = kit.plan.gutters[0]
    pieces = pieces_mm(gutter, 50.0)
    assert len(pieces) == 3
    assert max(end - start for start, end in pieces) <= 50.0
    for _, end in pieces[:-1]:
        assert min(abs(end - at) for at in gutter.brackets_mm) < 1e-9
    assert max(np.diff(gutter.brackets_mm)) <= kit.scale.to_mm(BRACKET_M) + 1e-9
    own = [part for part in parts_of(kit, "gutter") if part.number.startswith("DA")]
    assert len(own) == 3
    assert sum(part.solid.size_mm[0] for part in own) == pytest.approx(
        pieces[-1][1] - pieces[0][0] - 2 * kit.settings.skin.corner_gap_mm, abs=0.01
    )


def test_round_a_corner_two_meet():
    kit = kit_of_shape("hip", "1:76.2", "box")
    bodies = [manifold(part) for part in parts_of(kit, "gutter")]
    for one, other in ((0, 2), (1, 3)):
        touching = [bodies[one].min_gap(bodies[k], 5.0) for k in range(4) if k != one]
        assert min(touching) < 0.3
        assert other < len(bodies)


def test_none_are_made_unless_asked_and_none_without_a_fascia():
    kit = kit_of_shape("gable", "1:148", "none")
    assert not parts_of(kit, "gutter")
    assert not parts_of(kit_of_shape("gable", "1:148", "box", roof__eaves_board=False), "gutter")


def test_it_hangs_below_the_drip_of_the_tiles_and_in_front_of_the_fascia():
    kit = kit_of_shape("gable", "1:76.2", "half round")
    for part in parts_of(kit, "gutter"):
        run = next(gutter.run for gutter in kit.plan.gutters if "AB"[gutter.run.slope] == part.number[1])
        out = (placed(part) - run.start) @ run.outward
        fascia = next(board for board in kit.parts if board.number == f"E{part.number[1]}1")
        face = ((placed(fascia) - run.start) @ run.outward).max()
        assert 0 < out.min() - face < 0.1
        skin = next(one for one in kit.parts if one.number == f"R{part.number[1]}1")
        edge = placed(skin)[(placed(skin) - run.start) @ run.outward > -1e-3]
        assert placed(part)[:, 2].max() < edge[:, 2].min()
        assert out.max() > 0.5
    assert section(parts_of(kit, "gutter")[0].solid, 0.2).area > 20
