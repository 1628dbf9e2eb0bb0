"""Ridge and hip tiles: resin runs that sit astride two slopes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind, Slope
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.roof_skins import RoofFace
from halfbat.parts.tabs import TAB_THICKNESS_MM, box, number_tab
from halfbat.settings import Settings
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.surfaces.joints import part_steps_mm
from halfbat.surfaces.roofing.ridges import RidgeRun, ridge_run
from halfbat.units import Scale

Array = NDArray[np.float64]
LEAST_RUN_MM = 2.0
LEAST_FALL_DEG = 3.0
MEETING_MM = 1.0
APART_MM = 0.1
TIP_MM = 0.01


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
        How steeply the slopes fall to the left and the right, seen along it.
    kind : EdgeKind
        Ridge or hip.
    """

    start: Array
    end: Array
    along: Array
    across: Array
    up: Array
    falls_deg: tuple[float, float]
    kind: EdgeKind

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


def ridges_apart(roofs: Sequence[RoofFace], settings: Settings, scale: Scale) -> list[Ridge]:
    """Find every ridge and hip, shortened where several meet, so that their tiles stand clear of each other.

    Each stops where the edge of its tiles meets the line midway to the next run.
    """
    found = list(ridges_of(roofs))
    halves = [_half_width(ridge, settings, scale) for ridge in found]
    ends = [[ridge.start, ridge.end] for ridge in found]
    short = [[0.0, 0.0] for _ in found]
    for i, j in combinations(range(len(found)), 2):
        for k, m in product((0, 1), (0, 1)):
            if np.linalg.norm(ends[i][k] - ends[j][m]) > MEETING_MM:
                continue
            away, other = found[i].along * (1, -1)[k], found[j].along * (1, -1)[m]
            cos = float(np.clip(away @ other, -1.0, 1.0))
            back = max(halves[i], halves[j]) * sqrt((1 + cos) / max(1 - cos, 1e-3)) + APART_MM
            short[i][k], short[j][m] = max(short[i][k], back), max(short[j][m], back)
    made = []
    for ridge, (low, high) in zip(found, short, strict=True):
        if ridge.length_mm - low - high >= LEAST_RUN_MM:
            made.append(replace(ridge, start=ridge.start + ridge.along * low, end=ridge.end - ridge.along * high))
    return made


def _half_width(ridge: Ridge, settings: Settings, scale: Scale) -> float:
    return float(np.abs(ridge_tiles(ridge, settings, scale, ridge.kind.value).section_mm[:, 0]).max())


def _ridge(face: RoofFace, other: Slope, place: int, kind: EdgeKind) -> Ridge:
    outline = face.slope.outline_m
    a, b = face.slope.place(outline[[place, (place + 1) % len(outline)]]) * face.scale.mm_per_m
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
    left, right = (float(np.degrees(np.arctan2(abs(n @ across), n @ up))) for n in normals)
    return Ridge(start, end, along, across, up, (left, right), kind)


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


