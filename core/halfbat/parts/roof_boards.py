"""Fascia and barge boards: resin strips under the overhanging edges of roof skins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import radians, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind, Structure
from halfbat.parts.drawn_out import drawn_out
from halfbat.parts.overhung_edges import WIDE_MM, RoofEdge, board_height_mm
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.roof_skins import RoofFace
from halfbat.parts.roofs import aside_mm, roof_slope
from halfbat.parts.skins import Facing
from halfbat.parts.sturdy import SPARE
from halfbat.parts.wall_profile import proud_stretches
from halfbat.settings import Settings
from halfbat.solids.solid import Solid

Array = NDArray[np.float64]
SHORTEST_MM = 2.0
LEAST_THICK_MM = 0.35
LEAST_HIGH_MM = 0.4
CLEAR_OF_WIDE_MM = 0.2
STEEPEST_END = tan(radians(42.0))
"""Sharper ends of boards are thinner than the smallest wall over a length that breaks off."""
_SQUARE = 0.2
_BESIDE_MM = 1.0
_ALIKE = 0.9
"""Cosine of the angle up to which another wall looks the same way."""
_STRAIGHT = 0.02
_UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, slots=True, eq=False)
class UprightCut:
    """An upright plane that ends a board: a place on it and its direction square to it, both in plan."""

    place: Array
    normal: Array


@dataclass(frozen=True, slots=True, eq=False)
class Board:
    """A board along one edge of a roof, model millimetres in the building's frame.

    Parameters
    ----------
    kind : EdgeKind
        Eaves for a fascia, verge for a barge board.
    slope : int
        Slope it belongs to.
    wall : int
        Wall it stands against; -1 round a lid.
    start : ndarray (3,)
        A place on the roof's edge.
    along, outward, up : ndarray (3,)
        Unit vectors: along the edge, level out of the building, and square to both.
    section_mm : ndarray (K, 2)
        Section, outward and up from the edge, anticlockwise seen against `along`.
    ends : tuple of UprightCut
        What it ends at.
    drip_mm : float
        Height of the lowest place of the skin before its face.
    """

    kind: EdgeKind
    slope: int
    wall: int
    start: Array
    along: Array
    outward: Array
    up: Array
    section_mm: Array
    ends: tuple[UprightCut, UprightCut]
    drip_mm: float = 0.0

    def reach_mm(self) -> tuple[float, float]:
        """From where to where its whole section reaches along the edge."""
        low, high = (self.cut(end) for end in self.ends)
        return float(low.max()), float(high.min())

    def foot_mm(self, spots: Array) -> Array:
        """Height of its lowest line over places in plan (N, 2) beside it; infinite beyond its ends."""
        run = self.along[:2]
        at = (spots - self.start[:2]) @ run / float(run @ run)
        low, high = self.reach_mm()
        foot = self.start[2] + at * self.along[2] + float(self.section_mm[:, 1].min()) / float(self.up[2])
        return np.where((at > low - _BESIDE_MM) & (at < high + _BESIDE_MM), foot, np.inf)

    def cut_by(self, end: UprightCut) -> Array:
        """Where along the edge each corner of its section meets an upright plane, shape (K,)."""
        corners = self.start + self.section_mm @ np.stack([self.outward, self.up])
        return np.asarray((end.place - corners[:, :2]) @ end.normal / (self.along[:2] @ end.normal))

    def cut(self, end: UprightCut) -> Array:
        """Where along the edge each corner of its section ends at a cut, shape (K,)."""
        cut = self.cut_by(end)
        # A tip sharper than holds is cut off less slanting, so that it stops short.
        inner = float(cut.max() if end is self.ends[0] else cut.min())
        slant = abs(float(self.up[:2] @ end.normal) / float(self.along[:2] @ end.normal))
        share = min(1.0, 1 / STEEPEST_END / max(slant, 1e-9))
        return np.asarray(inner + (cut - inner) * share)

    def pieces_mm(self, longest_mm: float, gap_mm: float) -> list[tuple[Array, Array]]:
        """Where each corner of the section begins and ends along the edge, for each piece."""
        low, high = (self.cut(end) for end in self.ends)
        first, last = float(low.min()), float(high.max())
        count = max(1, int(np.ceil((last - first - 1e-6) / max(longest_mm, SHORTEST_MM))))
        cuts = [first + (last - first) * k / count for k in range(count + 1)]
        square = np.ones(len(self.section_mm))
        return [
            (
                low if k == 0 else (cuts[k] + gap_mm / 2) * square,
                high if k == count - 1 else (cuts[k + 1] - gap_mm / 2) * square,
            )
            for k in range(count)
        ]


def boards_of(
    face: RoofFace, structure: Structure, facings: Mapping[int, Facing], settings: Settings
) -> Iterator[Board]:
    """Find the boards of a slope.

    Parameters
    ----------
    face : RoofFace
        A slope with its overhanging edges.
    structure : Structure
        The building.
    facings : mapping of int to Facing
        Walls with skins; a board stands clear of what stands out of them.
    settings : Settings
        Roof, skins and resin process.
    """
    for place, edge in enumerate(face.edges):
        if edge is None:
            continue
        wanted = settings.roof.eaves_board if edge.kind is EdgeKind.EAVES else settings.roof.barge_board
        wall = face.slope.edges[place].wall
        if wanted and wall is not None:
            board = _board(face, place, edge, structure, 0.0, settings)
            proud = 0.0 if board is None else _proud_mm(board, facings.get(wall), settings)
            if board is not None:
                proud = max(proud, _bent_mm(board, edge.reach_mm, facings, settings))
            if proud > 0:
                board = _board(face, place, edge, structure, proud, settings)
            if board is not None:
                yield board


def _proud_mm(board: Board, facing: Facing | None, settings: Settings) -> float:
    """How far what stands out of the wall behind a board does so, where the board is."""
    if facing is None or not facing.dressings:
        return 0.0
    foot = facing.foot_mm
    spots = foot[:2] + np.linspace(0.0, 1.0, 9)[:, None] * facing.along * facing.laying.length_mm
    feet = board.foot_mm(spots) - foot[2]
    low = float(feet.min())
    stretches = proud_stretches(facing, (0.0, facing.laying.length_mm))
    out = max([0.0, *(one.out_mm for one in stretches if one.high_mm > low)])
    return out + settings.skin.corner_gap_mm / 2 if out else 0.0


def _bent_mm(board: Board, reach_mm: float, facings: Mapping[int, Facing], settings: Settings) -> float:
    """How far walls under a board come out past its back, where walls bend under straight eaves."""
    out = 0.0
    for other in facings.values():
        if float(other.outward @ board.outward[:2]) < _ALIKE:
            continue
        spots = other.foot_mm[:2] + np.linspace(0.0, 1.0, 9)[:, None] * other.along * other.laying.length_mm
        past = (spots - board.start[:2]) @ board.outward[:2] + reach_mm
        top = float(other.face.outline_mm[:, 1].max()) + other.foot_mm[2]
        under = (board.foot_mm(spots) < top) & (past < reach_mm)
        out = max([out, *past[under].tolist()])
    return out + settings.skin.corner_gap_mm / 2 if out > _STRAIGHT else 0.0


def build_board(board: Board, piece: tuple[Array, Array]) -> tuple[Solid, Matrix]:
    """Build a piece of a board, lying on its back, which goes against the wall."""
    ring = board.section_mm
    places = [np.column_stack([ring[:, 0], at, ring[:, 1]]) for at in piece]
    solid = drawn_out(places, ring)
    # x along the edge, y up and z outward.
    turned = Solid(solid.vertices[:, [1, 2, 0]], solid.triangles)
    return as_printed(turned, frame(board.along, board.up, board.outward, board.start))


def _board(
    face: RoofFace, place: int, edge: RoofEdge, structure: Structure, proud_mm: float, settings: Settings
) -> Board | None:
    count = len(face.slope.outline_m)
    a, b = face.slope.place(face.slope.outline_m[[place, (place + 1) % count]]) * face.scale.mm_per_m
    # Seen along it the building lies to the left, so outward is to the right.
    along = (b - a) / np.linalg.norm(b - a)
    outward = np.cross(along, _UP)
    outward /= np.linalg.norm(outward)
    up = np.cross(outward, along)
    section = _section(face, edge, along, (outward, up), proud_mm, settings)
    if section is None:
        return None
    low, high = (_end_cut(face, structure, place, step, settings) for step in (-1, 1))
    if min(abs(float(end.normal @ along[:2])) for end in (low, high)) < _SQUARE:
        return None
    wall = face.slope.edges[place].wall
    drip = _underside(face, edge, along, (outward, up), settings)[0][1]
    board = Board(
        edge.kind,
        face.slope.index,
        -1 if wall is None else wall,
        a,
        along,
        outward,
        up,
        section,
        (low, high),
        float(drip),
    )
    start, stop = board.reach_mm()
    return board if stop - start >= SHORTEST_MM else None


def _section(
    face: RoofFace, edge: RoofEdge, along: Array, axes: tuple[Array, Array], proud_mm: float, settings: Settings
) -> Array | None:
    """Section of a board: its back against the wall, its top under the skin, its face inside the edge."""
    gap = settings.skin.corner_gap_mm / 2
    under = _underside(face, edge, along, axes, settings)
    back, front = -edge.reach_mm + gap + proud_mm, -edge.oversail_mm
    if front - back < LEAST_THICK_MM:
        return None
    x, y = under[::-1].T
    tops = [(front, float(np.interp(front, x, y)))]
    tops += [(float(u), float(v)) for u, v in under if back + 0.02 < u < front - 0.02]
    tops.append((back, float(np.interp(back, x, y))))
    thin = front - back < settings.resin.min_wall_mm
    # Under a steep roof its top does not follow all of the slope, since so sharp a top would not hold.
    most = min(v for _, v in tops) + WIDE_MM - CLEAR_OF_WIDE_MM - (LEAST_HIGH_MM if thin else 0.0)
    tops = [(u, min(v, most)) for u, v in tops]
    # Deep enough to hide the skin, which is thicker than a roof,
    # and as high as holds in the middle of its thickness, where its top slants.
    heights = [v for _, v in tops]
    foot = min(tops[0][1] - board_height_mm(settings, face.scale), min(heights) - LEAST_HIGH_MM)
    foot = min(foot, (max(heights) + min(heights)) / 2 - SPARE * settings.resin.min_wall_mm)
    if thin:
        # So thin a board holds only where it is low.
        foot = max(foot, min(max(heights) - WIDE_MM + CLEAR_OF_WIDE_MM, min(heights) - LEAST_HIGH_MM))
    return np.array([(back, foot), (front, foot), *tops])


def _underside(face: RoofFace, edge: RoofEdge, along: Array, axes: tuple[Array, Array], settings: Settings) -> Array:
    """The skin's underside from its edge inward, a gap below it, across and up, shape (3, 2)."""
    normal = face.slope.normal
    flat = np.stack(axes)
    inward = np.cross(normal, along)
    return edge.underside(face.depth_mm, flat @ inward, flat @ normal) - (0.0, settings.skin.corner_gap_mm / 2)


