"""Ridge and hip tiles: resin runs that sit astride two slopes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, permutations, product
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from halfbat.building.rings import inside_rings
from halfbat.building.structure import EdgeKind, Slope
from halfbat.parts.clearing import clipped
from halfbat.parts.drawn_out import drawn_out
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.roof_skins import RoofFace
from halfbat.parts.standing import Standing, height_of
from halfbat.settings import Settings
from halfbat.solids.solid import Solid
from halfbat.surfaces.joints import part_steps_mm
from halfbat.surfaces.roofing.ridges import RidgeRun, ridge_run
from halfbat.units import Scale

Array = NDArray[np.float64]
LEAST_RUN_MM = 2.0
LEAST_FALL_DEG = 3.0
MEETING_MM = 1.0
APART_MM = 0.1
LEAST_APART = 0.02
"""Runs that go nearly the same way are taken to part so much."""
TIP_MM = 0.01
SAME_FOOT_MM = 2e-3
HIGHEST_MM = 4.0
STEP_MM = 0.1
DEEPEST_MM = 5.0
STEEPEST_COSINE = 0.95


@dataclass(frozen=True, slots=True, eq=False)
class Ridge:
    """A ridge or hip between two slopes, model millimetres.

    Parameters
    ----------
    start, end : ndarray (3,)
        The line where the finished surfaces meet, in the building's frame.
    along, across, up : ndarray (3,)
        Unit vectors: along it, level to its right, and square to both.
    falls_deg : tuple of float
        How steeply the slopes fall to the left and the right, seen along it; below zero where one rises.
    kind : EdgeKind
        Ridge or hip.
    slopes : tuple of int
        The slopes it lies between.
    """

    start: Array
    end: Array
    along: Array
    across: Array
    up: Array
    falls_deg: tuple[float, float]
    kind: EdgeKind
    slopes: tuple[int, int] = (-1, -1)

    @property
    def length_mm(self) -> float:
        """Length of the line."""
        return float(np.linalg.norm(self.end - self.start))


def ridges_of(roofs: Sequence[RoofFace]) -> Iterator[Ridge]:
    """Find every ridge and hip once, with the two slopes beside it."""
    by_index = {face.slope.index: face for face in roofs}
    for face in roofs:
        for place, edge in enumerate(face.slope.edges):
            if edge.kind not in (EdgeKind.RIDGE, EdgeKind.HIP) or edge.neighbour is None:
                continue
            if edge.neighbour not in by_index or edge.neighbour < face.slope.index:
                continue
            found = _ridge(face, by_index[edge.neighbour].slope, place, edge.kind)
            if found.length_mm >= LEAST_RUN_MM and min(found.falls_deg) > LEAST_FALL_DEG:
                yield found


def ridges_apart(
    roofs: Sequence[RoofFace], settings: Settings, scale: Scale, walls: Sequence[Standing] = ()
) -> list[Ridge]:
    """Find every ridge and hip, shortened where several meet, so that their tiles stand clear of each other.

    Each stops where the last of its tiles meets the plane midway to the next run, and before a wall that rises above.
    """
    found = list(ridges_of(roofs))
    sections = [ridge_tiles(ridge, settings, scale, ridge.kind.value).section_mm for ridge in found]
    halves = [float(np.abs(section[:, 0]).max()) for section in sections]
    ends = [[ridge.start, ridge.end] for ridge in found]
    short = [[0.0, 0.0] for _ in found]
    for i, j in combinations(range(len(found)), 2):
        for k, m in product((0, 1), (0, 1)):
            if np.linalg.norm(ends[i][k] - ends[j][m]) > MEETING_MM:
                continue
            away, other = found[i].along * (1, -1)[k], found[j].along * (1, -1)[m]
            across, middle = away - other, (ends[i][k] + ends[j][m]) / 2
            for at, end, normal in ((i, k, across), (j, m, -across)):
                back = _behind_plane_mm(found[at], end, sections[at], normal, middle)
                short[at][end] = max(short[at][end], back)
    for i, j in permutations(range(len(found)), 2):
        for k in (0, 1):
            short[i][k] = max(short[i][k], _off_run_mm(found[i], k, found[j], halves[i], halves[j]))
    for ridge, half, stops in zip(found, halves, short, strict=True):
        for near, far in [*(_behind(ridge, half, wall) for wall in walls), *_in_slopes(ridge, half, roofs)]:
            if near < far:
                place = 0 if near + far < ridge.length_mm else 1
                stops[place] = max(stops[place], far if place == 0 else ridge.length_mm - near)
    made = []
    for ridge, (low, high) in zip(found, short, strict=True):
        if ridge.length_mm - low - high >= LEAST_RUN_MM:
            made.append(replace(ridge, start=ridge.start + ridge.along * low, end=ridge.end - ridge.along * high))
    return made


def _behind_plane_mm(ridge: Ridge, end: int, section: Array, normal: Array, middle: Array) -> float:
    """How far one end of a ridge must stop short for all its tiles to stand beyond a plane between it and another."""
    place, away = ((ridge.start, ridge.along), (ridge.end, -ridge.along))[end]
    size = float(np.linalg.norm(normal))
    unit = normal / max(size, LEAST_APART)
    reach = section @ np.array([ridge.across @ unit, ridge.up @ unit]) + (place - middle) @ unit
    return max(0.0, (APART_MM / 2 - float(reach.min())) / max(float(away @ unit), LEAST_APART))


def _off_run_mm(ridge: Ridge, end: int, other: Ridge, half_mm: float, other_half_mm: float) -> float:
    """How far one end of a ridge must stop short to stand clear of another that passes it."""
    place, away = ((ridge.start, ridge.along), (ridge.end, -ridge.along))[end]
    on = float((place - other.start) @ other.along)
    off = float(np.linalg.norm(place - other.start - on * other.along))
    cos = abs(float(away @ other.along))
    if not MEETING_MM < on < other.length_mm - MEETING_MM or off > half_mm + other_half_mm or cos > STEEPEST_COSINE:
        return 0.0
    return max(0.0, (other_half_mm + half_mm * cos + APART_MM - off) / sqrt(1 - cos * cos))


def without_chimneys(ridges: Sequence[Ridge], rings: Sequence[Array]) -> list[Ridge]:
    """Part ridges and hips where chimneys stand on them.

    Parameters
    ----------
    ridges : sequence of Ridge
        Runs of tiles.
    rings : sequence of ndarray (4, 2)
        Plans of chimneys, anticlockwise.
    """
    left = list(ridges)
    for ring in rings:
        parted: list[Ridge] = []
        for ridge in left:
            near, far = _inside(ridge, ring)
            if near >= far:
                parted.append(ridge)
                continue
            for low, high in ((0.0, near), (far, ridge.length_mm)):
                if high - low >= LEAST_RUN_MM:
                    parted.append(
                        replace(ridge, start=ridge.start + ridge.along * low, end=ridge.start + ridge.along * high)
                    )
        left = parted
    return left


def _inside(ridge: Ridge, ring: Array) -> tuple[float, float]:
    """From where to where along a ridge a convex ring lies over it."""
    near, far = 0.0, ridge.length_mm
    for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        inward = np.array([a[1] - b[1], b[0] - a[0]])
        rate, at = float(ridge.along[:2] @ inward), float((ridge.start[:2] - a) @ inward)
        if abs(rate) < 1e-9:
            if at < 0:
                return 0.0, 0.0
        elif rate > 0:
            near = max(near, -at / rate)
        else:
            far = min(far, -at / rate)
    return near, far


def _behind(ridge: Ridge, half_mm: float, wall: Standing) -> tuple[float, float]:
    """From where to where along a ridge its tiles would stand in a wall; nowhere: zero twice."""
    level = float(np.hypot(*ridge.along[:2]))
    on = ridge.along[:2] / level
    ring = wall.grown(APART_MM) - ridge.start[:2]
    there = np.stack(
        [ring @ on, ring @ ridge.across[:2], *(height_of(p, ring + ridge.start[:2]) for p in _spans(wall))]
    )
    corners = there.T
    for axis, sign, limit in ((0, 1, 0.0), (0, -1, ridge.length_mm * level), (1, 1, -half_mm), (1, -1, half_mm)):
        corners = clipped(corners, sign * (corners[:, axis] - limit)) if len(corners) else corners
    if not len(corners):
        return 0.0, 0.0
    crown = ridge.start[2] + corners[:, 0] * ridge.along[2] / level
    falls = np.where(corners[:, 1] < 0, *(np.tan(np.radians(fall)) for fall in ridge.falls_deg))
    roof = crown - np.abs(corners[:, 1]) * falls
    if (corners[:, 3] < roof).all() or (corners[:, 2] > crown + HIGHEST_MM).all():
        return 0.0, 0.0
    return float(corners[:, 0].min()) / level, float(corners[:, 0].max()) / level


def _in_slopes(ridge: Ridge, half_mm: float, roofs: Sequence[RoofFace]) -> Iterator[tuple[float, float]]:
    """From where to where the feet of a ridge's tiles would lie in slopes that are not its own."""
    for face in roofs:
        slope = face.slope
        if slope.index in ridge.slopes:
            continue
        origin = slope.origin_m * face.scale.mm_per_m
        for side, fall in zip((-1.0, 1.0), ridge.falls_deg, strict=True):
            foot = ridge.start + half_mm * (side * ridge.across - float(np.tan(np.radians(fall))) * ridge.up)
            yield _below(foot, ridge, slope, origin, face.scale)


