"""The face of a wall in lines: its bricks, features and finishes, with a heavier line where something steps out.

The light comes over the left shoulder, as on builders' drawings: what stands out is edged heavily below and to its
right, what lies back above and to its left.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from halfbat.building.rings import inside_rings
from halfbat.drawings.borders import lines_between, outlines
from halfbat.drawings.brickwork import bond_lines, stretches
from halfbat.drawings.drawing import Array, BondLines, Brickwork, Item, Shape
from halfbat.drawings.paper import on_paper
from halfbat.drawings.wall_surfaces import LEVEL_MM, Show, Surface, WallSurfaces
from halfbat.parts.walls import WallPlan
from halfbat.solids.figure import OUTSIDE
from halfbat.solids.grid import to_mm
from halfbat.solids.sheet import Sheet

_SHADE = 0.3
_GRAIN = np.array([[-0.07, 0.0], [0.07, 0.0]])
_GRAINS_MM = (2.4, 1.5)
"""Distance of the dots on paper by which a smooth coat of render is told from the wall, and one with a texture."""
_SCATTER = (0.7548776662466927, 0.5698402909980532)
"""Steps of a sequence that fills a square evenly and never falls into rows: 1 / g and 1 / g2 for g3 = g + 1."""


def wall_lines(wall: WallPlan, shown: WallSurfaces, size: Fraction) -> list[Item]:
    """Draw the face of a wall within its outline.

    Parameters
    ----------
    wall : WallPlan
        A settled wall.
    shown : WallSurfaces
        Of the same wall.
    size : Fraction
        Millimetres on paper for one on the model.
    """
    sheet, surfaces = shown.sheet, shown.surfaces
    matrix = np.array([[float(size), 0.0, 0.0], [0.0, float(size), 0.0]])
    letter = wall.wall.letter
    items: list[Item] = []
    for cells, bond, key in _bonds(wall, shown):
        clips = outlines(sheet, cells)
        if clips:
            items.append(Brickwork(bond, matrix, tuple(clips), f"wall-{letter}{key}"))
    holes = outlines(sheet, (i for i, surface in enumerate(surfaces) if surface.show is Show.HOLE))
    items += [Shape((on_paper(ring, size),), "hole") for ring in holes]
    for grains in _grains(wall, shown, size):
        items.append(Shape(tuple(grains), "grain", closed=False))
    for style, lines in _lines(shown):
        if lines:
            items.append(Shape(tuple(on_paper(line, size) for line in lines), style, closed=False))
    return items


def _bonds(wall: WallPlan, shown: WallSurfaces) -> list[tuple[list[int], BondLines, str]]:
    """Return which cells show which bricks: those of the wall, or those laid for a pier, a quoin or a panel alone."""
    common, found = bond_lines(wall), []
    walls = [i for i, one in enumerate(shown.surfaces) if one.show is Show.BRICKS or _shares(one)]
    found.append((walls, common, ""))
    for cell, one in enumerate(shown.surfaces):
        own = one.courses.laying if one.courses else None
        if one.courses is None or own is None:
            continue
        at = one.courses.origin_mm
        patterns = tuple(pattern.bounds_mm + at for pattern in own.patterns)
        key = f"{common.key}x{cell}"
        bond = BondLines(key, common.size_mm, own.bed_v_mm, own.gauge_mm, patterns, own.course_pattern)
        found.append(([cell], bond, f"-{cell}"))
    return found


def _shares(surface: Surface) -> bool:
    return surface.courses is not None and surface.courses.laying is None


def _lines(shown: WallSurfaces) -> list[tuple[str, list[Array]]]:
    sheet, surfaces = shown.sheet, shown.surfaces
    inner = (sheet.left != OUTSIDE) & (sheet.right != OUTSIDE)
    kinds = np.array([list(Show).index(surface.show) for surface in surfaces])
    left, right = kinds[sheet.left], kinds[sheet.right]
    piece = inner & _either(left, right, Show.PIECE)
    # An edge of courses at another level; of those that the wall's own bricks bring back, only where they step.
    courses = inner & ~piece & _either(left, right, Show.COURSES)
    levels = np.array([surface.level_mm for surface in surfaces])
    own = np.array([surface.courses is not None and surface.courses.laying is not None for surface in surfaces])
    courses &= (np.abs(levels[sheet.left] - levels[sheet.right]) > LEVEL_MM) | own[sheet.left] | own[sheet.right]
    ground = _either(left, right, Show.GROUND)
    crests = [np.array([[u, low], [u, high]]) for _, u, low, high in shown.crests]
    return [
        ("unit", [*lines_between(sheet, piece), *_kept_inside(crests, shown)]),
        ("feature", lines_between(sheet, courses & ~ground)),
        ("step", _steps(shown)),
    ]


def _either(left: NDArray[np.int64], right: NDArray[np.int64], show: Show) -> NDArray[np.bool_]:
    index = list(Show).index(show)
    return np.asarray((left == index) | (right == index))


def _steps(shown: WallSurfaces) -> list[Array]:
    """Return the edges in the shade."""
    sheet = shown.steps
    levels = np.array([level for _, level in shown.masses])
    inner = (sheet.left != OUTSIDE) & (sheet.right != OUTSIDE)
    rise = np.where(inner, levels[sheet.left] - levels[sheet.right], 0.0)
    along = _directions(sheet)
    # To the right of a border lies (y, -x); the lower side is there where the left one is higher.
    toward = np.sign(rise) * (along[:, 1] + along[:, 0]) / np.sqrt(2.0)
    return lines_between(sheet, (np.abs(rise) > LEVEL_MM) & (toward > _SHADE))


def _directions(sheet: Sheet) -> Array:
    points = to_mm(sheet.points)
    along = points[sheet.borders[:, 1]] - points[sheet.borders[:, 0]]
    return np.asarray(along / np.hypot(along[:, 0], along[:, 1])[:, None].clip(1e-12))


def _kept_inside(lines: list[Array], shown: WallSurfaces) -> list[Array]:
    """Cut upright lines of ribs where something lies over the sheets."""
    found = []
    for index in sorted({index for index, *_ in shown.crests}):
        rings = surface_rings(shown, index)
        own = [line for line, (of, *_) in zip(lines, shown.crests, strict=True) if of == index]
        for line in own:
            u = float(line[0, 0])
            for low, high in stretches(rings, u, axis=0):
                start, end = max(low, float(line[0, 1])), min(high, float(line[1, 1]))
                if end > start:
                    found.append(np.array([[u, start], [u, end]]))
    return found


def surface_rings(shown: WallSurfaces, dressing: int) -> list[Array]:
    """Return the outlines of all that a feature or a finish shows of itself, shape (K, 2), mm."""
    return outlines(shown.sheet, (i for i, one in enumerate(shown.surfaces) if one.dressing == dressing))


def _grains(wall: WallPlan, shown: WallSurfaces, size: Fraction) -> list[list[Array]]:
    found = []
    for index, dressing in enumerate(wall.facing.dressings):
        if dressing.kind != "render":
            continue
        rings = surface_rings(shown, index)
        if rings:
            dots = _scattered(rings, _GRAINS_MM[len(dressing.layers) > 1] / float(size))
            found.append([on_paper(dot, size) + _GRAIN for dot in dots])
    return found


def _scattered(rings: list[Array], apart_mm: float) -> Array:
    """Return places within rings, one to each square of a grid and nowhere in rows, shape (N, 1, 2)."""
    points = np.concatenate(rings)
    low, high = points.min(axis=0), points.max(axis=0)
    counts = np.maximum(1, np.ceil((high - low) / apart_mm)).astype(int)
    columns, rows = np.meshgrid(np.arange(counts[0]), np.arange(counts[1]))
    each = np.column_stack([columns.ravel(), rows.ravel()])
    number = np.arange(len(each))
    away = np.column_stack([number * step % 1.0 for step in _SCATTER])
    places = low + (each + away) * apart_mm
    return np.asarray(places[inside_rings(rings, places)][:, None, :])
