"""Which bricks a panel shows, and how it shares them with its neighbours."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.cells import PanelCell, Side
from halfbat.settings import Settings
from halfbat.surfaces import Kind, Lattice, Laying, Rectangles, rectangles
from halfbat.surfaces.joints import Joints, part_steps_mm

Array = NDArray[np.float64]
SMALLEST_PIECE_MM = 0.1
SMALLEST_PIECE_PX = 2
WITHIN_MM = 1e-3
NO_LATTICE = Lattice(0.0, 0.0)
LEAST_FLOOR_MM = 0.05
SMALLEST_ON_RAKE = 0.25
"""A piece narrower than this share of the brick it is cut from is left to its neighbour (common practice)."""


def panel_bricks(
    laying: Laying,
    joints: Joints,
    outline_mm: Array,
    slopes: tuple[float, float],
    cell: PanelCell,
    centre: Array,
    settings: Settings,
) -> tuple[Rectangles, dict[str, int]]:
    """Bricks seen on a panel, cut to it, and how many count as this panel's.

    Parameters
    ----------
    laying : Laying
        The wall's bricks.
    joints : Joints
        Widths of joints, whole pixels.
    outline_mm : ndarray (K, 2)
        Outline of the wall's face.
    slopes : tuple of float
        How far the end faces at the wall's left and right lean in for each millimetre of depth.
    cell : PanelCell
        The panel.
    centre : ndarray (2,)
        From where pixels are counted.
    settings : Settings
        Seam gap and resin process.

    Returns
    -------
    Rectangles, dict of str to int
        A brick counts for the panel that holds its middle; on a rake, where its middle lies in the wall.
    """
    step_x, step_y, _ = part_steps_mm(settings.resin)
    u_lattice, v_lattice = Lattice(float(centre[0]), step_x), Lattice(float(centre[1]), step_y)
    bricks = rectangles(laying, joints.perpend_mm, joints.bed_mm, u_lattice, v_lattice)
    middle_v = (bricks.v0 + bricks.v1) / 2
    cell_low, cell_high = _reach(cell.outline, bricks.v0, bricks.v1) if cell.bent else _limits(cell.outline, middle_v)
    face_low, face_high = _limits(outline_mm, middle_v)
    # Pixels lie differently on each panel, so bricks are counted where they truly lie.
    counts = _counts(rectangles(laying, 0.0, 0.0, NO_LATTICE, NO_LATTICE), outline_mm, cell, settings)
    low = np.where(Side.LEFT in cell.sides, face_low, np.maximum(face_low, cell_low))
    high = np.where(Side.RIGHT in cell.sides, face_high, np.minimum(face_high, cell_high))
    v0, v1 = float(cell.outline[:, 1].min()), float(cell.outline[:, 1].max())
    bottom = np.maximum(bricks.v0, v0)
    top = np.where(Side.TOP in cell.sides, bricks.v1, np.minimum(bricks.v1, v1))
    u0, u1 = np.maximum(bricks.u0, low), np.minimum(bricks.u1, np.minimum(high, laying.length_mm))
    least = max(SMALLEST_PIECE_MM, SMALLEST_PIECE_PX * max(settings.resin.pixel_x_mm, settings.resin.pixel_y_mm))
    # Under a leaning end face the joints' floor ends further in: only pieces that reach the end stand over that.
    floor_low = low + joints.depth_mm * max(slopes[0] * (Side.LEFT in cell.sides), 0.0)
    floor_high = high - joints.depth_mm * max(slopes[1] * (Side.RIGHT in cell.sides), 0.0)
    u0 = np.where(u0 > low, np.maximum(u0, np.where(floor_low > low, floor_low + LEAST_FLOOR_MM, low)), u0)
    u1 = np.where(u1 < high, np.minimum(u1, np.where(floor_high < high, floor_high - LEAST_FLOOR_MM, high)), u1)
    needed = np.full(len(u0), least)
    raking = np.unique(np.round(np.concatenate([face_low, face_high]), 6)).size > 2
    if raking:
        cut = (u1 - u0 < bricks.u1 - bricks.u0 - 1e-6) & (u1 > u0)
        holds = max(least, settings.resin.min_raised_mm + step_x)
        needed[cut] = np.maximum(holds, SMALLEST_ON_RAKE * (bricks.u1 - bricks.u0)[cut])
    wide = np.minimum(u1, floor_high) - np.maximum(u0, floor_low)
    lift = min(settings.resin.min_raised_mm + step_y, (laying.gauge_mm - joints.bed_mm) / 2)
    tall = top - bottom >= least
    if raking:
        # What an apex leaves of the last course.
        tall &= (bricks.course < laying.courses - 1) | (top - bottom >= lift)
    seen = (wide >= needed) & tall
    if raking:
        # The face is cut by the outline itself; a sliver goes to the brick beside it.
        u0, u1 = _with_slivers(bricks, u0, u1, seen, tall, cell, (cell_low, cell_high))
        u0, u1 = _without_tips(u0, u1, (bottom, top), outline_mm, lift)
        seen &= u1 - u0 >= np.where(cut, holds, least)
    return Rectangles(u0[seen], bottom[seen], u1[seen], top[seen], bricks.kind[seen], bricks.course[seen]), counts


def _with_slivers(
    bricks: Rectangles,
    u0: Array,
    u1: Array,
    seen: NDArray[np.bool_],
    tall: NDArray[np.bool_],
    cell: PanelCell,
    limits: tuple[Array, Array],
) -> tuple[Array, Array]:
    """Let bricks on a rake reach over it, and over the sliver beside them that is left out."""
    low = np.where(Side.LEFT in cell.sides, -np.inf, limits[0])
    high = np.where(Side.RIGHT in cell.sides, np.inf, limits[1])
    same = np.concatenate([[False], bricks.course[1:] == bricks.course[:-1]])
    begin, end = np.maximum(bricks.u0, low), np.minimum(bricks.u1, high)
    begin, end = np.where(seen, begin, u0), np.where(seen, end, u1)
    lost = ~seen & tall & (u1 > u0)
    left = np.flatnonzero(lost[:-1] & seen[1:] & same[1:])
    begin[left + 1] = np.maximum(bricks.u0[left], low[left])
    # A sliver between two bricks goes to one of them.
    given = np.zeros(len(lost), dtype=bool)
    given[left] = True
    right = np.flatnonzero(lost[1:] & seen[:-1] & same[1:] & ~given[1:])
    end[right] = np.minimum(bricks.u1[right + 1], high[right])
    return begin, end


def _without_tips(
    u0: Array, u1: Array, heights: tuple[Array, Array], outline: Array, lift_mm: float
) -> tuple[Array, Array]:
    """End bricks on a rake where they are too low to hold, not in a feather edge."""
    bottom, top = heights
    lift = np.minimum(lift_mm, top - bottom)
    low_1, high_1 = _limits(outline, bottom + lift)
    low_2, high_2 = _limits(outline, top - lift)
    # A rake cuts a brick from above or from below: of the two heights one matters, which a low brick has the other way.
    low_brick = top - bottom < 2 * lift
    low = np.where(low_brick, np.maximum(low_1, low_2), np.minimum(low_1, low_2))
    high = np.where(low_brick, np.minimum(high_1, high_2), np.maximum(high_1, high_2))
    return np.maximum(u0, low), np.minimum(u1, high)


def _counts(bricks: Rectangles, outline: Array, cell: PanelCell, settings: Settings) -> dict[str, int]:
    owned = owned_by((bricks.u0 + bricks.u1) / 2, (bricks.v0 + bricks.v1) / 2, outline, cell, settings)
    tally = np.bincount(bricks.kind[owned], minlength=len(Kind))
    return {kind.label: int(tally[kind]) for kind in Kind if tally[kind]}


def owned_by(u: Array, v: Array, outline_mm: Array, cell: PanelCell, settings: Settings) -> NDArray[np.bool_]:
    """Say which places of a wall count for a panel: each for one only, and none beside the wall's outline."""
    return _within(u, v, _limits(cell.outline, v), outline_mm, cell, settings)


