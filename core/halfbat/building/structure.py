"""Walls of any outline, roof slopes and the masses they stand on: what real buildings are made from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from halfbat.findings import Finding

Array = npt.NDArray[np.float64]


class EdgeKind(StrEnum):
    """What the edge of a slope is to a roofer."""

    EAVES = "eaves"
    VERGE = "verge"
    RIDGE = "ridge"
    HIP = "hip"
    VALLEY = "valley"
    ABUTMENT = "abutment"
    TOP = "top edge"
    PARAPET = "parapet"


class SideKind(StrEnum):
    """What stands beyond one side of a mass."""

    OUTER = "outer"
    STEP_UP = "step up"
    STEP_DOWN = "step down"


@dataclass(frozen=True, slots=True)
class SlopeEdge:
    """One edge of a slope's outline.

    Parameters
    ----------
    kind : EdgeKind
        A level slope has eaves all round where nothing rises above it.
    neighbour : int or None
        The slope that shares the edge without a step.
    wall : int or None
        The wall under the edge, or, at an abutment or parapet, the wall that rises above it.
    dihedral_deg : float
        Angle between the two slopes measured inside the building: under 180 at a ridge or hip,
        over 180 in a valley, 180 without a neighbour.
    """

    kind: EdgeKind
    neighbour: int | None
    wall: int | None
    dihedral_deg: float


@dataclass(frozen=True, slots=True, eq=False)
class Slope:
    """A plane of the roof, seen from outside; a flat roof is one of pitch 0.

    Parameters
    ----------
    index : int
        Place in `Structure.slopes`.
    number : str
        Its name: the index counted from 1.
    normal : ndarray, shape (3,)
        Unit vector, up and outward.
    origin_m : ndarray, shape (3,)
        Where u = v = 0: low and left on the outline's bounding box.
    along, up : ndarray, shape (3,)
        Unit vectors u, level along the eaves and to the right seen from outside, and v, up the slope.
    pitch_deg : float
        Angle from level.
    outline_m : ndarray, shape (K, 2)
        Corners in (u, v), counter-clockwise seen from outside, overhang included, metres.
    holes_m : tuple of ndarray
        Clockwise rings where something else stands on the slope: chimneys, dormers.
    edges : tuple of SlopeEdge
        Edge i runs from corner i to the next.
    hole_edges : tuple of tuple of SlopeEdge
        The same for each hole.
    """

    index: int
    number: str
    normal: Array
    origin_m: Array
    along: Array
    up: Array
    pitch_deg: float
    outline_m: Array
    holes_m: tuple[Array, ...]
    edges: tuple[SlopeEdge, ...]
    hole_edges: tuple[tuple[SlopeEdge, ...], ...] = ()

    def place(self, spots: Array) -> Array:
        """Return places (u, v), shape (N, 2), as points of the building, shape (N, 3), metres."""
        points: Array = self.origin_m + np.asarray(spots) @ np.stack([self.along, self.up])
        return points


@dataclass(frozen=True, slots=True)
class MassSide:
    """What stands beyond one side of a mass.

    Parameters
    ----------
    kind : SideKind
        A step up is seen from the low side, a step down from the high side.
    wall : int or None
        The wall face that shows at this side, of this mass or of the higher one.
    other : int or None
        The other mass at a step.
    """

    kind: SideKind
    wall: int | None
    other: int | None


@dataclass(frozen=True, slots=True, eq=False)
class Mass:
    """A part of the building under slopes that join without a step.

    Parameters
    ----------
    index : int
        Place in `Structure.masses`.
    slopes : tuple of int
        Its slopes.
    plan_m : ndarray, shape (N, 2)
        Outline seen from above at its walls, counter-clockwise, without overhang, metres.
    sides : tuple of MassSide
        Side i runs from corner i to the next.
    holes_m : tuple of ndarray
        Clockwise rings of courtyards and of other masses that stand on or in it.
    hole_sides : tuple of tuple of MassSide
        The same for each hole.
    storey : bool
        Whether it stands on flat roofs only and is large enough to be built up from the ground with them.
    """

    index: int
    slopes: tuple[int, ...]
    plan_m: Array
    sides: tuple[MassSide, ...]
    holes_m: tuple[Array, ...] = ()
    hole_sides: tuple[tuple[MassSide, ...], ...] = ()
    storey: bool = False

    @property
    def on_roof(self) -> bool:
        """Whether it stands wholly on others, as a chimney or a dormer does; a low roof in a court does not."""
        kinds = {side.kind for side in self.sides}
        return not self.storey and SideKind.OUTER not in kinds and SideKind.STEP_DOWN in kinds


@dataclass(frozen=True, slots=True, eq=False)
class HoleOpening:
    """An opening found in the mesh.

    Parameters
    ----------
    ring_m : ndarray, shape (K, 2)
        Corners in (u, v) of its wall, counter-clockwise, metres.
    depth_m : float or None
        How far the pane lies behind the wall's face; None for an open hole.
    """

    ring_m: Array
    depth_m: float | None


@dataclass(frozen=True, slots=True)
class WallCorner:
    """Where a wall meets the next one at an upright edge.

    Parameters
    ----------
    corner_deg : float
        Interior angle: 90 at a plain outer corner, 270 at an inner one.
    wall : int
        The other wall.
    low_m, high_m : float
        Heights above the building's base between which both show, metres.
    whole : bool
        Whether both walls end here over the same height, so that the whole edge is shared.
    """

    corner_deg: float
    wall: int
    low_m: float
    high_m: float
    whole: bool


@dataclass(frozen=True, slots=True, eq=False)
class FaceOfWall:
    """What is seen of an upright wall.

    Parameters
    ----------
    index : int
        Place in `Structure.walls`.
    letter : str
        Its name.
    start_m, end_m : ndarray, shape (2,)
        Ends in plan, left and right seen from outside, metres.
    base_m : float
        Height of the building's base, metres.
    outline_m : ndarray, shape (K, 2)
        Corners in (u, v), counter-clockwise, u from the start, v above the base, metres.
    openings : tuple of HoleOpening
        Openings found in the mesh.
    mass : int
        The mass it belongs to; the largest of several.
    left, right : WallCorner or None
        What it meets at its ends; None where it dies into something else.
    """

    index: int
    letter: str
    start_m: Array
    end_m: Array
    base_m: float
    outline_m: Array
    openings: tuple[HoleOpening, ...]
    mass: int
    left: WallCorner | None
    right: WallCorner | None

    @property
    def length_m(self) -> float:
        """Length in plan."""
        return float(np.hypot(*(self.end_m - self.start_m)))

    @property
    def height_m(self) -> float:
        """Height of its top above the building's base."""
        return float(self.outline_m[:, 1].max())

    @property
    def corner_deg(self) -> float:
        """Interior angle at its right end, 180 where it meets no other wall."""
        return self.right.corner_deg if self.right else 180.0

    @property
    def along(self) -> Array:
        """Unit vector of u in plan, shape (2,)."""
        step: Array = (self.end_m - self.start_m) / self.length_m
        return step

    @property
    def outward(self) -> Array:
        """Unit vector out of the building in plan, shape (2,)."""
        u = self.along
        return np.array([u[1], -u[0]])


@dataclass(frozen=True, slots=True, eq=False)
class Structure:
    """A whole building.

    Parameters
    ----------
    walls : tuple of FaceOfWall
        Those round the outside first, counter-clockwise.
    slopes : tuple of Slope
        Roof planes.
    masses : tuple of Mass
        Largest first.
    base_m : float
        Height of the foot of all walls, metres.
    findings : tuple of Finding
        What was put right or left out.
    """

    walls: tuple[FaceOfWall, ...]
    slopes: tuple[Slope, ...]
    masses: tuple[Mass, ...]
    base_m: float
    findings: tuple[Finding, ...] = ()

    @property
    def height_m(self) -> float:
        """Height of the highest place above the base, metres."""
        tops = [float(slope.place(slope.outline_m)[:, 2].max()) for slope in self.slopes]
        return max([*(top - self.base_m for top in tops), *(wall.height_m for wall in self.walls)])
