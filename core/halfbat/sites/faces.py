"""Which bands of which walls some faces of the mesh cover."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.settings import FinishRequest
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