def _end_cut(face: RoofFace, structure: Structure, place: int, step: int, settings: Settings) -> UprightCut:
    """What ends a board at the corner where its edge meets the one before or after it."""
    slope, mm = face.slope, face.scale.mm_per_m
    count = len(slope.edges)
    other = (place + step) % count
    corner = slope.place(slope.outline_m[[place if step < 0 else (place + 1) % count]])[0, :2] * mm
    ends = slope.place(slope.outline_m[[other, (other + 1) % count]])[:, :2] * mm
    own = slope.place(slope.outline_m[[place, (place + 1) % count]])[:, :2]
    run, beside = ((v[1] - v[0]) / np.linalg.norm(v[1] - v[0]) for v in (own, ends))
    kind, edge = slope.edges[other].kind, face.edges[other]
    if abs(run[0] * beside[1] - run[1] * beside[0]) < _STRAIGHT:
        return UprightCut(corner - run * (step * settings.skin.corner_gap_mm / 2), run)
    # Outward of the other edge, so that a board keeps off it by moving back along that.
    normal = np.array([beside[1], -beside[0]])
    if kind is EdgeKind.EAVES and slope.edges[place].kind is EdgeKind.EAVES:
        return UprightCut(corner, run + beside)
    if edge is not None and kind is EdgeKind.EAVES:
        # A barge board covers the end of the fascia.
        return UprightCut(corner - normal * edge.oversail_mm, normal)
    if edge is not None and kind is EdgeKind.VERGE:
        return UprightCut(corner - normal * edge.reach_mm, normal)
    back = 0.0 if kind in (EdgeKind.VERGE, EdgeKind.TOP, EdgeKind.EAVES) else settings.skin.corner_gap_mm / 2
    neighbour = slope.edges[other].neighbour
    if kind in (EdgeKind.HIP, EdgeKind.RIDGE) and neighbour is not None:
        # The mitre of unequal slopes leans, so that the steeper skin reaches through under the hip.
        skin, beyond = (roof_slope(one, face.depth_mm, face.scale) for one in (slope, structure.slopes[neighbour]))
        back += aside_mm(skin, beyond, -normal)
    return UprightCut(corner - normal * back, normal)
