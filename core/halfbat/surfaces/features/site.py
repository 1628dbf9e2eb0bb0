"""The wall that a feature or a finish is made for, and lengths read for it."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np

from halfbat.errors import KitError
from halfbat.settings import BrickSettings, FeatureRequest, FinishRequest
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.surfaces.dressing import Proud
from halfbat.surfaces.jambs import JambRules
from halfbat.surfaces.laying import Array
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.surfaces.remnants import extents
from halfbat.units import format_length

_INSIDE_MM = 1e-3
_EXACT = 1e-9
_SAME_MM = 1e-6


class NoWallThere(KitError):
    """A wall ends below the foot of a feature, or begins above it."""


@dataclass(frozen=True, slots=True, eq=False)
class FeatureSite:
    """One wall with its openings.

    Parameters
    ----------
    masonry : Masonry
        Its bricks and how joints are printed.
    rules : JambRules
        How it was laid.
    brick : BrickSettings
        For lengths counted in bricks and courses.
    outline_mm : ndarray (K, 2)
        Outline of its face, anticlockwise.
    joint_depth_mm : float
        Depth of joints, whole layers.
    base_mm : float
        Thickness behind the joints.
    least_base_mm : float
        What must be left of it behind anything that lies back.
    least_raise_mm : float
        Lowest step that shows, model millimetres.
    openings : tuple of OpeningUnits
        Its doors and windows.
    letter : str
        Name of the wall.
    taken : tuple of OpeningUnits
        Places that features take up, for finishes.
    inner : tuple of bool
        Whether another wall stands before it at its left and right end.
    before : tuple of Proud
        How far from such a left end something that stands proud must keep, where that wall is dressed too.
    gap_mm : float
        How far it must keep from such an end elsewhere.
    fall : float
        How far a roof that reaches out over it falls for each millimetre outward, else 0.
    """

    masonry: Masonry
    rules: JambRules
    brick: BrickSettings
    outline_mm: Array
    joint_depth_mm: float
    base_mm: float = 1.0
    least_base_mm: float = 0.5
    least_raise_mm: float = 0.1
    openings: tuple[OpeningUnits, ...] = ()
    letter: str = "A"
    inner: tuple[bool, bool] = (False, False)
    before: tuple[Proud, ...] = ()
    gap_mm: float = 0.1
    taken: tuple[OpeningUnits, ...] = ()
    fall: float = 0.0

    def courses_under_roof(self, out_mm: float) -> int:
        """How many courses below the top of the wall what stands out so far has to end, to stay under the roof."""
        return ceil(out_mm * self.fall / self.masonry.gauge_mm - _EXACT)

    @property
    def length_mm(self) -> float:
        """Length of the wall."""
        return self.masonry.laying.length_mm

    @property
    def height_mm(self) -> float:
        """Height of the wall, at a gable of its top."""
        return float(self.outline_mm[:, 1].max())

    @property
    def foot_mm(self) -> float:
        """Height of its lowest place: of a wall over a roof, where that is met."""
        return float(self.outline_mm[:, 1].min())

    @property
    def eaves_mm(self) -> float:
        """Height of the lower of its two ends."""
        return min(self.end_height_mm(0), self.end_height_mm(1))

    @property
    def level_top(self) -> bool:
        """Whether it ends at one level."""
        return abs(self.eaves_mm - self.height_mm) < _INSIDE_MM

    def end_height_mm(self, end: int) -> float:
        """Height of the wall at its left (0) or right (1) end."""
        at = _INSIDE_MM if end == 0 else self.length_mm - _INSIDE_MM
        return float(extents(self.outline_mm, np.array([at]), axis=0)[1][0])

    def mm(self, text: str, usual_m: float, where: str) -> float:
        """Read a length, or take the usual one at full size; model millimetres."""
        if not text:
            return self.masonry.mm(usual_m)
        try:
            return self.masonry.mm(length_in_bricks_m(text, self.brick))
        except KitError as error:
            raise KitError(error.what, where, error.remedy) from None

    def at_pixel(self, u_mm: float) -> float:
        """Move a place along the wall to where a joint may begin."""
        return float(self.masonry.lattice_u.round(np.array([u_mm]))[0])

    def raised(self, wanted_mm: float, *, most_mm: float | None = None) -> float:
        """Return a projection or recess in whole layers, the nearest to what is wanted, never under what shows.

        With `most_mm` it is not over that either, unless that does not show.
        """
        layer = self.masonry.layer_mm
        least = ceil(self.least_raise_mm / layer - _EXACT)
        layers = round(wanted_mm / layer)
        if most_mm is not None:
            layers = min(layers, floor(most_mm / layer + _EXACT))
        return round(max(least, layers) * layer, 9)

    def rows(self, foot_mm: float, height_mm: float, where: str) -> tuple[int, int]:
        """Return first and last of the courses nearest to a stretch of height, one at least."""
        bottoms, tops = self.masonry.courses
        if height_mm <= 0:
            raise KitError("it has no height", where, "give it a height over 0, such as 3 courses")
        if foot_mm >= self.height_mm - _SAME_MM:
            top = format_length(self.height_mm / self.masonry.scale.mm_per_m)
            raise NoWallThere("there is no wall where this is to be", where, f"put it lower: the wall is {top} high")
        if foot_mm + height_mm <= self.foot_mm + _SAME_MM:
            foot = format_length(self.foot_mm / self.masonry.scale.mm_per_m)
            remedy = f"put it higher: the wall begins at {foot}"
            raise NoWallThere("there is no wall where this is to be", where, remedy)
        first = int(np.argmin(np.abs(bottoms - foot_mm)))
        last = int(np.argmin(np.abs(tops - (foot_mm + height_mm))))
        # Over a roof a wall begins higher, and so does what it carries.
        first = max(first, int(np.searchsorted(tops, self.foot_mm + _SAME_MM)))
        return first, max(first, last)

    def stretch(self, request: FeatureRequest, where: str) -> tuple[float, float]:
        """Return from where to where along the wall a feature goes.

        Raises
        ------
        KitError
            It is off the wall or has no length.
        """
        begin = self.mm(request.start, 0.0, where)
        end = self.mm(request.end, 0.0, where) if request.end else self.length_mm
        if not begin < end <= self.length_mm + self.masonry.layer_mm:
            length = format_length(self.length_mm / self.masonry.scale.mm_per_m)
            raise KitError("it ends before it begins, or beyond its wall", where, f"the wall is {length} long")
        return begin, min(end, self.length_mm)

    def places(self, request: FeatureRequest, width_mm: float, where: str) -> list[float]:
        """Return the left edges of a feature and of those that repeat it along the wall.

        Raises
        ------
        KitError
            The first does not fit its wall, or they overlap.
        """
        first = self.mm(request.at, 0.0, where)
        if first + width_mm > self.length_mm + self.masonry.layer_mm:
            length = format_length(self.length_mm / self.masonry.scale.mm_per_m)
            raise KitError("it reaches beyond the end of its wall", where, f"the wall is {length} long")
        if not request.spacing:
            return [first]
        pitch = self.mm(request.spacing, 0.0, where)
        if pitch < width_mm + 2 * self.masonry.joint_u_mm:
            raise KitError("a spacing this small leaves no wall between them", where, "make it larger")
        count = floor((self.length_mm - width_mm - first) / pitch + _EXACT) + 1
        return [first + pitch * place for place in range(count)]

    def clear_ends(self, first: int, last: int) -> tuple[float, float]:
        """Return the stretch in which some courses may stand proud: clear of walls that stand before its ends.

        The wall that ends at an inner corner runs up to the other, whose features stop before its own.
        """
        low, high = float(self.masonry.courses[0][first]), float(self.masonry.courses[1][last])
        kept = [one.out_mm for one in self.before if one.low_mm < high - _SAME_MM and one.high_mm > low + _SAME_MM]
        left = max([self.gap_mm, *kept]) if self.inner[0] else -np.inf
        right = self.length_mm - self.gap_mm if self.inner[1] else np.inf
        return float(left), float(right)


def where_of(request: FeatureRequest | FinishRequest, number: int, letter: str) -> str:
    """Name a feature or finish for refusals and findings."""
    table = "feature" if isinstance(request, FeatureRequest) else "finish"
    return f"{table} {number} ({request.kind}), wall {letter}"
