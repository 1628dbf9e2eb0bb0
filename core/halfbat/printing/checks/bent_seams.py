"""Seams that bend under their cable run: hidden at every bend, and with both panels beside them all along."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import Finding, Severity
from halfbat.parts.bent_line import BentLine
from halfbat.parts.cover_parts import made_as
from halfbat.parts.cover_runs import cover_runs
from halfbat.parts.cuts import SeamStyle
from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.parts.walls import WallPlan
from halfbat.printing.checks.assembled import Hung, hung, points_on_wall_mm
from halfbat.printing.sections import Array, section
from halfbat.settings import Settings

COVERS_MORE_THAN_GAP_MM = 0.4
BOTH_SHARE = 0.97
_ROUNDING_MM = 0.02
_EACH_MM = 0.5
_BESIDE_MM = 0.1
_COVER_LEVEL, _PANEL_LEVEL = 0.1, 0.6
_FROM_END_MM = 0.3


def check_bent_seams(parts: Sequence[Part], plan: Plan, settings: Settings) -> tuple[Finding, ...]:
    """A cable run that bends is wider than the gap under it by 0.4 mm everywhere, and that gap parts two panels."""
    found = []
    for wall in plan.walls:
        for run in cover_runs(wall, plan, settings, plan.scale):
            if run.line is None or not run.place.over_seam:
                continue
            where = f"the seam that bends from {run.place.position_mm:.1f} mm"
            skins = [one for one in hung(parts, plan, "skin") if one.wall is wall]
            if _share_of(run.line, settings.seam.gap_mm / 2 + _BESIDE_MM, wall, skins, _PANEL_LEVEL) < BOTH_SHARE:
                text = f"{where} runs through an opening"
                found.append(Finding(Severity.WARNING, "seam-opening", f"wall {wall.wall.letter}", text, "move it"))
            if made_as(SeamStyle.CABLE_RUN, settings) == "wire":
                continue
            covers = [one for one in hung(parts, plan, "cover") if one.wall is wall]
            reach = (settings.seam.gap_mm + COVERS_MORE_THAN_GAP_MM) / 2 - _ROUNDING_MM
            if _share_of(run.line, reach, wall, covers, _COVER_LEVEL) < 1.0:
                text = f"{where} is not hidden all along, {2 * reach:.2f} mm wide"
                remedy = f"make the cable run at least {settings.seam.gap_mm + COVERS_MORE_THAN_GAP_MM:.2f} mm wide"
                found.append(Finding(Severity.WARNING, "cover-narrow", f"wall {wall.wall.letter}", text, remedy))
    return tuple(found)


def _share_of(line: BentLine, aside_mm: float, wall: WallPlan, parts: Sequence[Hung], level: float) -> float:
    """Share of the places to both sides of a line that lie on some parts, cut at a share of their height."""
    count = max(2, int(line.length_mm / _EACH_MM))
    stations = np.linspace(_FROM_END_MM, line.length_mm - _FROM_END_MM, count).tolist()
    spots = np.array([line.beside_at(s, side) for s in stations for side in (-aside_mm, aside_mm)])
    on = np.zeros(len(spots), dtype=np.bool_)
    for one in parts:
        solid = one.part.solid
        low, high = solid.bounds_mm[:, 2]
        at = float(low + level * (one.part.relief_mm[0] if one.part.relief_mm else high - low))
        cut = section(solid, at)
        level_mm = np.full(len(cut), at)
        starts, ends = (
            points_on_wall_mm(one.part, wall, np.column_stack([cut[:, k : k + 2], level_mm]))[:, :2] for k in (0, 2)
        )
        on |= _inside(spots, np.column_stack([starts, ends]))
    return float(on.mean())


def _inside(spots: Array, segments: Array) -> NDArray[np.bool_]:
    """Tell which places (N, 2) lie within closed outlines given as segments (K, 4)."""
    x0, y0, x1, y1 = segments.T
    u, v = spots.T[:, :, None]
    crosses = (y0 > v) != (y1 > v)
    at = x0 + (v - y0) * (x1 - x0) / np.where(y1 == y0, 1.0, y1 - y0)
    return np.asarray((crosses & (u < at)).sum(axis=1) % 2 == 1)
