"""Whether brickwork can be printed at a scale, told from the settings alone before anything is made."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from fractions import Fraction

from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.settings import Settings
from halfbat.settings.features import EVERY_WALL
from halfbat.surfaces.chosen import chosen_bond, chosen_format
from halfbat.surfaces.joints import Joints, part_steps_mm, snapped_joints
from halfbat.units import Scale, parse_scale

GAP_CLOSING_MM = 0.098
"""Gaps narrower than this are filled by a usual slicer's closing radius of 0.049 mm: making notes, section 1, S15."""
_RATIOS = range(1, 1001)
_EXACT_MM = 1e-6


@dataclass(frozen=True, slots=True)
class ScaleFit:
    """What brickwork becomes at a scale.

    Parameters
    ----------
    face_mm : float
        Least side of a brick's face between its joints: height of a course or width of a header, model mm.
    joint_mm : float
        Narrowest joint, model mm.
    finest_ratio : int
        The smallest scale 1:n, n whole, at which faces are still as wide as holds; 0 where there is none.
    refusal : str
        Why no brickwork can be made at all; empty where it can.
    findings : tuple of Finding
        What will look poor or be lost.
    """

    face_mm: float
    joint_mm: float
    finest_ratio: int
    refusal: str
    findings: tuple[Finding, ...]


def scale_fit(settings: Settings) -> ScaleFit:
    """Judge a scale by its brick, its joints and its printer.

    Parameters
    ----------
    settings : Settings
        Scale, brick and resin process count.

    Raises
    ------
    KitError
        The scale, the brick or the bond cannot be read.
    """
    scale = parse_scale(settings.kit.scale)
    joints, face_mm = _at(scale, settings)
    joint_mm = min(joints.perpend_mm, joints.bed_mm)
    least_mm, pixel_mm = settings.resin.min_raised_mm, max(part_steps_mm(settings.resin)[:2])
    finest = _finest(settings, least_mm)
    refusal, findings = "", list[Finding]()
    if face_mm < pixel_mm - _EXACT_MM:
        refusal = f"at {scale.name} not a pixel of a brick is left between joints of {joint_mm:.3f} mm"
    elif face_mm < least_mm - _EXACT_MM:
        text = (
            f"at {scale.name} a brick's face is {face_mm:.3f} mm between its joints, under {least_mm:g} mm, and many "
            "will be lost"
        )
        findings.append(Finding(Severity.WARNING, "scale-small", "kit.scale", text, _remedy(finest)))
    if joint_mm < GAP_CLOSING_MM - _EXACT_MM:
        text = f"joints of {joint_mm:.3f} mm are narrower than the {GAP_CLOSING_MM:g} mm that slicers close as gaps"
        remedy = "switch off the closing of gaps in the slicer, or make joints wider"
        findings.append(Finding(Severity.WARNING, "joint-closes", "brick.joint_width_mm", text, remedy))
    return ScaleFit(face_mm, joint_mm, finest, refusal, tuple(findings))


def require_scale(settings: Settings) -> tuple[Finding, ...]:
    """Return what there is to tell of a scale; nothing where a finish covers all bricks.

    Raises
    ------
    KitError
        No brickwork can be made at it.
    """
    if any(finish.wall == EVERY_WALL and finish.bottom == "0" and not finish.top for finish in settings.finishes):
        return ()
    fit = scale_fit(settings)
    if fit.refusal:
        raise KitError(fit.refusal, "kit.scale", _remedy(fit.finest_ratio))
    return fit.findings


def fit_lines(fit: ScaleFit) -> list[str]:
    """Tell a fit in lines of text, without line ends."""
    lines = []
    if not fit.refusal:
        lines.append(f"faces of bricks are {fit.face_mm:.3f} mm between joints of {fit.joint_mm:.3f} mm at least")
    if fit.finest_ratio:
        lines.append(f"1:{fit.finest_ratio} is the smallest scale at which this printer makes them as wide as holds")
    lines += [f"{finding.severity.value}: {finding.text}" for finding in fit.findings]
    return [*lines, f"no brickwork can be made: {fit.refusal}"] if fit.refusal else lines


def _remedy(finest: int) -> str:
    if not finest:
        return "choose a printer with smaller pixels or narrower joints"
    return f"with this printer and these joints 1:{finest} is the smallest; choose a larger scale or smaller pixels"


def _at(scale: Scale, settings: Settings) -> tuple[Joints, float]:
    """Joints at a scale, and the least side of a face between them."""
    brick, bond = chosen_format(settings.brick), chosen_bond(settings.brick)
    wanted = settings.brick
    joints = snapped_joints(scale, settings.resin, width_mm=wanted.joint_width_mm, depth_mm=wanted.joint_depth_mm)
    header_m = brick.on_edge_header_module_m if bond.on_edge else brick.header_module_m
    height_mm = scale.to_mm(bond.gauge_m(brick)) - joints.bed_mm
    return joints, min(height_mm, scale.to_mm(header_m) - joints.perpend_mm)


def _finest(settings: Settings, least_mm: float) -> int:
    def holds(ratio: int) -> bool:
        return _at(Scale(f"1:{ratio}", Fraction(ratio)), settings)[1] >= least_mm - _EXACT_MM

    # Faces get smaller with the scale, so the last scale that holds is found by halving.
    return bisect_left(_RATIOS, True, key=lambda ratio: not holds(ratio))
