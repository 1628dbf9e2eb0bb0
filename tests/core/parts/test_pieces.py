"""Parts that come out as several bodies."""

import numpy as np
import pytest
import trimesh

from halfbat.findings import Severity
from halfbat.parts.part import Part
from halfbat.parts.pieces import bodies_of, in_pieces
from halfbat.parts.placing import frame
from halfbat.solids.solid import Solid
from kit_help import kit_of, overlaps, placed, settings_with
from solids_help import assert_printable_solid


def boxes(*spans):
    """One solid of boxes, each from its low to its high corner."""
    found = [trimesh.creation.box(bounds=span) for span in spans]
    whole = trimesh.util.concatenate(found)
    return Solid(np.asarray(whole.vertices, dtype=np.float64), np.asarray(whole.faces, dtype=np.int64))


def part_of(solid):
    return Part("F4", "Roof former", "former", "filament", solid, frame((0, 1, 0), (-1, 0, 0), (0, 0, 1), (50, 20, 8)))


APART = ([[-10, -5, 0], [4, 5, 3]], [[6, -5, 0], [10, 5, 3]], [[4.5, 0, 0], [5.5, 1, 1]])


def test_bodies_are_those_that_a_library_splits_off():
    solid = boxes(*APART)
    split = trimesh.Trimesh(solid.vertices, solid.triangles, process=False).split()
    volumes = sorted((body.volume for body in split), reverse=True)
    assert volumes == pytest.approx([420.0, 120.0, 1.0])
    assert [body.volume_mm3 for body in bodies_of(solid)] == pytest.approx(volumes)


def test_pieces_stand_where_they_stood_and_crumbs_are_told():
    part = part_of(boxes(*APART))
    pieces, told = in_pieces(part, settings_with())
    assert [piece.number for piece in pieces] == ["F4", "F4-2"]
    assert pieces[1].name == "Roof former, piece 2 of 2"
    for piece in pieces:
        assert_printable_solid(piece.solid)
        assert piece.solid.bounds_mm[0, 2] == pytest.approx(0.0) and (piece.place[:3, :3] == part.place[:3, :3]).all()
    low, high = np.min(placed(pieces[1]), axis=0), np.max(placed(pieces[1]), axis=0)
    np.testing.assert_allclose([low, high], [[45, 26, 8], [55, 30, 11]], atol=1e-9)
    assert [(finding.code, finding.severity) for finding in told] == [
        ("in-pieces", Severity.WARNING),
        ("crumbs-left-out", Severity.WARNING),
    ]
    assert "F4-2" in told[0].text and "1 crumb is left out of it" in told[1].text


def test_a_whole_part_and_a_hollow_one_are_left_as_they_are():
    whole = part_of(boxes(APART[0]))
    assert in_pieces(whole, settings_with()) == ([whole], [])
    inner = boxes([[-5, -2, 1], [0, 2, 2]])
    shell = boxes(APART[0])
    triangles = np.concatenate([shell.triangles, inner.triangles[:, ::-1] + len(shell.vertices)])
    hollow = part_of(Solid(np.concatenate([shell.vertices, inner.vertices]), triangles))
    assert in_pieces(hollow, settings_with()) == ([hollow], [])


@pytest.mark.parametrize("lines", [2, 4, 6])
@pytest.mark.parametrize("wide", [0.8, 1.0, 1.2])
def test_the_lid_over_a_passage_too_narrow_for_its_lip_fits(wide, lines):
    """Two blocks of 4 m joined by a passage that the walls of the shell fill."""
    low, high = 2 - wide / 2, 2 + wide / 2
    plan = [(0, 0), (4, 0), (4, low), (6, low), (6, 0), (10, 0), (10, 4), (6, 4), (6, high), (4, high), (4, 4), (0, 4)]
    kit = kit_of(plan, kit__scale="1:148", shell__wall_lines=lines, mark__make=False)
    assert not [shared for shared in overlaps(kit) if shared[2] > 1e-3]
