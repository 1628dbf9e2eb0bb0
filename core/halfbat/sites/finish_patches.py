"""Which places of the walls of a mesh have which finish, as triangles to be coloured."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.errors import KitError
from halfbat.settings import FinishRequest, OpeningRequest
from halfbat.settings.features import EVERY_WALL
from halfbat.sites.shapes import shape_of
from halfbat.sites.walls import Sites, WallSite
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.grid import PER_MM, Ints
from halfbat.solids.trapezoids import decompose
from halfbat.surfaces.chosen import chosen_bond
from halfbat.surfaces.features.site import FeatureSite, where_of
from halfbat.surfaces.finishes.band import band_of
from halfbat.surfaces.jambs import JambRules

Array = npt.NDArray[np.float64]
_LARGEST_MM = 1000.0
"""A wall is drawn to this size whatever its own, so that any wall has room on the grid of plane figures."""
_BARE = 0
_LEAST_MM2 = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class FinishPatch:
    """Where a finish shows on a wall.

    Parameters
    ----------
    wall : str
        Letter of the wall.
    kind : str
        The finish, one of `FINISH_CHOICES`.
    triangles_m : ndarray, shape (T, 3, 3)
        Corners of triangles in the wall's face, anticlockwise seen from outside, in the building's frame, metres.
        Openings are left out of them.
    """

    wall: str
    kind: str
    triangles_m: Array


@dataclass(frozen=True, slots=True)
class FinishesSeen:
    """All finishes of a building.

    Parameters
    ----------
    patches : tuple of FinishPatch
        By wall; where two finishes lie over each other, the later one.
    troubles : tuple of KitError
        Why some cannot be made, in the order of the requests.
    """

    patches: tuple[FinishPatch, ...]
    troubles: tuple[KitError, ...]


def finishes_seen(
    sites: Sites, finishes: Sequence[FinishRequest], openings: Iterable[OpeningRequest] = ()
) -> FinishesSeen:
    """Return where finishes show on the walls of a building.

    Parameters
    ----------
    sites : Sites
        The building.
    finishes : sequence of FinishRequest
        As the settings hold them; each covers its band as the kit has it, on bed joints.
    openings : iterable of OpeningRequest
        Those asked for, left out as those of the mesh are; one that cannot be made is passed over.
    """
    letters = [site.letter for site in sites.walls]
    told = [
        KitError(
            f"there is no wall {asked.wall!r}", where_of(asked, number, asked.wall), f"name one of {', '.join(letters)}"
        )
        for number, asked in enumerate(finishes, 1)
        if asked.wall not in (EVERY_WALL, *letters)
    ]
    holes = _holes(sites, openings)
    patches: list[FinishPatch] = []
    for site in sites.walls:
        found, refused = _on_wall(sites, site, finishes, holes.get(site.letter, []))
        patches += found
        told += refused
    return FinishesSeen(tuple(patches), tuple(told))


def _holes(sites: Sites, openings: Iterable[OpeningRequest]) -> dict[str, list[Array]]:
    """Outlines of openings by wall, in (u, v) of it, metres."""
    found: dict[str, list[Array]] = {}
    for asked in openings:
        try:
            shape = shape_of(sites, asked, "opening", "openings")
        except KitError:
            continue
        frame = sites.wall(asked.wall).frame()
        along, _, up = frame[:3, :3].T @ (shape.place[:3, 3] - frame[:3, 3])
        found.setdefault(asked.wall, []).append(shape.rings[0] + (along, up))
    return found


def _on_wall(
    sites: Sites, site: WallSite, finishes: Sequence[FinishRequest], holes: Sequence[Array]
) -> tuple[list[FinishPatch], list[KitError]]:
    per_m = sites.scale.mm_per_m
    brick = sites.settings.brick
    place = FeatureSite(
        site.masonry, JambRules(chosen_bond(brick)), brick, site.wall.outline_m * per_m, 0.0, letter=site.letter
    )
    kinds: list[str] = []
    bands: list[tuple[float, float]] = []
    told: list[KitError] = []
    for number, asked in enumerate(finishes, 1):
        if asked.wall not in (EVERY_WALL, site.letter):
            continue
        try:
            band = band_of(asked, place, where_of(asked, number, site.letter))
        except KitError as error:
            told.append(error)
            continue
        kinds.append(asked.kind)
        bands.append((band.low_mm / per_m, band.high_mm / per_m))
    if not kinds:
        return [], told
    flat, cells = _triangles(site.wall.outline_m, bands, [*(own.ring_m for own in site.wall.openings), *holes])
    frame = site.frame()
    patches = []
    for kind in dict.fromkeys(kinds):
        spots = flat[np.isin(cells, [cell for cell, own in enumerate(kinds, _BARE + 1) if own == kind])]
        if len(spots):
            corners = spots[..., :1] * frame[:3, 0] + spots[..., 1:] * frame[:3, 2] + frame[:3, 3]
            patches.append(FinishPatch(site.letter, kind, corners))
    return patches, told


def _triangles(outline: Array, bands: Sequence[tuple[float, float]], holes: Sequence[Array]) -> tuple[Array, Ints]:
    """Cut a wall's face into triangles (T, 3, 2), metres, with the cell of each: the turn of its band, from 1."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    middle, size = (low + high) / 2, float((high - low).max())
    per_m = _LARGEST_MM / size

    def shown(ring: Array) -> Array:
        # What reaches far beyond the wall is brought near: only what lies on it is seen.
        return np.asarray(np.clip((ring - middle) / size, -1.0, 1.0) * _LARGEST_MM, dtype=np.float64)

    strips = [shown(np.array([[low[0] - size, foot], [high[0] + size, top]])).ravel() for foot, top in bands]
    layers = [Layer.union([shown(outline)], _BARE)]
    layers += [Layer.rectangles([strip], [cell]) for cell, strip in enumerate(strips, _BARE + 1)]
    if holes:
        layers.append(Layer.patches([shown(ring) for ring in holes], OUTSIDE))
    cut = decompose(Figure(tuple(layers)))
    x = np.stack([cut.left0, cut.right0, cut.right1, cut.left1], axis=1) / PER_MM
    y = np.stack([cut.y0, cut.y0, cut.y1, cut.y1], axis=1) / PER_MM
    corners = np.stack([x, y], axis=2)
    flat = corners[:, [0, 1, 2, 0, 2, 3]].reshape(-1, 3, 2)
    cells = np.repeat(cut.cell, 2)
    first, second = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    kept = np.abs(first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) > _LEAST_MM2
    return flat[kept] / per_m + middle, cells[kept]
