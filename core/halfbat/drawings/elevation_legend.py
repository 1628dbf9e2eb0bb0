"""What finishes and features on an elevation are: a sample of each finish, its heights, how far things stand out."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise

import numpy as np

from halfbat.building.rings import inside_rings
from halfbat.drawings.brickwork import joint_lines
from halfbat.drawings.drawing import Array, Brickwork, Item, Label, Shape, rectangle
from halfbat.drawings.wall_lines import surface_rings
from halfbat.drawings.wall_surfaces import LEVEL_MM, WallSurfaces
from halfbat.parts.walls import WallPlan
from halfbat.surfaces.dressing import Dressing
from halfbat.surfaces.finishes import FINISH_KINDS

ROW_MM, TEXT_ROW_MM = 8.2, 3.6
_SWATCH_MM = (14.0, 7.0)
_TEXT_MM = 2.2
_DRAWN = ("unit", "grain", "feature")


def legend_room_mm(wall: WallPlan) -> float:
    """Return how high a wall's legend is at most, on paper."""
    names = {_name(own) for own in wall.facing.dressings}
    return sum(ROW_MM if name in FINISH_KINDS else TEXT_ROW_MM for name in names)


def legend(
    wall: WallPlan, shown: WallSurfaces, drawn: Iterable[Item], size: Fraction, top_mm: float, per_m: float
) -> list[Item]:
    """Draw the legend of a wall, downward from a height on paper.

    Parameters
    ----------
    wall : WallPlan
        A settled wall.
    shown : WallSurfaces
        Its face.
    drawn : iterable of Item
        Of `wall_lines`, of which samples are cut out.
    size : Fraction
        Millimetres on paper for one on the model.
    top_mm : float
        Height on paper of the first row.
    per_m : float
        Millimetres on the model for a metre.
    """
    kinds: dict[str, list[int]] = {}
    for index, dressing in enumerate(wall.facing.dressings):
        kinds.setdefault(_name(dressing), []).append(index)
    lines = [shape for shape in drawn if isinstance(shape, Shape) and shape.style in _DRAWN]
    bricks = [item for item in drawn if isinstance(item, Brickwork)]
    lines += [Shape(tuple(line * float(size) for line in joint_lines(item)), "bond", closed=False) for item in bricks]
    items: list[Item] = []
    y = top_mm
    # Finishes first: they have samples.
    for name, own in sorted(kinds.items(), key=lambda pair: pair[0] not in FINISH_KINDS):
        rings = [ring for index in own for ring in surface_rings(shown, index)]
        if not rings:
            continue
        text_at, middle = 0.0, y - TEXT_ROW_MM / 2
        if name in FINISH_KINDS:
            items += _sample(rings, lines, float(size), (0.0, y - _SWATCH_MM[1]))
            text_at, middle = _SWATCH_MM[0] + 2.0, y - _SWATCH_MM[1] / 2
        said = _said(name, own, shown, rings, per_m)
        items.append(Label((text_at, middle), said, _TEXT_MM, "start"))
        y -= ROW_MM if name in FINISH_KINDS else TEXT_ROW_MM
    return items


def _name(own: Dressing) -> str:
    return "lead flashing" if own.kind == "flashing" else own.kind


def _said(name: str, own: list[int], shown: WallSurfaces, rings: list[Array], per_m: float) -> str:
    points = np.concatenate(rings)
    low, high = float(points[:, 1].min()), float(points[:, 1].max())
    levels = [level for index, level in shown.masses if index in own]
    out = max(levels, default=0.0)
    back = min(levels, default=0.0)
    stands = (
        f", stands out {out:.2f} mm" if out > LEVEL_MM else f", lies back {-back:.2f} mm" if back < -LEVEL_MM else ""
    )
    over = f"{low / per_m:.3f} to {high / per_m:.3f} m above the foot ({low:.2f} to {high:.2f} mm)"
    return f"{name.capitalize()}: {over}{stands}"


def _sample(rings: list[Array], lines: list[Shape], size: float, corner: tuple[float, float]) -> list[Item]:
    """Cut a sample out of the middle of what a finish covers."""
    points = np.concatenate(rings) * size
    low, high = points.min(axis=0), points.max(axis=0)
    half = np.minimum(np.array(_SWATCH_MM), high - low) / 2
    middle = _spot(rings, size, half)
    frame = rectangle(*corner, corner[0] + _SWATCH_MM[0], corner[1] + _SWATCH_MM[1])
    shift = np.array(corner) + np.array(_SWATCH_MM) / 2 - middle
    items: list[Item] = [Shape((frame,), "swatch")]
    window = np.array([middle - half, middle + half])
    for shape in lines:
        cut = [piece + shift for line in shape.rings for piece in _within(line, window)]
        if cut:
            items.append(Shape(tuple(cut), shape.style, closed=False))
    return items


def _spot(rings: list[Array], size: float, half: Array) -> Array:
    """Return a place for the middle of a sample, with most of it on the finish."""
    points = np.concatenate(rings) * size
    low, high = points.min(axis=0) + half, points.max(axis=0) - half
    steps = np.linspace(0.0, 1.0, 9)
    spots = low + (high - low).clip(0.0) * np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    grid = (
        np.stack(np.meshgrid(np.linspace(-0.95, 0.95, 5), np.linspace(-0.95, 0.95, 5)), axis=-1).reshape(-1, 2) * half
    )
    inside = inside_rings(rings, (spots[:, None, :] + grid).reshape(-1, 2) / size).reshape(len(spots), -1).sum(axis=1)
    best = spots[inside == inside.max()]
    return np.asarray(best[len(best) // 2])


def _within(line: Array, window: Array) -> list[Array]:
    """Clip a line to a box, one stretch of it after another."""
    if (line.max(axis=0) < window[0]).any() or (line.min(axis=0) > window[1]).any():
        return []
    found: list[Array] = []
    for a, b in pairwise(line):
        step = b - a
        with np.errstate(divide="ignore", invalid="ignore"):
            bounds = (window - a) / step
        still = step == 0
        if (still & ((a < window[0]) | (a > window[1]))).any():
            continue
        enter = np.where(still, -np.inf, bounds.min(axis=0)).max()
        leave = np.where(still, np.inf, bounds.max(axis=0)).min()
        enter, leave = max(float(enter), 0.0), min(float(leave), 1.0)
        if leave > enter:
            found.append(np.array([a + step * enter, a + step * leave]))
    return found
