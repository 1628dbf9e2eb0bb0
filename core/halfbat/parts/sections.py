"""A body that is larger than the filament printer's room, cut into the fewest sections that are not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.building.rings import ring_area
from halfbat.parts.outlines import Outline
from halfbat.parts.section import Section, boxes_around
from halfbat.parts.section_cuts import MOST, SEAM_MM, choose, offers
from halfbat.parts.section_joints import Joint, JointRules, joint_at
from halfbat.parts.section_regions import Found, Region, in_frame, rectangle, taken_by, uneven, with_joint
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.grid import PER_MM
from halfbat.solids.sheet import lay
from halfbat.solids.trapezoids import Trapezoids, decompose

Array = NDArray[np.float64]
SPARE_MM = 0.2
AROUND_MM = 40.0
UNMARKED_MM = 2.0
LONG_MM = 20.0
LEAST_MM2 = 100.0
"""A piece smaller than this is no section."""
STRAIGHT = np.radians(0.5)
_DEPTH = 4


@dataclass(frozen=True, slots=True, eq=False)
class SectionBody:
    """What is to be cut, seen from above; model mm in the building's frame.

    Parameters
    ----------
    layers : tuple of (tuple of ndarray (K, 2), int)
        Unions of rings, each of a cell as `section_joints` counts them, later ones lying over earlier ones; the first
        is the whole outline.
    height_mm : float
        How tall it is as printed.
    closed : tuple of ndarray (K, 2)
        Outlines of what is not cut: openings, pockets of chimneys, shafts of roof lights.
    beside : tuple of ndarray (K, 2)
        Places and outlines that cuts keep off where they can, such as seams of skins.
    rules : JointRules
        How sections are joined.
    """

    layers: tuple[tuple[tuple[Outline, ...], int], ...]
    height_mm: float
    closed: tuple[Outline, ...]
    beside: tuple[Outline, ...]
    rules: JointRules


@dataclass(frozen=True, slots=True, eq=False)
class Sectioned:
    """A body in sections.

    Parameters
    ----------
    sections : tuple of Section
        In the order in which they are glued: each goes straight down onto those before it.
    cuts : tuple of ndarray (2, 2)
        Each cut in plan, from where to where.
    crowded : int
        How many cuts had to lie near a corner, an opening or a seam.
    unspliced : int
        How many walls are not spliced at their cut.
    """

    sections: tuple[Section, ...]
    cuts: tuple[Array, ...]
    crowded: int
    unspliced: int


def fits(size: tuple[float, float, float], room: tuple[float, float, float]) -> bool:
    """Whether a body fits a room, turned by a quarter or not."""
    x, y, z = size
    ways = ((x, y), (y, x))
    return z <= room[2] + 1e-3 and any(a <= room[0] + 1e-3 and b <= room[1] + 1e-3 for a, b in ways)


def bounding(body: SectionBody) -> list[Outline]:
    """Outlines of a body, without what is taken out of it, which may reach beyond."""
    return [ring for ring in body.layers[0][0] if ring_area(ring) > 0]


def whole_fits(body: SectionBody, room: tuple[float, float, float]) -> bool:
    """Whether a body fits its printer as it is, or no cut could make it fit."""
    places = np.concatenate(bounding(body))
    x, y = np.ptp(places, axis=0).tolist()
    return fits((x, y, body.height_mm), room) or body.height_mm > room[2] + 1e-3


def axes_of(rings: Sequence[Outline]) -> Array:
    """Direction in plan of most of the sides, up to quarter turns; that of x where it is nearly so."""
    steps = np.concatenate([np.roll(ring, -1, axis=0) - ring for ring in rings])
    lengths = np.linalg.norm(steps, axis=1)
    angles = np.arctan2(steps[:, 1], steps[:, 0]) % (np.pi / 2)
    apart = np.abs(angles[:, None] - angles[None])
    same = np.minimum(apart, np.pi / 2 - apart) < STRAIGHT
    best = int(np.argmax(same @ lengths))
    angle = float(angles[best])
    if min(angle, np.pi / 2 - angle) < STRAIGHT:
        return np.array([1.0, 0.0])
    return np.array([np.cos(angle), np.sin(angle)])


def sections_of(body: SectionBody, room_mm: tuple[float, float, float]) -> Sectioned | None:
    """Cut a body into sections.

    Parameters
    ----------
    body : SectionBody
        What is larger than the room.
    room_mm : tuple of float
        Of its printer.

    Returns
    -------
    Sectioned or None
        None where no cuts make it fit.
    """
    along = axes_of(bounding(body))
    room = (room_mm[0] - SPARE_MM, room_mm[1] - SPARE_MM, room_mm[2])
    work = _Work(body, room, along)
    everywhere = np.array([[-np.inf, -np.inf], [np.inf, np.inf]])
    box = np.array([work.uv.min(axis=0), work.uv.max(axis=0)])
    found = work.split(Region(box, everywhere, Section(())), 0)
    if found is None or not 1 < len(found.regions) <= MOST:
        return None
    sections = [work.clear_of_joints(region) for region in found.regions]
    return Sectioned(tuple(sections), tuple(found.cuts), found.crowded, found.unspliced)


class _Work:
    """A body, drawn once for cuts of each direction.

    Direction 0 cuts at a place along the first axis, direction 1 along the second. The frame of a cut is (s, t), t
    across it.
    """

    def __init__(self, body: SectionBody, room: tuple[float, float, float], along: Array) -> None:
        self.body, self.room = body, room
        u, v = along, np.array([-along[1], along[0]])
        self.plan = np.stack([u, v])
        self.frames = (np.stack([-v, u]), np.stack([u, v]))
        self.turn = np.abs(np.array([[u[0], v[0]], [u[1], v[1]]]))
        self.uv = np.concatenate(bounding(body)) @ self.plan.T
        self.figures = tuple(self._figure(frame) for frame in self.frames)
        corners = np.concatenate([ring for rings, _ in body.layers for ring in rings])
        closed = np.concatenate([*body.closed]) if body.closed else np.zeros((0, 2))
        self.corners, self.all_corners = corners, np.concatenate([corners, closed])

    def _figure(self, frame: Array) -> Trapezoids:
        layers = [Layer.union([ring @ frame.T for ring in rings], cell) for rings, cell in self.body.layers]
        return decompose(Figure(tuple(layers)))

    def size(self, along_u: float, along_v: float) -> tuple[float, float, float]:
        """Box of a rectangle as it is printed."""
        x, y = (self.turn @ np.array([along_u, along_v])).tolist()
        return x, y, self.body.height_mm

    def split(self, region: Region, depth: int) -> Found | None:
        """Cut a region until every piece fits."""
        reach = self.body.rules.reach_mm
        out = np.where(np.isfinite(region.cut[1]), reach, 0.0)
        wide = region.box[1] - region.box[0] + out
        if fits(self.size(*wide.tolist()), self.room):
            return Found([region], [], 0, 0)
        if depth == _DEPTH:
            return None
        best: tuple[tuple[float, ...], Found] | None = None
        for direction in (0, 1):
            found = self._cut(region, direction, depth)
            if found is not None:
                worth = (len(found.regions), found.crowded, found.unspliced, len(found.cuts), uneven(found.regions))
                if best is None or worth < best[0]:
                    best = worth, found
        return None if best is None else best[1]

    def _cut(self, region: Region, direction: int, depth: int) -> Found | None:
        frame, reach = self.frames[direction], self.body.rules.reach_mm
        box, cut = in_frame(region.box, direction), in_frame(region.cut, direction)
        across = reach if np.isfinite(region.cut[1, 1 - direction]) else 0.0
        outer = reach if np.isfinite(region.cut[1, direction]) else 0.0

        def count(wide: float, long: float, jointed: bool) -> int:
            deep = long + (reach if jointed else outer)
            for pieces in range(1, MOST + 1):
                size = (deep, (wide + across) / pieces + (reach if pieces > 1 else 0.0))
                if fits(self.size(*(size if direction == 0 else size[::-1])), self.room):
                    return pieces
            return 0

        spans = [(ring @ frame.T)[:, 1] for ring in (*self.body.closed, *region.joints)]
        closed = np.array([[one.min(), one.max()] for one in spans]).reshape(-1, 2)
        beside = [(ring @ frame.T)[:, 1] for ring in self.body.beside]
        # What runs across a cut is no trouble to it.
        beside = [one for one in beside if np.ptp(one) < LONG_MM]
        aside = np.array([[one.min() - SEAM_MM, one.max() + SEAM_MM] for one in beside]).reshape(-1, 2)
        rings = [ring @ frame.T for ring in self.body.layers[0][0]]
        found = offers(rings, (self.corners @ frame.T)[:, 1], closed, aside, box, reach)
        chosen = choose(found, count)
        if chosen is None or not chosen[1]:
            return None
        corners = self.all_corners @ frame.T
        boxes = boxes_around([ring @ frame.T for ring in self.body.closed])
        span = float(cut[0, 0]) + reach, float(cut[1, 0]) - reach
        joints = [
            joint_at(self.figures[direction], corners, boxes, float(found.at[k]), span, self.body.rules)
            for k in chosen[1]
        ]
        crowded = int((found.cost[chosen[1]] > 0).sum())
        lines = [self._line(joint, frame, box) for joint in joints]
        gathered = Found([], lines, crowded, sum(joint.unspliced for joint in joints))
        pieces = self._pieces(region, joints, direction, box)
        for piece in pieces or ():
            inner = self.split(piece, depth + 1)
            if inner is None:
                return None
            gathered = Found(
                gathered.regions + inner.regions,
                gathered.cuts + inner.cuts,
                gathered.crowded + inner.crowded,
                gathered.unspliced + inner.unspliced,
            )
        return gathered if pieces else None

    def _line(self, joint: Joint, frame: Array, box: Array) -> Array:
        return np.asarray(np.array([(box[0, 0], joint.at), (box[1, 0], joint.at)]) @ frame, dtype=np.float64)

    def _pieces(self, region: Region, joints: Sequence[Joint], direction: int, box: Array) -> list[Region] | None:
        """What lies between cuts, each body by itself; None where one of them is a mere scrap."""
        frame = self.frames[direction]
        ends = np.concatenate([[box[0, 1]], [joint.at for joint in joints], [box[1, 1]]])
        around = in_frame(np.array([self.uv.min(axis=0) - AROUND_MM, self.uv.max(axis=0) + AROUND_MM]), direction)
        found = []
        for k, (low, high) in enumerate(pairwise(ends.tolist())):
            before, after = joints[k - 1] if k else None, joints[k] if k < len(joints) else None
            section, limits = region.section, region.cut.copy()
            boxes = list(region.joints)
            if before is not None:
                section = with_joint(section, before.beyond(around)[1] @ frame, before, frame, lower=False)
                limits[0, direction] = low
                boxes += taken_by(before, frame)
            if after is not None:
                section = with_joint(section, after.beyond(around)[0] @ frame, after, frame, lower=True)
                limits[1, direction] = high
                boxes += taken_by(after, frame)
            own = region.box.copy()
            own[0, direction], own[1, direction] = low, high
            bodies = self._bodies(Region(own, limits, section, tuple(boxes)))
            if bodies is None:
                return None
            found += bodies
        return found

    def _bodies(self, region: Region) -> list[Region] | None:
        """Each body of a region by itself; legs of a building may come apart when it is cut."""
        boxes = self._boxes(region)
        found = []
        for one, box in enumerate(boxes):
            others = [other + np.array([[-1.0], [1.0]]) for k, other in enumerate(boxes) if k != one]
            if any((other[0] < box[1]).all() and (other[1] > box[0]).all() for other in others):
                return None
            rings = tuple(rectangle(other) @ self.plan for other in others)
            section = replace(region.section, without=(*region.section.without, *rings))
            # Joints reach over the cut; the box is counted up to it.
            found.append(replace(region, box=np.clip(box, region.cut[0], region.cut[1]), section=section))
        return found or None

    def _boxes(self, region: Region) -> list[Array]:
        """Box of each body of a region; none where one of them is too small for a section."""
        layers = [Layer.union([ring @ self.plan.T for ring in self.body.layers[0][0]], 0)]
        layers += [Layer.patches([ring @ self.plan.T], OUTSIDE) for ring in region.section.without]
        if not decompose(Figure(tuple(layers))).cell.size:
            return []
        sheet = lay(Figure(tuple(layers)))
        label, before = np.arange(len(sheet.points)), np.zeros(0, dtype=np.int64)
        while not np.array_equal(label, before):
            before = label.copy()
            np.minimum.at(label, sheet.triangles.ravel(), np.repeat(before[sheet.triangles].min(axis=1), 3))
        places = sheet.points / PER_MM
        a, b, c = (places[sheet.triangles[:, k]] for k in range(3))
        area = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
        boxes = []
        for one in np.unique(label[sheet.triangles]).tolist():
            own = label[sheet.triangles[:, 0]] == one
            if area[own].sum() < LEAST_MM2:
                return []
            corners = places[np.unique(sheet.triangles[own])]
            boxes.append(np.array([corners.min(axis=0), corners.max(axis=0)]))
        return boxes

    def clear_of_joints(self, region: Region) -> Section:
        """The section, its number kept off its cuts."""
        margin = self.body.rules.reach_mm + UNMARKED_MM
        low, high = self.uv.min(axis=0) - AROUND_MM, self.uv.max(axis=0) + AROUND_MM
        rings = []
        for axis in (0, 1):
            for end, sign in ((0, 1.0), (1, -1.0)):
                if np.isfinite(region.cut[end, axis]):
                    box = np.array([low, high])
                    box[1 - end, axis] = region.cut[end, axis] + sign * margin
                    rings.append(rectangle(box) @ self.plan)
        return replace(region.section, unmarked=tuple(rings))
