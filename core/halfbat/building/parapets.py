"""Walls drawn without thickness that rise above the roof behind them."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.strips import Strip

Array = npt.NDArray[np.float64]

#: A wall plane of the mesh this near a strip is the strip's own, metres.
_NEAR_M = 0.1
#: A wall rises past a roof by more than this, two courses of brick, to be a parapet, metres.
_LOWEST_M = 0.15


def with_parapets(points: Array, planes: Sequence[PlaneFace], strips: Sequence[Strip]) -> list[Strip]:
    """Raise the strips of outer walls to the top of their walls in the mesh.

    A parapet modelled with its thickness has a top and an inner face and is a part of the plan;
    one that is a single face above the roof shows in no plan and is found here.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    planes : sequence of PlaneFace
        Outward.
    strips : sequence of Strip
        As high as the roof.

    Returns
    -------
    list of Strip
        The same, cut at the corners of the mesh where one was raised.
    """
    walls = [plane for plane in planes if plane.kind is PlaneKind.WALL]
    found: list[Strip] = []
    for strip in strips:
        pieces = [strip]
        if strip.border.right < 0:
            pieces = _raised(points, walls, strip)
        found += pieces
    return found


def _raised(points: Array, walls: Sequence[PlaneFace], strip: Strip) -> list[Strip]:
    """Return a strip cut at the corners of walls in its plane, each piece as high as they are."""
    along = (strip.end_m - strip.start_m) / strip.length_m
    outward = np.array([along[1], -along[0]])
    own = []
    for wall in walls:
        corners = points[np.concatenate(wall.rings)]
        off = (corners[:, :2] - strip.start_m) @ outward
        if float(wall.normal[:2] @ outward) > 0.99 and np.all(np.abs(off) < _NEAR_M):
            own.append(
                [np.column_stack([(points[r][:, :2] - strip.start_m) @ along, points[r][:, 2]]) for r in wall.rings]
            )
    cuts = [0.0, strip.length_m]
    for rings in own:
        cuts += [float(u) for ring in rings for u in ring[:, 0] if _NEAR_M < u < strip.length_m - _NEAR_M]
    cuts = sorted({round(cut, 6) for cut in cuts})
    pieces = [_piece(strip, along, own, low, high) for low, high in itertools.pairwise(cuts)]
    if all(piece.high_m == _roof_heights(strip, low, high) for piece, low, high in pieces):
        return [strip]
    return [piece for piece, _, _ in pieces]


def _roof_heights(strip: Strip, low: float, high: float) -> tuple[float, float]:
    """Return the height of the roof over two places along a strip."""
    one, two = (strip.high_m[0] + u / strip.length_m * (strip.high_m[1] - strip.high_m[0]) for u in (low, high))
    return one, two


def _piece(
    strip: Strip, along: Array, own: Sequence[Sequence[Array]], low: float, high: float
) -> tuple[Strip, float, float]:
    """Return the part of a strip between two places, raised to the wall where that is higher."""
    inner = (low + 1e-3 * (high - low), high - 1e-3 * (high - low))
    roof = _roof_heights(strip, low, high)
    tops = [max([_top(rings, u, v) for rings in own], default=-np.inf) for u, v in zip(inner, roof, strict=True)]
    if any(top > height + _LOWEST_M for top, height in zip(tops, roof, strict=True)):
        # Where a wall ends under the roof at one place, the roof is its top there.
        tops = [height if np.isneginf(top) else top for top, height in zip(tops, roof, strict=True)]
        slack = (tops[1] - tops[0]) / (inner[1] - inner[0]) * (inner[0] - low)
        roof = (max(roof[0], tops[0] - slack), max(roof[1], tops[1] + slack))
    ground = tuple(strip.low_m[0] + u / strip.length_m * (strip.low_m[1] - strip.low_m[0]) for u in (low, high))
    return (
        replace(
            strip,
            start_m=strip.start_m + low * along,
            end_m=strip.end_m if high >= strip.length_m - 1e-6 else strip.start_m + high * along,
            low_m=(ground[0], ground[1]),
            high_m=roof,
        ),
        low,
        high,
    )


def _top(rings: Sequence[Array], u: float, roof: float) -> float:
    """Return how high a wall goes on past the roof at one place along it, minus infinity if it does not."""
    heights: list[float] = []
    for ring in rings:
        ahead = np.roll(ring, -1, axis=0)
        spans = (ring[:, 0] <= u) != (ahead[:, 0] <= u)
        a, b = ring[spans], ahead[spans]
        heights += (a[:, 1] + (u - a[:, 0]) / (b[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])).tolist()
    heights.sort()
    through = [top for foot, top in zip(heights[::2], heights[1::2], strict=False) if foot < roof - _LOWEST_M]
    return max(through, default=-np.inf)
