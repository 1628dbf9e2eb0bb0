"""Joints between bricks: wide enough, deep enough, and all alike on the printer's pixels."""

from __future__ import annotations

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.printing.checks.subject import Subject
from halfbat.printing.rasters import Grid, Ints, Mask, raster, runs
from halfbat.printing.sections import section
from halfbat.settings import ResinProcess
from halfbat.surfaces.finishes import FINISH_PIECES

FEWEST_LAYERS = 2
RELIEF_KINDS = frozenset({"skin"})
"""Parts with bricks in relief."""
LEAST_LEVEL_SHARE = 0.05
_WIDEST_JOINT = 1.7
_STRAY_SHARE = 0.002
_STEADY_SHARE = 0.6
FEWEST_ROWS = 3
"""A gap that keeps its place over fewer rows of pixels may lean."""
_EXACT = 1e-3
_TOLD_SHARE = 0.02


def relief_levels_mm(subject: Subject) -> tuple[float, float] | None:
    """Height of the bottom of the joints and of the brick faces, or None where there is no relief."""
    if subject.part.kind not in RELIEF_KINDS:
        return None
    if subject.part.relief_mm is not None:
        return subject.part.relief_mm
    heights, areas = subject.up.heights_mm, subject.up.areas_mm2
    large = heights[areas > LEAST_LEVEL_SHARE * areas.sum()]
    return None if len(large) < 2 else (float(large[-2]), float(large[-1]))


def _between(mask: Mask) -> Ints:
    """Widths of the upright gaps between material on both sides, one entry for each row they pass.

    Only gaps that keep their place over most of the height of a usual one count: joints of an arch lean, and are no
    whole number of pixels wide.
    """
    row, start, end = runs(mask)
    beside = row[1:] == row[:-1]
    row, left, right = row[1:][beside], end[:-1][beside], start[1:][beside]
    if not row.size:
        return np.zeros(0, dtype=np.int64)
    order = np.lexsort((row, right, left))
    row, left, right = row[order], left[order], right[order]
    new = np.ones(len(row), dtype=bool)
    new[1:] = (left[1:] != left[:-1]) | (right[1:] != right[:-1]) | (row[1:] != row[:-1] + 1)
    stretch = np.cumsum(new) - 1
    lengths = np.bincount(stretch)
    # Beside a rake a leaning gap has a place of its own in every row, and there may be more of these than of joints.
    standing = lengths[lengths >= FEWEST_ROWS] if (lengths >= FEWEST_ROWS).any() else lengths
    usual = int(np.argmax(np.bincount(standing, weights=standing)))
    kept = lengths[stretch] >= _STEADY_SHARE * usual
    return np.asarray((right - left)[kept], dtype=np.int64)


def joint_widths_px(subject: Subject, resin: ResinProcess) -> tuple[Ints, Ints] | None:
    """Widths of joints on the printer's pixels, along X and along Y, one entry for each pixel of their length."""
    levels = relief_levels_mm(subject)
    # Finishes have joints of their own, or none.
    if levels is None or FINISH_PIECES & subject.part.counts.keys():
        return None
    pitch = resin.pixel_x_mm / resin.scale_x, resin.pixel_y_mm / resin.scale_y
    grid = Grid.over(subject.part.solid.bounds_mm[:, :2], *pitch)
    mask = raster(section(subject.part.solid, sum(levels) / 2), grid)
    across, up = _between(mask), _between(mask.T)
    # In a bed joint a row meets no upright joint but runs through; such runs are far longer than a joint is wide.
    return tuple(_joints_only(widths) for widths in (across, up))  # type: ignore[return-value]


def _joints_only(widths: Ints) -> Ints:
    if not widths.size:
        return widths
    counts = np.bincount(widths)
    usual = int(np.argmax(counts[: max(2, int(np.flatnonzero(counts > _TOLD_SHARE * len(widths))[0] * 3))]))
    return widths[widths <= max(usual * _WIDEST_JOINT, usual + 2)]


def check_width(subject: Subject) -> tuple[Finding, ...]:
    """No joint is narrower than the process can keep open, in millimetres or in pixels."""
    resin = subject.resin
    widths = None if resin is None else joint_widths_px(subject, resin)
    if resin is None or widths is None:
        return ()
    found = []
    for told, pitch, name in (
        (widths[0], resin.pixel_x_mm, "upright joints"),
        (widths[1], resin.pixel_y_mm, "bed joints"),
    ):
        if not told.size:
            continue
        narrowest = int(np.quantile(told, _STRAY_SHARE))
        if narrowest < resin.min_groove_px or narrowest * pitch < resin.min_groove_mm - _EXACT:
            text = (
                f"{name} print {narrowest} pixels ({narrowest * pitch:.3f} mm) wide, under the {resin.min_groove_px} "
                f"pixels and {resin.min_groove_mm:g} mm that stay open"
            )
            remedy = "make the joints wider or choose a printer with smaller pixels"
            found.append(subject.finding(Severity.FAILURE, "groove-narrow", text, remedy))
    return tuple(found)


def check_evenness(subject: Subject) -> tuple[Finding, ...]:
    """All joints of a direction are the same whole number of pixels wide, so that no stripes show."""
    resin = subject.resin
    widths = None if resin is None else joint_widths_px(subject, resin)
    if widths is None:
        return ()
    found = []
    for told, name in ((widths[0], "upright joints"), (widths[1], "bed joints")):
        if not told.size:
            continue
        counts = np.bincount(told)
        usual = int(np.argmax(counts))
        # A brick left out beside a seam widens a joint by a little, and rarely.
        uneven = counts.sum() - counts[usual]
        if uneven > _TOLD_SHARE * counts.sum():
            text = f"{100 * uneven / counts.sum():.0f} % of the {name} are not {usual} pixels wide like the others"
            remedy = "make joints a whole number of pixels wide, on the pixels"
            found.append(subject.finding(Severity.FAILURE, "groove-uneven", text, remedy))
    return tuple(found)


def check_depth(subject: Subject) -> tuple[Finding, ...]:
    """Joints are as deep as must show, in whole layers."""
    resin, levels = subject.resin, relief_levels_mm(subject)
    if resin is None or levels is None:
        return ()
    depth, layer = levels[1] - levels[0], resin.part_layer_mm
    layers = depth / layer
    if depth < resin.min_groove_depth_mm - _EXACT or layers < FEWEST_LAYERS - _EXACT / layer:
        text = (
            f"joints are {depth:.3f} mm ({layers:.1f} layers) deep, under {resin.min_groove_depth_mm:g} mm or 2 layers"
        )
        return (subject.finding(Severity.FAILURE, "groove-shallow", text, "make the joints deeper"),)
    if abs(layers - round(layers)) * layer > 2 * _EXACT:
        text = f"joints are {depth:.3f} mm deep, which is {layers:.2f} layers"
        remedy = "make the joints a whole number of layers deep"
        return (subject.finding(Severity.WARNING, "groove-layers", text, remedy),)
    return ()
