"""Openings of a wall: those the maker asks for and those found in the mesh, in its skin and through its shell."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import FaceOfWall, HoleOpening
from halfbat.errors import KitError
from halfbat.findings import Finding, Place, Severity
from halfbat.parts.bonded_walls import BondedWall
from halfbat.parts.shell import ShellOpenings
from halfbat.parts.skins import Facing
from halfbat.settings import OpeningRequest, Settings
from halfbat.solids.punch import FaceFrame
from halfbat.surfaces import Lattice, Laying
from halfbat.surfaces.chosen import chosen_bond, chosen_format
from halfbat.surfaces.jambs import JambRules, laying_with_openings
from halfbat.surfaces.joints import Joints, part_steps_mm
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_specs import opening_spec
from halfbat.surfaces.opening_units import OpeningUnits, ring
from halfbat.surfaces.openings import openings_of
from halfbat.units import Scale

Array = NDArray[np.float64]
REBATE_MM = 0.8
"""How much larger the shell's opening is on every side, for the frame of an insert."""
SHELL_LEFT_MM = 0.6
LEAST_OPENING_MM = 1.0
WIDEST_BRIDGE_MM = 19.6
"""Head of an opening printed level: a little under the 20 mm that printers bridge (published values, section 7.3)."""
LEAST_SHOULDER_MM = 0.05
SEATED_SHARE = 0.9
"""Of an opening's width and height that the shell must open behind; where it opens less, the opening is blind."""
LEAST_EDGE_MM = 0.3
BACKED_MM = 3.0
"""Shell behind a seam to either side (making notes, section 8)."""
BRICKS_BESIDE = 2
PARTLY_BACKED = "an opening is partly backed by the shell, which needs its corner or its top there"
BLIND = "an opening is blind, as the shell or the roof is solid behind it: what fills it goes in from the front"
DOOR_BELOW_M = 0.3
DOUBLE_ABOVE_M = 1.3


def lay_round_openings(
    wall: FaceOfWall, laying: Laying, own: BondedWall, joints: Joints, settings: Settings, scale: Scale
) -> tuple[tuple[OpeningUnits, ...], Laying]:
    """Build the openings of one wall, those asked for and those in the mesh, and lay its courses round them.

    Parameters
    ----------
    wall : FaceOfWall
        As measured on the mesh.
    laying : Laying
        Its bricks without openings.
    own : BondedWall
        How the bond runs over it.
    joints, settings, scale
        Of the building.

    Returns
    -------
    tuple of OpeningUnits, Laying

    Raises
    ------
    KitError
        One does not fit its wall, or two stand in each other's way.
    """
    masonry = wall_masonry(laying, joints, settings, scale)
    specs = [
        opening_spec(request, settings.brick, scale, f"opening {number}, wall {wall.letter}")
        for number, request in enumerate(settings.openings, 1)
        if request.wall == wall.letter
    ]
    found = [own for own in (_as_units(opening, scale) for opening in wall.openings) if own is not None]
    openings = (*openings_of(specs, masonry), *found)
    if not openings:
        return (), laying
    return openings, laying_with_openings(masonry, openings, jamb_rules(wall, own, settings))


def wall_masonry(laying: Laying, joints: Joints, settings: Settings, scale: Scale) -> Masonry:
    """Bricks of a wall and how its joints are printed."""
    brick, bond = chosen_format(settings.brick), chosen_bond(settings.brick)
    step_x, step_y, layer = part_steps_mm(settings.resin)
    return Masonry(
        laying,
        brick,
        scale,
        bond.bed_joint_m(brick),
        joints.perpend_mm,
        joints.bed_mm,
        Lattice(laying.length_mm / 2, step_x),
        Lattice(laying.height_mm / 2, step_y),
        layer,
    )


def jamb_rules(wall: FaceOfWall, own: BondedWall, settings: Settings) -> JambRules:
    """How a wall is laid, so that what is let into it is laid the same way."""
    return JambRules(
        chosen_bond(settings.brick),
        own.bond.start_phase,
        own.bond.end_phase,
        own.bond.ends,
        settings.brick.perpend_limit_mm / 1000,
        f"wall {wall.letter}",
        own.courses,
    )


def _as_units(opening: HoleOpening, scale: Scale) -> OpeningUnits | None:
    """An opening of the mesh: a plain hole, with jambs where its sides are upright."""
    outline = ring(opening.ring_m * scale.mm_per_m)
    if len(outline) < 3:
        return None
    low, high = outline.min(axis=0), outline.max(axis=0)
    if min(high - low) < LEAST_OPENING_MM:
        return None
    left, right = (np.isclose(outline[:, 0], at).sum() >= 2 for at in (low[0], high[0]))
    jambs = (float(low[0]), float(high[0]), float(low[1]), float(high[1])) if left and right else None
    reach = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return OpeningUnits(outline, (), (), reach, jambs, ())


def seamless_boxes(
    openings: Sequence[OpeningUnits], module_mm: float, bricks: float = BRICKS_BESIDE
) -> list[tuple[float, float, float, float]]:
    """Boxes that no seam may touch: openings, some bricks beside them, and what the shell needs above and below."""
    beside, over = bricks * module_mm, REBATE_MM + BACKED_MM
    return [
        (opening.reach[0] - beside, opening.reach[1] - over, opening.reach[2] + beside, opening.reach[3] + over)
        for opening in openings
    ]


