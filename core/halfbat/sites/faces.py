"""Which bands of which walls some faces of the mesh cover."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from halfbat.errors import KitError
from halfbat.settings import FinishRequest
from halfbat.settings.features import EVERY_WALL
from halfbat.sites.lengths import told_length
from halfbat.sites.walls import Sites, WallSite
from halfbat.units import LengthStyle

Array = npt.NDArray[np.float64]
PLAY_M = 0.03
"""Faces this far off the plane of a wall, or short of its ends, still count as its own."""


@dataclass(frozen=True, slots=True)
class WallBand:
    """A stretch of height of a wall.

    Parameters
    ----------
    wall : str
        Its letter.
    bottom_m, top_m : float
        Heights above its foot.
    start_m, end_m : float
        From where to where along it the faces reach.
    whole : bool
        Whether that is all of its length.
    to_top : bool
        Whether it goes up to the top of the wall.
    """

    wall: str
    bottom_m: float
    top_m: float
    start_m: float
    end_m: float
    whole: bool
    to_top: bool


def bands_of(sites: Sites, faces_m: Iterable[Array]) -> list[WallBand]:
    """Return the bands that some faces cover, by wall and from below.

    Parameters
    ----------
    sites : Sites
        The building.
    faces_m : iterable of ndarray, shape (K, 3)
        Corners of each face in the building's frame, metres; those that lie in no wall are left out.
    """
    spans: dict[str, list[tuple[float, float, float, float]]] = {}
    for face in faces_m:
        for site in sites.walls:
            span = _span(site, face)
            if span is not None:
                spans.setdefault(site.letter, []).append(span)
                break
    return [band for site in sites.walls for band in _bands(site, sorted(spans.get(site.letter, [])))]


def finishes_of(
    sites: Sites, bands: Iterable[WallBand], kind: str, style: LengthStyle = "metric"
) -> list[FinishRequest]:
    """Return a finish over each band; finishes run the whole length of their walls."""
    return [
        FinishRequest(
            band.wall,
            kind,
            bottom="0" if band.bottom_m < PLAY_M else told_length(sites, band.bottom_m, "", style),
            top="" if band.to_top else told_length(sites, band.top_m, "", style),
        )
        for band in bands
    ]


def bared(
    sites: Sites, finishes: Iterable[FinishRequest], bands: Iterable[WallBand], style: LengthStyle = "metric"
) -> tuple[FinishRequest, ...]:
    """Return finishes without what they cover of some bands, where bricks show again.

    A finish that is left above and below a band becomes two; one on every wall, of which a wall is bared, becomes one
    on each of the others. One whose heights cannot be read is left as it is.
    """
    bare = list(bands)
    left: list[FinishRequest] = []
    for asked in finishes:
        touched = {band.wall for band in bare}
        if asked.wall != EVERY_WALL:
            left += _cut(sites, asked, [band for band in bare if band.wall == asked.wall], style)
        elif not touched:
            left.append(asked)
        else:
            for site in sites.walls:
                own = [band for band in bare if band.wall == site.letter]
                left += _cut(sites, replace(asked, wall=site.letter), own, style)
    return tuple(left)


def _cut(sites: Sites, asked: FinishRequest, bare: list[WallBand], style: LengthStyle) -> list[FinishRequest]:
    """Return what is left of a finish of one wall between bands from below."""
    try:
        low = sites.length_m(asked.bottom or "0")
        top = sites.length_m(asked.top) if asked.top else sites.wall(asked.wall).wall.height_m
    except KitError:
        return [asked]
    left: list[FinishRequest] = []
    rest: FinishRequest | None = asked
    for band in bare:
        if rest is None or band.top_m < low + PLAY_M or band.bottom_m > top - PLAY_M:
            continue
        if band.bottom_m > low + PLAY_M:
            left.append(replace(rest, top=told_length(sites, band.bottom_m, rest.top, style)))
        low = band.top_m
        over = low < top - PLAY_M and not band.to_top
        rest = replace(rest, bottom=told_length(sites, low, rest.bottom, style)) if over else None
    return [*left, rest] if rest is not None else left


def _span(site: WallSite, face: Array) -> tuple[float, float, float, float] | None:
    """Return lowest and highest place of a face, and where it begins and ends along a wall; None off its plane."""
    wall = site.wall
    offset = face[:, :2] - wall.start_m
    if np.abs(offset @ wall.outward).max() > PLAY_M:
        return None
    along, up = offset @ wall.along, face[:, 2] - wall.base_m
    if along.min() < -PLAY_M or along.max() > wall.length_m + PLAY_M or np.ptp(along) < PLAY_M or np.ptp(up) < PLAY_M:
        return None
    return float(up.min()), float(up.max()), float(along.min()), float(along.max())


def _bands(site: WallSite, spans: list[tuple[float, float, float, float]]) -> list[WallBand]:
    joined: list[list[float]] = []
    for low, high, start, end in spans:
        if joined and low <= joined[-1][1] + PLAY_M:
            last = joined[-1]
            last[1], last[2], last[3] = max(last[1], high), min(last[2], start), max(last[3], end)
        else:
            joined.append([low, high, start, end])
    length, top = site.wall.length_m, site.wall.height_m
    return [
        WallBand(
            site.letter,
            max(low, 0.0),
            high,
            max(start, 0.0),
            end,
            start < PLAY_M and end > length - PLAY_M,
            high > top - PLAY_M,
        )
        for low, high, start, end in joined
    ]
