"""Pieces of a body while it is cut into sections."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.outlines import Outline
from halfbat.parts.section import Section
from halfbat.parts.section_joints import Joint

Array = NDArray[np.float64]

BESIDE_JOINT_MM = 3.0
BEFORE_MM = 0.04
_OUT = np.array([(0.0, 1.0), (0.0, 0.0), (0.0, 0.0), (0.0, 1.0)])


@dataclass(frozen=True, slots=True, eq=False)
class Region:
    """A piece of the body: its box along both axes of the building, and how far its cuts reach."""

    box: Array
    cut: Array
    section: Section
    joints: tuple[Outline, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """Pieces of a region that fit, the cuts between them, and what these cost."""

    regions: list[Region]
    cuts: list[Array]
    crowded: int
    unspliced: int


def in_frame(box: Array, direction: int) -> Array:
    """A box along both axes of the building in the frame of cuts of a direction."""
    if direction == 1:
        return box.copy()
    return np.array([[-box[1, 1], box[0, 0]], [-box[0, 1], box[1, 0]]])


def with_joint(section: Section, without: Outline, joint: Joint, frame: Array, *, lower: bool) -> Section:
    """A section with what a joint does to it; the lower of the two carries splices and keys."""
    splices = tuple((ring @ frame, top) for ring, top in joint.splices) if lower else ()
    ribs = tuple(ring @ frame for ring in joint.ribs)
    capped = joint.teeth if joint.capped else ()
    tenons = tuple(tooth.own @ frame for tooth in capped) if lower else ()
    # Out over the end of the section, so that rounding leaves nothing before a socket.
    mortises = () if lower else tuple((tooth.free - (_OUT * BEFORE_MM)) @ frame for tooth in capped)
    return replace(
        section,
        tenons=(*section.tenons, *tenons),
        mortises=(*section.mortises, *mortises),
        without=(*section.without, without),
        splices=(*section.splices, *splices),
        ribs=(*section.ribs, *ribs),
    )


def taken_by(joint: Joint, frame: Array) -> list[Outline]:
    """Outlines that later cuts keep off."""
    rings = [*(tooth.free for tooth in joint.teeth), *(ring for ring, _ in joint.splices)]
    grown = [np.array([ring.min(axis=0) - BESIDE_JOINT_MM, ring.max(axis=0) + BESIDE_JOINT_MM]) for ring in rings]
    return [rectangle(box) @ frame for box in grown]


def rectangle(box: Array) -> Outline:
    """A box as a ring."""
    (x0, y0), (x1, y1) = box
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def uneven(regions: Sequence[Region]) -> float:
    """How many times larger the largest piece is than the smallest."""
    sizes = [float(np.prod(region.box[1] - region.box[0])) for region in regions]
    return round(max(sizes) / max(min(sizes), 1e-9), 2)
