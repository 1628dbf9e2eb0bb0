"""Air bricks with slots or holes, and louvred vents."""

from __future__ import annotations

from itertools import pairwise
from math import floor

import numpy as np

from halfbat.findings import Finding, Place, Severity
from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import Dressing, ground, slope, void
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.laying import Array
from halfbat.surfaces.opening_units import OpeningUnits, Unit, box
from halfbat.surfaces.rectangles import Lattice

#: Height of the lowest air bricks where none is given: over a damp-proof course 150 mm up (common practice).
USUAL_FOOT_M = 0.150
#: Pitch of slots and holes, and of the blades of a louvre, full size: common practice and published values (37.5-100).
SLOT_PITCH_M, BLADE_PITCH_M = 0.0215, 0.075
#: Usual size of a louvred vent, full size: common practice, no source.
VENT_WIDTH_M, VENT_COURSES = 0.450, 4
_EXACT = 1e-9


def air_brick(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Build air bricks flush with the wall, of the sizes of BS 493: one, two or three courses high.

    Parameters
    ----------
    request : FeatureRequest
        Where, how often, which size, and slots or holes.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        Openings in the face are grooves as wide as a perpend and as deep as a joint; what stands between them is never
        thinner than can be printed, so there are fewer than in a real one at small scales.
    """
    masonry = site.masonry
    width_mm, height_mm = (int(part) for part in request.size.split("x"))
    width = masonry.mm(width_mm / 1000)
    courses = max(1, round(masonry.mm(height_mm / 1000) / masonry.gauge_mm))
    first, _ = site.rows(site.mm(request.bottom, USUAL_FOOT_M, where), masonry.gauge_mm, where)
    last = min(first + courses, masonry.laying.courses) - 1
    v0, v1 = float(masonry.courses[0][first]), float(masonry.courses[1][last])
    frames, bars, voids = _Layers(), [], []
    for asked in site.places(request, width, where):
        left = _at_perpend(asked, width, first, site)
        voids.append(frames.add(left, v0, left + width, v1, f"air brick {request.size}", site))
        bars += _openings(left, v0, left + width, v1, request.face, site)
    findings = () if bars else (_too_small(where, voids[0].reach),)
    return Dressing(
        "air brick", where, (), (*frames.layers, tuple(bars)), tuple(voids), _keep(voids), findings=findings
    )


def vent(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Build louvred vents with blades that slope back from their lower edges.

    Parameters
    ----------
    request : FeatureRequest
        Where, how often and how large.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.
    """
    masonry = site.masonry
    gauge_m = masonry.gauge_mm / masonry.scale.mm_per_m
    width = site.mm(request.width, VENT_WIDTH_M, where)
    foot = site.mm(request.bottom, max(site.eaves_mm / masonry.scale.mm_per_m - 2 * VENT_COURSES * gauge_m, 0.0), where)
    first, last = site.rows(foot, site.mm(request.height, VENT_COURSES * gauge_m, where), where)
    v0, v1 = float(masonry.courses[0][first]), float(masonry.courses[1][last])
    frames, blades, voids = _Layers(), [], []
    for left in site.places(request, width, where):
        voids.append(frames.add(left, v0, left + width, v1, "louvred vent", site))
        border = max(masonry.mm(0.025), masonry.joint_u_mm)
        low, high = v0 + border, v1 - border
        least = masonry.joint_v_mm + masonry.least_mm
        count = max(1, min(round((high - low) / masonry.mm(BLADE_PITCH_M)), floor((high - low) / least)))
        levels = np.round(np.linspace(low, high, count + 1), 3)
        for a, b in pairwise(levels):
            plane = slope(float(a), float(b), 0.0, -site.joint_depth_mm)
            blades.append(Unit(box(left + border, float(a), left + width - border, float(b)), "", 0.0, plane))
    return Dressing("vent", where, (), (*frames.layers, tuple(blades)), tuple(voids), _keep(voids))


class _Layers:
    """Grounds and frames of several air bricks."""

    def __init__(self) -> None:
        self._grounds: list[Unit] = []
        self._frames: list[Unit] = []

    @property
    def layers(self) -> tuple[tuple[Unit, ...], tuple[Unit, ...]]:
        """Grounds, and the frames over them."""
        return tuple(self._grounds), tuple(self._frames)

    def add(self, u0: float, v0: float, u1: float, v1: float, kind: str, site: FeatureSite) -> OpeningUnits:
        """Add one, with its joints, and return where bricks give way to it."""
        joint = site.masonry.joint_u_mm
        u0, u1 = site.at_pixel(u0), site.at_pixel(u1)
        self._grounds.append(ground(u0 - joint, v0, u1 + joint, v1, -site.joint_depth_mm))
        self._frames.append(Unit(box(u0, v0, u1, v1), kind, 0.0))
        return void(u0 - joint, v0, u1 + joint, v1)


def _at_perpend(asked: float, width: float, course: int, site: FeatureSite) -> float:
    """Move an air brick to where it takes the place of a whole stretcher, where one is near."""
    laying, masonry = site.masonry.laying, site.masonry
    bounds = laying.patterns[laying.course_pattern[course]].bounds_mm
    wide = np.abs(np.diff(bounds) - 2 * masonry.half_mm) < masonry.half_mm / 4
    if not wide.any():
        return asked
    middles = ((bounds[:-1] + bounds[1:]) / 2)[wide]
    middle = float(middles[np.argmin(np.abs(middles - (asked + width / 2)))])
    near = abs(middle - asked - width / 2) <= masonry.half_mm + _EXACT
    return round(middle - width / 2, 3) if near else asked


def _openings(u0: float, v0: float, u1: float, v1: float, face: str, site: FeatureSite) -> list[Unit]:
    """Slots or holes of an air brick, evenly spread, as wide as a joint."""
    masonry = site.masonry
    hole_u, hole_v = masonry.joint_u_mm, masonry.joint_v_mm
    columns = _count(u1 - u0, hole_u, site)
    rows = _count(v1 - v0, hole_v, site) if face == "holes" else min(_count(v1 - v0, hole_v, site), 1)
    if not columns or not rows:
        return []
    starts = _starts(u0, u1, columns, hole_u, masonry.lattice_u)
    if face == "holes":
        levels = _starts(v0, v1, rows, hole_v, masonry.lattice_v)
        spans = [(float(low), float(low) + hole_v) for low in levels]
    else:
        # Rounding to pixels may take one off it.
        bar = max(masonry.least_mm, masonry.mm(0.012)) + masonry.lattice_v.pitch_mm
        spans = [(v0 + bar, v1 - bar)]
    return [
        ground(float(left), low, float(left) + hole_u, high, -site.joint_depth_mm)
        for left in starts
        for low, high in spans
    ]


def _starts(begin: float, end: float, count: int, hole: float, lattice: Lattice) -> Array:
    """Return where holes over a stretch begin: bars before, between and after them are alike."""
    bar = (end - begin - count * hole) / (count + 1)
    return lattice.round(begin + bar + (hole + bar) * np.arange(count, dtype=np.float64))


def _count(length: float, hole: float, site: FeatureSite) -> int:
    """Return how many holes fit into a length with a bar before, between and after them."""
    masonry = site.masonry
    bar = masonry.least_mm + masonry.lattice_u.pitch_mm
    most = floor((length - bar) / (hole + bar) + _EXACT)
    return max(0, min(most, round(length / masonry.mm(SLOT_PITCH_M))))


def _too_small(where: str, first: tuple[float, float, float, float]) -> Finding:
    text = "the openings of an air brick would be too small to print and are left out"
    remedy = "choose a larger scale or a finer printer"
    return Finding(Severity.NOTE, "air-brick-plain", where, text, remedy, Place.on_wall(where, *first))


def _keep(voids: list[OpeningUnits]) -> tuple[tuple[float, float], ...]:
    return tuple((place.reach[0], place.reach[2]) for place in voids)
