"""Outlines of finished parts, for pictures of plates."""

from __future__ import annotations

import numpy as np

from halfbat.printing.sections import Array, bands, section, section_area_mm2
from halfbat.solids.solid import Solid

FOOT_SHARE = 0.1
_STRAIGHT_MM = 2e-3


def silhouette(solid: Solid) -> tuple[Array, ...]:
    """Return the outlines of the section that shows most of a part, as rings (K, 2); holes run clockwise.

    Of the bands between its levels it is the one that holds most material, so that a shell shows its walls; near the
    plate where that one falls into pieces, as a cover and its tab do above the neck between them.
    """
    found = [(low, high, section(solid, (low + high) / 2)) for low, high in bands(solid)]
    volumes = [(high - low) * section_area_mm2(segments) for low, high, segments in found]
    most = rings(found[int(np.argmax(volumes))][2])
    low, high, _ = found[0]
    foot = rings(section(solid, low + FOOT_SHARE * (high - low)))
    return foot if _bodies(foot) < _bodies(most) else most


def _bodies(outlines: tuple[Array, ...]) -> int:
    return sum(ring_area_mm2(ring) > 0 for ring in outlines)


def ring_area_mm2(ring: Array) -> float:
    """Return the area of a ring (K, 2), negative where it runs clockwise."""
    following = np.roll(ring, -1, axis=0)
    return float((ring[:, 0] * following[:, 1] - following[:, 0] * ring[:, 1]).sum() / 2)


def rings(segments: Array) -> tuple[Array, ...]:
    """Join segments end to end into rings, leaving out corners on straight sides."""
    start: dict[tuple[float, float], list[int]] = {}
    for place, (x, y) in enumerate(segments[:, :2].tolist()):
        start.setdefault((x, y), []).append(place)
    ends = segments[:, 2:].tolist()
    left = np.ones(len(segments), dtype=bool)
    found = []
    for first in range(len(segments)):
        chain, here = [], first
        while left[here]:
            left[here] = False
            chain.append(segments[here, :2])
            here = next((k for k in start.get((ends[here][0], ends[here][1]), ()) if left[k]), here)
        ring = _plain(np.array(chain)) if len(chain) >= 3 else np.zeros((0, 2))
        if len(ring) >= 3:
            found.append(ring)
    return tuple(found)


def _plain(ring: Array) -> Array:
    """Leave out corners that lie on the line between their neighbours."""
    while len(ring) > 3:
        before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
        along = after - before
        length = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-12)
        off = np.abs(along[:, 0] * (ring - before)[:, 1] - along[:, 1] * (ring - before)[:, 0]) / length
        drop = off < _STRAIGHT_MM
        # Of two neighbours only one may go at a time.
        drop[1:] &= ~drop[:-1]
        drop[0] &= not drop[-1]
        if not drop.any():
            break
        ring = ring[~drop]
    return ring