def check_clear(facing: Facing) -> None:
    """Refuse openings that leave no edge of the skin at a corner."""
    length = facing.laying.length_mm
    left_edge, right_edge = (
        max(end.face_mm, *(at for at, _ in end.profile_mm[:1]), 0.0) + LEAST_EDGE_MM
        for end in (facing.left, facing.right)
    )
    for opening in facing.openings:
        low, high = opening.outline[:, 0].min(), opening.outline[:, 0].max()
        if low < left_edge or high > length - right_edge:
            raise KitError(
                f"an opening {min(low, length - high):.1f} mm from a corner leaves the skin no edge there",
                facing.where,
                f"keep openings {max(left_edge, right_edge):.1f} mm from the corner at this scale",
            )


def shell_openings(
    facing: Facing, inner_mm: tuple[float, float], top_mm: float, settings: Settings
) -> tuple[ShellOpenings | None, list[Finding]]:
    """Openings through the shell behind a wall, larger by a rebate and clear of the shell's own corners.

    Parameters
    ----------
    facing : Facing
        The wall and its skin.
    inner_mm : tuple of float
        From where to where along the wall the shell's inner face runs.
    top_mm : float
        Height of the shell above the wall's foot.
    settings : Settings
        Glue gap.
    """
    rings, findings = [], []
    for opening in facing.openings:
        low, high = opening.outline.min(axis=0), opening.outline.max(axis=0)
        box = shell_box(opening, inner_mm, top_mm)
        if box is None or (box[0] > low + np.array([0.0, SHELL_LEFT_MM])).any() or (box[1] < high).any():
            place = Place.on_wall(facing.where, *low, *high)
            text = PARTLY_BACKED if box is not None else BLIND
            findings.append(Finding(Severity.NOTE, "opening-backed", facing.where, text, place=place))
        if box is not None:
            (u0, v0), (u1, v1) = np.round(box, 3)
            rings.append(np.array([[u0, v0], [u1, v0], [u1, v1], [u0, v1]]))
    if not rings:
        return None, findings
    heads = [_shouldered(box, top_mm - SHELL_LEFT_MM) for box in _apart(rings)]
    along, outward = np.array([*facing.along, 0.0]), np.array([*facing.outward, 0.0])
    origin = facing.foot_mm - outward * (facing.depth_mm + settings.skin.glue_gap_mm)
    return ShellOpenings(FaceFrame(origin, along, np.array([0.0, 0.0, 1.0]), outward), tuple(heads)), findings


def shell_box(opening: OpeningUnits, inner_mm: tuple[float, float], top_mm: float) -> Array | None:
    """Lowest and highest corner of the shell's opening behind one of the skin, or None where the shell stays closed.

    It stays so where it could open over a part of the opening only, which would show its edge through the panes.
    """
    low, high = opening.outline.min(axis=0), opening.outline.max(axis=0)
    start = np.maximum(low - REBATE_MM, [inner_mm[0] + SHELL_LEFT_MM, SHELL_LEFT_MM])
    end = np.minimum(high + REBATE_MM, [inner_mm[1] - SHELL_LEFT_MM, top_mm - SHELL_LEFT_MM])
    low = np.maximum(low, [-np.inf, SHELL_LEFT_MM])
    seated = np.minimum(end, high) - np.maximum(start, low)
    wide_enough = (end - start > LEAST_OPENING_MM) & (seated >= SEATED_SHARE * (high - low))
    return np.array([start, end]) if wide_enough.all() else None


def insert_requests(wall: FaceOfWall, settings: Settings, count: int) -> list[OpeningRequest]:
    """What is to fill each opening of a wall, in the order of its openings.

    An opening of the mesh gets a window, or a door where it reaches the ground.
    """
    asked = [request for request in settings.openings if request.wall == wall.letter]
    for opening in wall.openings:
        low, high = opening.ring_m.min(axis=0), opening.ring_m.max(axis=0)
        door = low[1] < DOOR_BELOW_M
        width = float(high[0] - low[0])
        asked.append(
            OpeningRequest(
                wall.letter,
                f"{low[0]:.3f} m",
                f"{width:.3f} m",
                f"{high[1] - low[1]:.3f} m",
                insert="panelled door" if door else "casement window",
                leaves=2 if door and width > DOUBLE_ABOVE_M else 1,
            )
        )
    return asked[:count]


def _shouldered(box: Array, top_mm: float) -> Array:
    """Raise the head of an opening too wide to be bridged, with shoulders at 45 degrees, as far as there is room."""
    (u0, v0), (u1, v1) = box[0], box[2]
    rise = round(min((u1 - u0 - WIDEST_BRIDGE_MM) / 2, top_mm - v1), 3)
    if rise < LEAST_SHOULDER_MM:
        return box
    return np.array([[u0, v0], [u1, v0], [u1, v1], [u1 - rise, v1 + rise], [u0 + rise, v1 + rise], [u0, v1]])


def _apart(rings: list[Array]) -> list[Array]:
    """Join openings of the shell that would leave less than a line or two between them."""
    boxes = [[*ring[0], *ring[2]] for ring in rings]
    joined = True
    while joined:
        joined = False
        for i in range(len(boxes)):
            for j in range(i + 1, len(boxes)):
                a, b = boxes[i], boxes[j]
                near = SHELL_LEFT_MM
                if a[0] < b[2] + near and b[0] < a[2] + near and a[1] < b[3] + near and b[1] < a[3] + near:
                    boxes[i] = [min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])]
                    del boxes[j]
                    joined = True
                    break
            if joined:
                break
    return [np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]) for x0, y0, x1, y1 in boxes]