def build_ridge(
    ridge: Ridge, run: RidgeRun, piece: tuple[float, float], settings: Settings, number: str
) -> tuple[Solid, Matrix]:
    """Build a stretch of ridge tiles, lying as it will on the roof.

    Parameters
    ----------
    ridge : Ridge
        Where it lies.
    run : RidgeRun
        Its tiles.
    piece : tuple of float
        From where to where along it.
    settings : Settings
        Marks and resin process.
    number : str
        Engraved on a tab at its low end.
    """
    start, end = piece
    section = run.section_mm
    # The feet of a half round run out to nothing: their very tips are left off.
    left, right = float(section[:, 0].min()) + TIP_MM, float(section[:, 0].max()) - TIP_MM
    upper, lower = _chains(section)
    tiles, planes = _strips(upper, start, end, 0)
    outline = [box(left, start, right, end)]
    groove, layer = settings.resin.min_groove_px * settings.resin.pixel_x_mm, part_steps_mm(settings.resin)[2]
    cuts = [at for at in run.joints_mm.tolist() if start + groove < at < end - groove]
    layers = [Layer.tiles(tiles, range(1, 1 + len(planes)))]
    # A joint is cut only where that leaves something: not into the feet, which run out to nothing.
    thick = [edge for edge in upper if _least_depth(edge, lower) > 3 * layer]
    sunk = [[a - 2 * layer, b, c] for a, b, c in _strips(thick, start, end, 0)[1]]
    table = [[float(section[:, 1].min()) + layer, 0.0, 0.0], *planes, *sunk]
    for at in cuts:
        strips, _ = _strips(thick, at - groove / 2, at + groove / 2, 0)
        layers.append(Layer.tiles(strips, range(1 + len(planes), 1 + len(planes) + len(sunk))))
    lowest = float(section[:, 1].min())
    under, under_planes = _strips(lower, start, end, 0)
    back_layers = [Layer.tiles(under, range(1, 1 + len(under_planes)))]
    back_table = [[lowest, 0.0, 0.0], *under_planes]
    if settings.mark.make:
        tab = number_tab(number, settings.mark.resin_height_mm, settings.resin).placed(1, (left / 2, start))
        outline += [tab.neck, tab.plate]
        layers.insert(0, Layer.patches([tab.neck], len(table)))
        layers += [Layer.patches([tab.plate], len(table) + 1), Layer.patches(tab.strokes, len(table) + 2)]
        # The neck stays under the run's own top, so that the two do not cross at its end.
        over = _lowest(upper, float(tab.neck[:, 0].min()), float(tab.neck[:, 0].max()))
        top = lowest + TAB_THICKNESS_MM
        table += [[over, 0, 0], [top, 0, 0], [top - tab.depth_mm, 0, 0]]
        back_layers.insert(0, Layer.patches([tab.plate, tab.neck], 0))
    base = Layer.patches(outline, 0)
    solid = plate(
        Relief(Figure((base, *layers)), np.array(table, dtype=np.float64)),
        Relief(Figure((base, *back_layers)), np.array(back_table, dtype=np.float64)),
    )
    return as_printed(solid, frame(ridge.across, ridge.along, ridge.up, ridge.start))


def _chains(section: Array) -> tuple[list[tuple[Array, Array]], list[tuple[Array, Array]]]:
    """Edges of the upper and the lower side of a section, each from left to right."""
    edges = list(zip(section, np.roll(section, -1, axis=0), strict=True))
    lower = [(a, b) for a, b in edges if b[0] - a[0] > 1e-6]
    upper = [(b, a) for a, b in edges if a[0] - b[0] > 1e-6]
    return sorted(upper, key=lambda edge: float(edge[0][0])), sorted(lower, key=lambda edge: float(edge[0][0]))


def _least_depth(edge: tuple[Array, Array], lower: list[tuple[Array, Array]]) -> float:
    """Least height of an edge of the upper side over the lower one."""
    x, y = (np.array([*(a[axis] for a, _ in lower), lower[-1][1][axis]]) for axis in (0, 1))
    return min(float(place[1] - np.interp(place[0], x, y)) for place in edge)


def _lowest(chain: list[tuple[Array, Array]], low: float, high: float) -> float:
    """Lowest place of a chain between two places across."""
    x = [a[0] for a, _ in chain] + [chain[-1][1][0]]
    y = [a[1] for a, _ in chain] + [chain[-1][1][1]]
    inside = [value for at, value in zip(x, y, strict=True) if low < at < high]
    return float(min([*inside, *np.interp([low, high], x, y)]))


def _strips(
    chain: list[tuple[Array, Array]], start: float, end: float, beyond: float
) -> tuple[list[Array], list[list[float]]]:
    """A strip along the run for each edge of a chain, and its plane."""
    tiles, planes = [], []
    for a, b in chain:
        rate = float((b[1] - a[1]) / (b[0] - a[0]))
        tiles.append(box(float(a[0]), start - beyond, float(b[0]), end + beyond))
        planes.append([float(a[1]) - rate * float(a[0]), rate, 0.0])
    return tiles, planes