def _within(
    u: Array, v: Array, limits: tuple[Array, Array], outline: Array, cell: PanelCell, settings: Settings
) -> NDArray[np.bool_]:
    half_gap = settings.seam.gap_mm / 2
    # What a cut itself takes goes to the panel on the left and below.
    low = np.where(Side.LEFT in cell.sides, -np.inf, limits[0] - half_gap)
    high = np.where(Side.RIGHT in cell.sides, np.inf, limits[1] + half_gap)
    below = -np.inf if Side.BOTTOM in cell.sides else float(cell.outline[:, 1].min()) - half_gap
    above = np.inf if Side.TOP in cell.sides else float(cell.outline[:, 1].max()) + half_gap
    owned: NDArray[np.bool_] = (u > low) & (u <= high) & (v > below) & (v <= above)
    if len(outline) > 4:
        # The corners of the wall may end its face before the middle of its last bricks.
        low_u, high_u = float(outline[:, 0].min()), float(outline[:, 0].max())
        owned &= _inside(outline, np.clip(u, low_u + WITHIN_MM, high_u - WITHIN_MM), v)
    return owned


def _inside(outline: Array, u: Array, v: Array) -> NDArray[np.bool_]:
    inside = np.zeros(len(u), dtype=bool)
    for (x0, y0), (x1, y1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if y0 != y1:
            crosses = (y0 > v) != (y1 > v)
            inside ^= crosses & (u < x0 + (v - y0) * (x1 - x0) / (y1 - y0))
    return inside


def _limits(outline: Array, v: Array) -> tuple[Array, Array]:
    """Left and right border of an outline at each height; crossed over where it is not there at all."""
    low, high = np.full(len(v), np.inf), np.full(len(v), -np.inf)
    for (x0, y0), (x1, y1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if y0 == y1:
            continue
        at = (v >= min(y0, y1)) & (v <= max(y0, y1))
        u = x0 + (v[at] - y0) * (x1 - x0) / (y1 - y0)
        if y1 < y0:
            low[at] = np.minimum(low[at], u)
        else:
            high[at] = np.maximum(high[at], u)
    return low, high


def _reach(outline: Array, v0: Array, v1: Array) -> tuple[Array, Array]:
    """Furthest left and right that an outline reaches between two heights; crossed over where it is not there."""
    low, high = np.full(len(v0), np.inf), np.full(len(v0), -np.inf)
    for (x0, y0), (x1, y1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if y0 == y1:
            continue
        at = (np.maximum(v0, min(y0, y1)) < np.minimum(v1, max(y0, y1))).nonzero()[0]
        for level in (v0[at], v1[at]):
            u = x0 + (np.clip(level, min(y0, y1), max(y0, y1)) - y0) * (x1 - x0) / (y1 - y0)
            if y1 < y0:
                low[at] = np.minimum(low[at], u)
            else:
                high[at] = np.maximum(high[at], u)
    return low, high
