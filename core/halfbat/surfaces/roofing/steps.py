"""Fine sizes of a roof covering as a printer makes them: side joints, lap steps, lattices."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from halfbat.findings import Finding, Severity
from halfbat.settings import ResinProcess
from halfbat.surfaces.joints import FEWEST_LAYERS, part_steps_mm
from halfbat.surfaces.rectangles import Lattice
from halfbat.units import Scale

_EXACT = 1e-9
SIDE_JOINT_MM = 5.0
"""Open joint between slates, full size (BS 8000-6:1990); between plain tiles it is less."""
# Common practice, no source: making notes, section 3, "tile / slate lap step": ratio and step in mm.
_USUAL_STEP = ((148.0, 0.12), (87.0, 0.15), (76.2, 0.18), (304.8 / 7, 0.25))


@dataclass(frozen=True, slots=True)
class RoofSteps:
    """What a printer makes of the fine sizes of a roof, on a skin lying flat with u along X and v along Y.

    Parameters
    ----------
    joint_mm : float
        Width of side joints, whole pixels along X.
    step_mm : float
        Step at the tail of a tile, whole layers.
    sheet_step_mm : float
        Step at the lap of a thin sheet: the least that shows, whole layers.
    layer_mm, pixel_u_mm, pixel_v_mm : float
        Of the printer, in the part.
    lattice_u, lattice_v : Lattice
        Pixels along and up the slope.
    findings : tuple of Finding
        What was changed from what the maker asked for.
    least_mm : float
        What is narrower does not hold.
    """

    joint_mm: float
    step_mm: float
    sheet_step_mm: float
    layer_mm: float
    lattice_u: Lattice
    lattice_v: Lattice
    findings: tuple[Finding, ...]
    least_mm: float = 0.0


def usual_step_mm(scale: Scale) -> float:
    """Return the usual lap step at a scale, model mm, before snapping.

    Straight lines in model size between the published scales; beyond them the same share of the true step.
    """
    ratio = float(scale.ratio)
    first, last = _USUAL_STEP[0], _USUAL_STEP[-1]
    if ratio >= first[0] or ratio <= last[0]:
        end = first if ratio >= first[0] else last
        return end[1] * end[0] / ratio
    place = next(index for index, row in enumerate(_USUAL_STEP) if row[0] <= ratio)
    (a, low), (b, high) = _USUAL_STEP[place - 1 : place + 1]
    return low + (1 / ratio - 1 / a) / (1 / b - 1 / a) * (high - low)


def roof_steps(
    scale: Scale,
    process: ResinProcess,
    *,
    lap_step_mm: float = 0.0,
    origin_mm: tuple[float, float] = (0.0, 0.0),
) -> RoofSteps:
    """Make side joints and lap steps that a printer can make.

    Parameters
    ----------
    scale : Scale
        Decides the usual step.
    process : ResinProcess
        Its pixels, layer and smallest groove.
    lap_step_mm : float
        Step asked for, model size; 0 takes the usual.
    origin_mm : tuple of float
        A place in the slope where pixels begin.

    Returns
    -------
    RoofSteps
        Joint the nearest whole number of pixels to the true one, never under the smallest groove; step the nearest
        whole number of layers, never under two layers or the shallowest groove.
    """
    step_x, step_y, layer = part_steps_mm(process)
    least_px = max(ceil(process.min_groove_mm / step_x - _EXACT), process.min_groove_px)
    joint_px = max(round(scale.to_mm(SIDE_JOINT_MM / 1000) / step_x), least_px)
    least_layers = max(ceil(process.min_groove_depth_mm / layer - _EXACT), FEWEST_LAYERS)
    wanted_mm = lap_step_mm or usual_step_mm(scale)
    layers = max(round(wanted_mm / layer), least_layers)
    made_mm = round(layers * layer, 9)
    findings: tuple[Finding, ...] = ()
    if (lap_step_mm and abs(made_mm - wanted_mm) > _EXACT) or made_mm > wanted_mm + layer / 2 + _EXACT:
        source = "asked for" if lap_step_mm else "usual for the scale"
        raised = made_mm > wanted_mm + layer / 2 + _EXACT
        reason = "the least that shows" if raised else "a whole number of layers"
        findings = (
            Finding(
                Severity.WARNING if raised and lap_step_mm else Severity.NOTE,
                "lap-step",
                "",
                f"lap steps made {made_mm:.3f} mm instead of {wanted_mm:.3f} mm ({source}): {reason}",
            ),
        )
    return RoofSteps(
        round(joint_px * step_x, 9),
        made_mm,
        round(least_layers * layer, 9),
        layer,
        Lattice(origin_mm[0], step_x),
        Lattice(origin_mm[1], step_y),
        findings,
        process.min_wall_mm,
    )
