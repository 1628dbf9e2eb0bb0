"""What shows on the face of a wall: its bricks, what is dressed onto them and at which level, as one plane figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from halfbat.drawings.borders import grown
from halfbat.drawings.drawing import Array, rectangle
from halfbat.parts.proud_ends import proud_at
from halfbat.parts.wall_openings import wall_masonry
from halfbat.parts.walls import WallPlan
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.sheet import Sheet, lay
from halfbat.surfaces.dressing import Brickwork, Dressing
from halfbat.surfaces.finishes import FINISH_KINDS
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import Unit
from halfbat.surfaces.rectangles import course_spans
from halfbat.units import Scale

LEVEL_MM = 0.03
"""Levels that differ by less are one, on paper."""
_BESIDE_MM = 10.0
_FLAT = 1e-6
_FILLED = 0.6
"""Share of a joint by which pieces are drawn out to meet, whatever pixels have made of it."""


class Show(StrEnum):
    """How a surface is drawn."""

    BRICKS = "bricks"
    COURSES = "courses"
    PIECE = "piece"
    GROUND = "ground"
    HOLE = "hole"


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """One surface of a wall's face.

    Parameters
    ----------
    show : Show
        How it is drawn.
    level_mm : float
        How far it stands out of the wall's face.
    dressing : int
        Place of its feature or finish among those of the wall; -1 for bricks of the wall and for openings.
    courses : Brickwork or None
        Bricks it shows, where it has its own.
    """

    show: Show
    level_mm: float = 0.0
    dressing: int = -1
    courses: Brickwork | None = None


@dataclass(frozen=True, slots=True, eq=False)
class WallSurfaces:
    """A wall's face, taken apart.

    Parameters
    ----------
    surfaces : tuple of Surface
        By cell of the sheet; the first is the bricks of the wall itself.
    sheet : Sheet
        Where each shows, in the wall's frame.
    masses : tuple of (int, float)
        Dressing and level of the cells of ``steps``; the first is the wall itself.
    steps : Sheet
        The same with the joints between the pieces of one dressing filled, to see where something steps out or back.
    crests : tuple of (int, float, float, float)
        Dressing, place along the wall, lowest and highest place of the ribs of sheets.
    """

    surfaces: tuple[Surface, ...]
    sheet: Sheet
    masses: tuple[tuple[int, float], ...]
    steps: Sheet
    crests: tuple[tuple[int, float, float, float], ...]


def wall_surfaces(
    wall: WallPlan, outline_mm: Array, holes_mm: Sequence[Array], settings: Settings, scale: Scale
) -> WallSurfaces:
    """Take the face of a wall apart by what is laid over what on its skins.

    Parameters
    ----------
    wall : WallPlan
        A settled wall.
    outline_mm : ndarray (K, 2)
        From corner to corner.
    holes_mm : sequence of ndarray (K, 2)
        Cut through its skins, those of openings aside.
    settings, scale
        Of the kit.
    """
    masonry = wall_masonry(wall.facing.laying, wall.facing.joints, settings, scale)
    whole = [outline_mm, *_beyond_corners(wall, outline_mm, masonry)]
    face = _Face(whole, masonry)
    for index, dressing in enumerate(wall.facing.dressings):
        face.dressing(index, dressing)
    for opening in wall.facing.openings:
        face.patches(list(opening.bed), Surface(Show.GROUND, -wall.facing.joints.depth_mm))
        face.units(opening.units, -1)
    through = [*(opening.outline for opening in wall.facing.openings), *holes_mm]
    sheet, steps = face.laid(through), face.stepped(through)
    return WallSurfaces(tuple(face.surfaces), sheet, tuple(face.masses), steps, tuple(face.crests))


class _Face:
    """Gathers the layers of both figures."""

    def __init__(self, whole: list[Array], masonry: Masonry) -> None:
        self.surfaces = [Surface(Show.BRICKS)]
        self.masses: list[tuple[int, float]] = [(-1, 0.0)]
        self.crests: list[tuple[int, float, float, float]] = []
        points = np.concatenate(whole)
        self._low, self._high = points.min(axis=0) - _BESIDE_MM, points.max(axis=0) + _BESIDE_MM
        self._layers = [Layer.patches(whole, 0)]
        self._steps = [Layer.patches(whole, 0)]
        self._masonry = masonry

    def dressing(self, index: int, own: Dressing) -> None:
        """Lay courses of a dressing, then its pieces, as they lie over one another."""
        for part in own.brickwork:
            bottoms, tops = self._spans(part)
            low, high = float(bottoms[part.first]), float(tops[part.last])
            ring = self._within(
                rectangle(part.left_mm, low if low > self._masonry.gauge_mm / 2 else 0.0, part.right_mm, high)
            )
            self.patches([ring], Surface(Show.COURSES, part.level_mm, index, part))
            if own.kind not in FINISH_KINDS:
                self._mass([ring], index, part.level_mm)
        alone = not own.brickwork and not any(unit.kind for layer in own.layers for unit in layer)
        finish = own.kind in FINISH_KINDS
        if finish:
            self._mass([self._within(place.outline) for place in own.voids], index, self._level_of(own))
        pieces = False
        for layer in own.layers:
            texture = own.kind == "render" and not any(unit.kind for unit in layer)
            ribs = [unit for unit in layer if not unit.kind and unit.plane is not None and own.clear_mm is not None]
            self._ribs(index, ribs)
            if not texture and layer:
                self.units(
                    [unit for unit in layer if unit not in ribs],
                    index,
                    over=pieces,
                    alone=alone,
                    finish=own.kind in FINISH_KINDS,
                )
            pieces |= any(unit.kind for unit in layer)

    def units(
        self, units: Sequence[Unit], index: int, *, over: bool = False, alone: bool = False, finish: bool = False
    ) -> None:
        """Lay pieces and grounds of one layer."""
        rings, cells = [], []
        for unit in units:
            level = _level(unit)
            if unit.kind or alone or (over and unit.plane is not None):
                show = Show.PIECE
            else:
                show = Show.HOLE if over and level < 0 else Show.GROUND
            rings.append(self._within(unit.ring))
            cells.append(self._cell(Surface(show, level, index)))
        if rings:
            self._layers.append(Layer.tiles(rings, cells))
        shown = [unit for unit in units if unit.kind]
        levels = [] if finish else [round(_level(unit), 2) for unit in shown]
        for level in sorted(set(levels)):
            same = [unit.ring for unit, own in zip(shown, levels, strict=True) if own == level]
            self._mass([grown(self._within(ring), self._masonry.joint_mm * _FILLED) for ring in same], index, level)

    def patches(self, rings: list[Array], surface: Surface) -> None:
        """Lay rings that may overlap as one surface."""
        if rings:
            self._layers.append(Layer.patches([self._within(ring) for ring in rings], self._cell(surface)))

    def laid(self, through: list[Array]) -> Sheet:
        """Return all surfaces as one sheet."""
        return lay(Figure((*self._layers, *self._cut(through))))

    def stepped(self, through: list[Array]) -> Sheet:
        """Return the levels as one sheet."""
        return lay(Figure((*self._steps, *self._cut(through))))

    def _cut(self, through: list[Array]) -> list[Layer]:
        return [Layer.patches(through, OUTSIDE)] if through else []

    def _mass(self, rings: list[Array], index: int, level: float) -> None:
        self._steps.append(Layer.patches(rings, len(self.masses)))
        self.masses.append((index, level))

    def _cell(self, surface: Surface) -> int:
        self.surfaces.append(surface)
        return len(self.surfaces) - 1

    def _within(self, ring: Array) -> Array:
        return np.asarray(np.clip(ring, self._low, self._high))

    def _spans(self, part: Brickwork) -> tuple[Array, Array]:
        """Bottom and top of the courses that some brickwork counts in."""
        bricks = self._masonry
        return bricks.courses if part.laying is None else course_spans(part.laying, bricks.joint_v_mm, bricks.lattice_v)

    @staticmethod
    def _level_of(own: Dressing) -> float:
        """How far a finish stands out, at its outermost: its stones may have levels of their own."""
        units = [_level(unit) for layer in own.layers for unit in layer if unit.kind]
        return max([*units, *(part.level_mm for part in own.brickwork)], default=0.0)

    def _ribs(self, index: int, ribs: list[Unit]) -> None:
        """Remember where the facets of a sheet meet in an arris that stands out."""
        for a, b in pairwise(ribs):
            at, low, high = float(b.ring[:, 0].min()), float(b.ring[:, 1].min()), float(b.ring[:, 1].max())
            together = abs(float(a.ring[:, 0].max()) - at) < 1e-6
            before, after = (unit.plane[1] if unit.plane else 0.0 for unit in (a, b))
            if together and before - after > _FLAT and before > -_FLAT and after < _FLAT:
                self.crests.append((index, at, low, high))


def _level(unit: Unit) -> float:
    a, b, c = unit.face
    return float((a + unit.ring @ (b, c)).max())


def _beyond_corners(wall: WallPlan, outline_mm: Array, masonry: Masonry) -> list[Array]:
    """Return what stands out of the walls next to this one and is seen beside it, as its own profile says."""
    facing, found = wall.facing, list[Array]()
    for end, corner in enumerate((wall.wall.left, wall.wall.right)):
        if corner is None or corner.corner_deg >= 180.0:
            continue
        for one in proud_at(facing.dressings, facing.laying, masonry, end):
            at = 0.0 if end == 0 else facing.laying.length_mm
            top = min(one.high_mm, float(outline_mm[np.abs(outline_mm[:, 0] - at) < LEVEL_MM, 1].max(initial=0.0)))
            out = one.out_mm * (-1.0 if end == 0 else 1.0)
            if abs(out) > LEVEL_MM and top > one.low_mm:
                found.append(rectangle(min(at, at + out), one.low_mm, max(at, at + out), top))
    return found
