"""The cuts a maker asks for: made exactly where asked, or refused."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from halfbat.errors import KitError
from halfbat.parts.bent_line import BentLine, Box, from_box_mm
from halfbat.parts.cuts import (
    Cut,
    SeamStyle,
    cover_hides,
    kept_out,
    pier_cuts,
    slivers,
    straight_cut,
    toothed_cuts,
)
from halfbat.parts.toothing import LEAST_TOOTH_MM, teeth_fit
from halfbat.parts.wall_run import WallRun

_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class PanelLimits:
    """Sizes a panel may have, mm.

    Parameters
    ----------
    width_mm, height_mm : float
        Largest: the smaller of the printer's usable size and the limit for flatness.
    least_mm : float
        Narrowest panel worth printing (common practice, no source).
    """

    width_mm: float
    height_mm: float
    least_mm: float = 3.0


@dataclass(frozen=True, slots=True)
class SeamRules:
    """How the cuts of a wall are made.

    Parameters
    ----------
    styles : tuple of SeamStyle
        Styles of the cuts that are chosen here, and the first of them that of cuts asked for without one.
    gap_mm : float
        Whole gap between two panels.
    cover_width_mm : float
        Width of a cable run.
    """

    styles: tuple[SeamStyle, ...] = (SeamStyle.CABLE_RUN,)
    gap_mm: float = 0.10
    cover_width_mm: float = 1.0


@dataclass(frozen=True, slots=True)
class CutRequest:
    """A cut the maker asks for.

    Parameters
    ----------
    position_mm : float
        From the wall's left end seen from outside, model mm. A straight cut is set on the nearest pixel, a toothed
        one on the nearest teeth.
    style : SeamStyle or None
        None for the style of the rules.
    line : BentLine, optional
        Centre line from the foot of the wall to its top, where it bends under a cable run.
    """

    position_mm: float
    style: SeamStyle | None = None
    line: BentLine | None = None


def asked_cuts(
    wall: WallRun,
    limits: PanelLimits,
    rules: SeamRules,
    styles: tuple[SeamStyle, ...],
    requests: Sequence[CutRequest],
    keep_outs: Sequence[tuple[float, float]],
    boxes: Sequence[Box] = (),
) -> list[Cut]:
    """Make the cuts the maker asked for, or refuse.

    Parameters
    ----------
    wall, limits, rules, requests, keep_outs, boxes
        As for `halfbat.parts.seams.plan_seams`.
    styles : tuple of SeamStyle
        The first is the style of cuts asked for without one.

    Returns
    -------
    list of Cut
        From left to right.

    Raises
    ------
    KitError
        A cut is off the wall, too near to an end or to another, over a span kept free, or toothed where no teeth fit.
    """
    cuts = [_asked_cut(wall, rules, styles, request) for request in requests]
    cuts.sort(key=lambda cut: cut.position_mm)
    for cut in cuts:
        if min(cut.low_mm, wall.length_mm - cut.high_mm) < limits.least_mm - _ROUNDING:
            raise KitError(
                f"the seam at {cut.position_mm:.2f} mm leaves a panel under {limits.least_mm:g} mm at the wall's end",
                wall.where,
                f"place it from {limits.least_mm:g} to {wall.length_mm - limits.least_mm:.2f} mm along the wall",
            )
        across = [] if cut.bent else [(box[0], box[2]) for box in boxes]
        span = kept_out(cut, [*keep_outs, *across], rules.gap_mm)
        if span:
            raise KitError(
                f"the seam at {cut.position_mm:.2f} mm lies in the span from {span[0]:.2f} to {span[1]:.2f} mm that is "
                "kept free of seams",
                wall.where,
                "move the seam or the span",
            )
        if cut.bent and any(from_box_mm(cut.bent.points, box) < rules.gap_mm / 2 - _ROUNDING for box in boxes):
            raise KitError(
                f"the seam at {cut.position_mm:.2f} mm bends too near to an opening",
                wall.where,
                "lead it two bricks past the jambs, and further above or below",
            )
    for left, right in pairwise(cuts):
        if right.low_mm - left.high_mm < limits.least_mm - _ROUNDING:
            raise KitError(
                f"the seams at {left.position_mm:.2f} and {right.position_mm:.2f} mm leave a panel under "
                f"{limits.least_mm:g} mm between them",
                wall.where,
                "leave one out or move them apart",
            )
    return cuts


def _asked_cut(wall: WallRun, rules: SeamRules, styles: tuple[SeamStyle, ...], request: CutRequest) -> Cut:
    position = request.position_mm
    if request.line is not None and request.line.bounds[0] > 0 and request.line.bounds[2] < wall.length_mm:
        covered = cover_hides(SeamStyle.CABLE_RUN, rules.cover_width_mm, rules.gap_mm)
        return Cut(position, SeamStyle.CABLE_RUN, request.line.array, covered, True, np.inf, request.line)
    if request.line is not None:
        position = next(u for u, _ in request.line.points if not 0 < u < wall.length_mm)
    if not 0 < position < wall.length_mm:
        raise KitError(
            f"the seam at {position:.2f} mm is off the wall, which is {wall.length_mm:.2f} mm long",
            wall.where,
            "place it along the wall, measured from its left end seen from outside",
        )
    style = request.style or styles[0]
    if style is SeamStyle.TOOTHED:
        if not teeth_fit(wall.laying, rules.gap_mm):
            raise KitError(
                f"courses of {wall.laying.gauge_mm:.2f} mm and a gap of {rules.gap_mm:g} mm are no room for the teeth "
                f"of a seam, {LEAST_TOOTH_MM:g} mm high",
                wall.where,
                "hide the seam in another way or use a larger scale",
            )
        nearest = min(
            toothed_cuts(wall, asked=True),
            key=lambda cut: (abs(cut.position_mm - position) + (cut.high_mm - cut.low_mm) / 2, cut.position_mm),
            default=None,
        )
        if nearest is None or abs(nearest.position_mm - position) > wall.module_mm:
            raise KitError(
                f"the bond offers no teeth near {position:.2f} mm", wall.where, "hide this seam in another way"
            )
        return nearest
    if style is SeamStyle.PIER:
        return _beside_pier(wall, rules, position)
    snapped = float(wall.lattice_u.round(np.array([position]))[0])
    covered = cover_hides(style, rules.cover_width_mm, rules.gap_mm)
    sliver = float(slivers(wall, np.array([snapped]), rules.gap_mm)[0])
    return straight_cut(wall, snapped, style, sliver, covered=covered, asked=True)


def _beside_pier(wall: WallRun, rules: SeamRules, position: float) -> Cut:
    """Set a cut in the nearest corner of a pier that stands within two bricks."""
    offered = pier_cuts(wall, rules.gap_mm, asked=True)
    nearest = min(offered, key=lambda cut: abs(cut.position_mm - position), default=None)
    if nearest is None or abs(nearest.position_mm - position) > 2 * wall.module_mm:
        raise KitError(
            f"no pier as high as the wall stands within two bricks of {position:.2f} mm",
            wall.where,
            "stand a pier there, or hide this seam in another way",
        )
    return nearest