def _below(foot: Array, ridge: Ridge, slope: Slope, origin: Array, scale: Scale) -> tuple[float, float]:
    """Stretch of a line along a ridge that lies under the face of a slope; nowhere: zero twice."""
    places = np.linspace(0.0, ridge.length_mm, max(2, int(ridge.length_mm / STEP_MM) + 1))
    points = foot + places[:, None] * ridge.along - origin
    off = points @ slope.normal
    over = points + np.outer(-off / slope.normal[2], [0.0, 0.0, 1.0])
    spots = np.stack([over @ slope.along, over @ slope.up], axis=1)
    under = (off < -APART_MM / 10) & (off > -DEEPEST_MM) & inside_rings([slope.outline_m * scale.mm_per_m], spots)
    if not under.any():
        return 0.0, 0.0
    return float(places[under].min()) - STEP_MM, float(places[under].max()) + STEP_MM


def _spans(wall: Standing) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    return wall.foot, wall.top


def _ridge(face: RoofFace, other: Slope, place: int, kind: EdgeKind) -> Ridge:
    outline = face.slope.outline_m
    a, b = face.slope.place(outline[[place, (place + 1) % len(outline)]]) * face.scale.mm_per_m
    # Surveyed slopes miss each other a little: tiles lie on the higher one.
    n, reach = other.normal, other.origin_m * face.scale.mm_per_m
    for end in (a, b):
        end[2] = max(end[2], float((reach @ n - end[:2] @ n[:2]) / n[2]))
    if b[2] < a[2]:
        # Tiles are laid from the low end up.
        start, end, own_right = b, a, True
    else:
        start, end, own_right = a, b, False
    along = (end - start) / np.linalg.norm(end - start)
    across = np.cross(along, [0.0, 0.0, 1.0])
    across /= np.linalg.norm(across)
    up = np.cross(across, along)
    normals = (other.normal, face.slope.normal) if own_right else (face.slope.normal, other.normal)
    left, right = (
        float(np.degrees(np.arctan2(side * (n @ across), n @ up))) for n, side in zip(normals, (-1, 1), strict=True)
    )
    return Ridge(start, end, along, across, up, (left, right), kind, (face.slope.index, other.index))


