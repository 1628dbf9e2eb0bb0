"""How the skins of two walls meet at a corner.

Seen from above, a convex corner is mitred along its bisector. A plain mitre would end in an edge as sharp as half the
corner; where that is under 60 degrees the mitre is rebated: the skin that ends at the corner keeps the arris with a lip
as thick as the land, and the skin that starts there stops behind that lip with a land of its own. At a concave corner
the thinner skin runs on behind the other, which butts against its face.

An end face that leans more than 30 degrees from upright would end in a feather. So under 60 degrees the edge is blunt:
upright for the thickness of the land. There the lip is as thick as the smallest wall, too, as what thins out along so
flat a bisector would break off. At concave corners up to 240 degrees both skins end square: their faces meet at the
corner, and the wedge that is left opens toward the shell, where it is not seen.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, tan

SHARPEST_DEG = 30.0
"""At sharper corners skins do not meet: they end where their backs come together."""
BLUNTED_BELOW_DEG = 60.0
BUTTED_FROM_DEG = 240.0
REBATED_BELOW_DEG = 120.0
NEARLY_STRAIGHT_DEG = 30.0
LAND_BELOW_JOINT_MM = 0.1
UPRIGHT_WITHIN_MM = 0.02
LEAST_STRIP_MM = 2e-3
LEAST_SINE = 0.02
_SAME = 1e-9

Profile = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Fits:
    """What a maker chose for corners, model millimetres.

    Parameters
    ----------
    land_mm : float
        Thickness of the flat left on a mitred edge.
    gap_mm : float
        Whole gap between two skins, measured square to their meeting faces.
    relief_mm : float
        Taken off the inner edge of a mitre.
    wall_mm : float
        Smallest wall of the printer.
    """

    land_mm: float
    gap_mm: float
    relief_mm: float
    wall_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class End:
    """The end of a skin at a corner, in the plane of its wall.

    Parameters
    ----------
    face_mm : float
        How far inside the corner line the finished face ends; negative where it runs on beyond it.
    slope : float
        How far the end face moves inward for each millimetre of depth, from the face down to the underside.
    profile_mm : tuple of (float, float)
        From the foot of the end face on, the underside: distance inside the corner line and depth below the face,
        outermost first. Empty for an upright end.
    covered_mm : float
        Stretch at the end that the other skin hides.
    spread : float
        How far the bisector of the corner lies outside the corner line for each millimetre in front of the face.
    behind_mm : float
        How far behind the corner line the face ends, the gap left out, where the other skin keeps the arris.
    """

    face_mm: float
    slope: float = 0.0
    profile_mm: Profile = ()
    covered_mm: float = 0.0
    spread: float = 0.0
    behind_mm: float = 0.0

    @property
    def reach_mm(self) -> float:
        """Distance inside the corner line behind which the back is flat; negative beyond it."""
        return max([self.face_mm, *(offset for offset, _ in self.profile_mm)])

    @property
    def outermost_mm(self) -> float:
        """Least distance inside the corner line of anything of this end."""
        return min([self.face_mm, *(offset for offset, _ in self.profile_mm)])


def corner_ends(corner_deg: float, depths_mm: tuple[float, float], fits: Fits) -> tuple[End, End]:
    """Shape the two ends at a corner.

    Parameters
    ----------
    corner_deg : float
        Interior angle: 90 at a plain outer corner, 270 at an inner one.
    depths_mm : tuple of float
        Whole thickness of the skin that ends at the corner and of the one that starts there.
    fits : Fits
        Land, gap and relief.

    Returns
    -------
    tuple of End
        For the wall that ends at the corner (its right end seen from outside) and the wall that starts there.
    """
    if corner_deg > 360.0 - SHARPEST_DEG:
        # Within the sides of a slit the backs part by themselves.
        return End(fits.gap_mm), End(fits.gap_mm)
    if abs(corner_deg - 180.0) < 1e-6:
        return End(fits.gap_mm / 2), End(fits.gap_mm / 2)
    if corner_deg < 180.0:
        return _outer(corner_deg, depths_mm, fits)
    if corner_deg < 180.0 + NEARLY_STRAIGHT_DEG:
        return End(fits.gap_mm / 2), End(fits.gap_mm / 2)
    if corner_deg < BUTTED_FROM_DEG:
        turn = radians(corner_deg - 180.0)
        return _square(turn, depths_mm, fits), _square(turn, depths_mm[::-1], fits)
    return _butted(radians(360.0 - corner_deg), depths_mm, fits)


def _outer(corner_deg: float, depths_mm: tuple[float, float], fits: Fits) -> tuple[End, End]:
    turn = radians(corner_deg)
    if corner_deg < SHARPEST_DEG:
        return _stopped(turn, depths_mm, fits), _stopped(turn, depths_mm[::-1], fits)
    if corner_deg < REBATED_BELOW_DEG:
        return _rebated(turn, depths_mm, fits)
    return _mitred(turn, depths_mm[0], fits), _mitred(turn, depths_mm[1], fits)


def _stopped(angle: float, depths_mm: tuple[float, float], fits: Fits) -> End:
    """End a skin square where its back comes to the back of the other; beyond it the shell shows."""
    own, other = depths_mm
    return End((other + fits.gap_mm + own * cos(angle)) / max(sin(angle), LEAST_SINE))


def _underside(lip: Profile, spread: float, shift: float, depth_mm: float, fits: Fits) -> Profile:
    """Run from the foot of a lip along the bisector to the back, whose edge is taken off."""
    foot, thick = lip[-1]
    profile = [*lip]
    first = (thick * spread + shift, thick)
    if first[0] > foot + LEAST_STRIP_MM:
        profile.append(first)
    return (*profile, *_inner_edge(spread, shift, depth_mm, thick, fits))


def _inner_edge(spread: float, shift: float, depth_mm: float, from_mm: float, fits: Fits) -> Profile:
    """Where a plane along the bisector meets the back, whose edge is taken off."""
    relief = min(fits.relief_mm, (depth_mm - from_mm) / 2)
    if relief <= LEAST_STRIP_MM:
        return ((depth_mm * spread + shift, depth_mm),)
    start = depth_mm - relief
    return (start * spread + shift, start), (depth_mm * spread + shift + relief, depth_mm)


def _rebated(angle: float, depths_mm: tuple[float, float], fits: Fits) -> tuple[End, End]:
    spread, turn = 1 / tan(angle / 2), cos(angle) / sin(angle)
    sharp = angle < radians(BLUNTED_BELOW_DEG) - _SAME
    thick = max(fits.land_mm, min(fits.wall_mm, *depths_mm)) if sharp else fits.land_mm
    # The gap stands square to the meeting faces: under the lip, and along the bisector.
    behind = fits.gap_mm / sin(angle)
    left_over = max(0.0, fits.gap_mm - fits.gap_mm / (2 * cos(angle / 2))) / sin(angle / 2)
    blunt = fits.land_mm * turn if sharp else 0.0
    face = (thick + fits.gap_mm) / sin(angle)
    ends = []
    for start, kept_back, shift, depth in (
        (0.0, 0.0, left_over, depths_mm[0]),
        (face, face - fits.gap_mm, behind, depths_mm[1]),
    ):
        lip = _lip(start, turn, thick, fits.land_mm) if sharp else ((start + turn * thick, thick),)
        profile = _underside(lip, spread, shift, depth, fits)
        slope = 0.0 if sharp else turn
        ends.append(End(start + blunt, slope, profile, spread=spread, behind_mm=kept_back + blunt))
    return ends[0], ends[1]


def _lip(start: float, slope: float, thick_mm: float, land_mm: float) -> Profile:
    """End face that leans from a blunted edge on: upright for the land, and down to a thickness."""
    foot = (start + slope * land_mm, land_mm)
    return (foot,) if thick_mm - land_mm < LEAST_STRIP_MM else (foot, (start + slope * thick_mm, thick_mm))


def _mitred(angle: float, depth_mm: float, fits: Fits) -> End:
    spread = 1 / tan(angle / 2)
    shift = fits.gap_mm / 2 / sin(angle / 2)
    return End(shift, spread, _inner_edge(spread, shift, depth_mm, fits.land_mm, fits))


def _square(turn: float, depths_mm: tuple[float, float], fits: Fits) -> End:
    """End a skin square at a concave corner; the back is taken off where it would come behind that of the other."""
    face = fits.gap_mm / 2 / cos(turn / 2)
    own, other = depths_mm
    deep = (other + face * sin(turn)) / cos(turn)
    if own < deep + LEAST_STRIP_MM:
        return End(face)
    return End(face, 0.0, ((face, deep), (face + (own - deep) / tan(turn), own)))


def _butted(outside: float, depths_mm: tuple[float, float], fits: Fits) -> tuple[End, End]:
    # The thinner skin runs on, inside the depth of the other, so that both clear the shell.
    if depths_mm[0] > depths_mm[1]:
        butting, running = _butted(outside, depths_mm[::-1], fits)
        return running, butting
    run_on = (depths_mm[1] + min(0.0, depths_mm[0] * cos(outside))) / sin(outside)
    run_on = min(run_on, 2 * depths_mm[0])
    face = fits.gap_mm / sin(outside)
    slope = max(0.0, -cos(outside) / sin(outside))
    depth = depths_mm[1]
    if slope * depth < UPRIGHT_WITHIN_MM:
        return End(-run_on, covered_mm=run_on), End(face + slope * depth)
    return End(-run_on, covered_mm=run_on), End(face, slope, ((face + slope * depth, depth),))
