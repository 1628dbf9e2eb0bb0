"""Sills: stone with stooled ends, bricks on edge, and two courses of tiles."""

from __future__ import annotations

from halfbat.errors import KitError
from halfbat.surfaces.laying import Array
from halfbat.surfaces.lintels import pieces_between
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_specs import OpeningSpec
from halfbat.surfaces.opening_units import Unit, box, spread
from halfbat.units import format_length

#: Projection from the wall, full size: 40 to 50 mm (building article), the middle of it.
PROJECTION_M = 0.045
#: Width of a plain tile, full size (265 x 165 mm).
TILE_WIDTH_M = 0.165
#: Courses a stone sill is high: common practice, no source.
STONE_COURSES = 2


def sill_units(spec: OpeningSpec, masonry: Masonry) -> tuple[float, tuple[Array, ...], tuple[Unit, ...]]:
    """Lay the sill of an opening.

    Parameters
    ----------
    spec : OpeningSpec
        The opening.
    masonry : Masonry
        The wall.

    Returns
    -------
    sill : float
        Foot of the opening, on top of the sill: at the bed joint of a course where one is near.
    beds : tuple of ndarray, shape (K, 2) each
        Areas whose bricks give way.
    units : tuple of Unit
        Pieces, proud of the wall by whole layers.

    Raises
    ------
    KitError
        If there is no wall under the opening for a sill.
    """
    foot = masonry.near_top(spec.sill_mm) if spec.sill_mm > masonry.gauge_mm / 2 else spec.sill_mm
    if spec.sill == "none":
        return foot, (), ()
    if spec.sill == "stone":
        return foot, *_stone(spec, foot, masonry)
    if spec.sill == "tile":
        return foot, *_tiles(spec, foot, masonry)
    return foot, *_on_edge(spec, foot, masonry)


def _underside(spec: OpeningSpec, wanted: float, foot: float, masonry: Masonry) -> float:
    """Return the underside of a sill: the course nearest to a height, below the opening."""
    bottom = masonry.bottom_towards(wanted)
    if spec.sill_mm <= 0 or wanted < -masonry.gauge_mm / 2 or bottom > foot - masonry.gauge_mm / 3:
        low = format_length(spec.sill_mm / masonry.scale.mm_per_m)
        raise KitError(
            f"there is no room for a sill {low} above the foot of the wall", spec.where, "leave the sill out"
        )
    return bottom


def _stone(spec: OpeningSpec, foot: float, masonry: Masonry) -> tuple[tuple[Array, ...], tuple[Unit, ...]]:
    """Lay one stone whose stooled ends bear half a brick into the wall."""
    bottom = _underside(spec, foot - STONE_COURSES * masonry.gauge_mm + masonry.joint_v_mm, foot, masonry)
    length = masonry.laying.length_mm
    left, right = (
        min(masonry.half_mm - masonry.mm(masonry.brick.joint_m), max(pier - masonry.half_mm / 2, 0.0))
        for pier in (spec.left_mm, length - spec.right_mm)
    )
    u0, u1 = spec.left_mm - left, spec.right_mm + right
    bed = box(
        max(u0 - masonry.joint_u_mm, 0.0),
        max(bottom - masonry.joint_v_mm, 0.0),
        min(u1 + masonry.joint_u_mm, length),
        foot + masonry.joint_v_mm,
    )
    return (bed,), (Unit(box(u0, bottom, u1, foot), "stone sill", masonry.proud_mm(PROJECTION_M)),)


def _on_edge(spec: OpeningSpec, foot: float, masonry: Masonry) -> tuple[tuple[Array, ...], tuple[Unit, ...]]:
    """Lay bricks on edge between the jambs, three to the length of a brick.

    They are as high as a brick is wide. Where only a split too thin to print would be left of the course they end in,
    they go down to its bed joint.
    """
    bottom = foot - masonry.mm(masonry.brick.width_m)
    lowest = _underside(spec, foot - 2 * masonry.gauge_mm + masonry.joint_v_mm, foot, masonry)
    if bottom - masonry.joint_v_mm - lowest < 2 * masonry.least_mm:
        bottom = lowest
    joint = masonry.joint_u_mm
    count = pieces_between(spec.width_mm, masonry, joint)
    edges = spread(spec.left_mm, spec.right_mm, count, joint, _lattice(masonry))
    level = masonry.proud_mm(PROJECTION_M)
    units = tuple(Unit(box(u0, bottom, u1, foot), "sill brick", level) for u0, u1 in edges)
    return (box(spec.left_mm, max(bottom - masonry.joint_v_mm, 0.0), spec.right_mm, foot),), units


def _tiles(spec: OpeningSpec, foot: float, masonry: Masonry) -> tuple[tuple[Array, ...], tuple[Unit, ...]]:
    """Lay two courses of tiles in half bond between the jambs; together they take one course of bricks."""
    bottom = _underside(spec, foot - masonry.gauge_mm + masonry.joint_v_mm, foot, masonry)
    joint = masonry.joint_u_mm
    thick = (foot - bottom - masonry.joint_v_mm) / 2
    rows = [(bottom, bottom + thick), (foot - thick, foot)] if thick >= masonry.least_mm else [(bottom, foot)]
    pitch = masonry.mm(TILE_WIDTH_M + masonry.brick.joint_m)
    count = max(1, round((spec.width_mm - joint) / pitch))
    whole = spread(spec.left_mm, spec.right_mm, count, joint, _lattice(masonry))
    units: list[Unit] = []
    level = masonry.proud_mm(PROJECTION_M)
    for row, (low, high) in enumerate(rows):
        edges = whole if row % 2 == 0 else _broken(whole, joint, masonry)
        units += [Unit(box(u0, low, u1, high), "sill tile", level) for u0, u1 in edges]
    return (box(spec.left_mm, max(bottom - masonry.joint_v_mm, 0.0), spec.right_mm, foot),), tuple(units)


def _broken(whole: Array, joint: float, masonry: Masonry) -> Array:
    """Return a row whose joints lie over the middles of another's pieces; halves too thin to print stay whole."""
    if (whole[0, 1] - whole[0, 0] - joint) / 2 < masonry.least_mm:
        return whole
    middles = masonry.lattice_u.round((whole[:, 0] + whole[:, 1] - joint) / 2)
    edges: Array = whole[[0, *range(len(whole))]].copy()
    edges[1:, 0] = middles + joint
    edges[:-1, 1] = middles
    edges[-1, 1] = whole[-1, 1]
    return edges


def _lattice(masonry: Masonry) -> tuple[float, float]:
    return masonry.lattice_u.origin_mm, masonry.lattice_u.pitch_mm