def ridge_tiles(ridge: Ridge, settings: Settings, scale: Scale, where: str) -> RidgeRun:
    """Set out the tiles of a ridge or hip."""
    return ridge_run(
        ridge.length_mm,
        settings.roof.ridge,
        scale,
        ridge.falls_deg,
        tile_length_m=settings.roof.ridge_length_mm / 1000,
        least_thickness_mm=settings.resin.min_wall_mm / 2,
        where=where,
    )


def build_ridge(ridge: Ridge, run: RidgeRun, piece: tuple[float, float], settings: Settings) -> tuple[Solid, Matrix]:
    """Build a stretch of ridge tiles, lying as it will on the roof.

    Its section is drawn out along the run; in each joint its upper side lies two layers lower, or less where that would
    leave less than a layer of it; its feet do not.

    Parameters
    ----------
    ridge : Ridge
        Where it lies.
    run : RidgeRun
        Its tiles.
    piece : tuple of float
        From where to where along it.
    settings : Settings
        Resin process.
    """
    start, end = piece
    groove, layer = settings.resin.min_groove_px * settings.resin.pixel_x_mm, part_steps_mm(settings.resin)[2]
    whole, upper = _ring(run.section_mm)
    lower = whole[~upper]
    depth = np.where(upper, whole[:, 1] - np.interp(whole[:, 0], lower[:, 0], lower[:, 1]), 0.0)
    # The feet stay, since a corner that sank along an upright end would part its face.
    depth[np.abs(whole[:, :1] - lower[[0, -1], 0]).min(axis=1) < SAME_FOOT_MM] = 0.0
    sunk = whole - np.column_stack([np.zeros(len(whole)), np.clip(depth - layer, 0.0, 2 * layer)])
    places: list[tuple[float, Array]] = [(start, whole)]
    for at in [at for at in run.joints_mm.tolist() if start + groove < at < end - groove]:
        low, high = at - groove / 2, at + groove / 2
        places += [(low, whole), (low, sunk), (high, sunk), (high, whole)]
    rings = [np.column_stack([ring[:, 0], np.full(len(ring), at), ring[:, 1]]) for at, ring in [*places, (end, whole)]]
    solid = drawn_out(rings, whole)
    return as_printed(solid, frame(ridge.across, ridge.along, ridge.up, ridge.start))


def _ring(section: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Section anticlockwise from its left foot, and which of its corners are of the upper side."""
    # The feet of a half round run out to nothing: their very tips are left off.
    left, right = float(section[:, 0].min()) + TIP_MM, float(section[:, 0].max()) - TIP_MM
    chains = []
    for edges in _chains(section)[::-1]:
        corners = np.array([edges[0][0], *(b for _, b in edges)])
        x = np.array([left, *(at for at in corners[:, 0] if left < at < right), right])
        chains.append(np.column_stack([x, np.interp(x, corners[:, 0], corners[:, 1])]))
    under, over = chains
    return np.concatenate([under, over[::-1]]), np.repeat([False, True], [len(under), len(over)])


def _chains(section: Array) -> tuple[list[tuple[Array, Array]], list[tuple[Array, Array]]]:
    """Edges of the upper and the lower side of a section, each from left to right."""
    edges = list(zip(section, np.roll(section, -1, axis=0), strict=True))
    lower = [(a, b) for a, b in edges if b[0] - a[0] > 1e-6]
    upper = [(b, a) for a, b in edges if a[0] - b[0] > 1e-6]
    return sorted(upper, key=lambda edge: float(edge[0][0])), sorted(lower, key=lambda edge: float(edge[0][0]))
