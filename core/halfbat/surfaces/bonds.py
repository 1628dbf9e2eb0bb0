"""Bonds as data: which pieces stand at a quoin, and what repeats between the quoins.

A course of a wall is ``start, core, period * k, mirrored start``. Each row of a bond has two aspects: the quoin brick
shows its stretcher face on this wall, or its header face. At a quoin the two walls take opposite aspects, and aspects
swap with every course. To add a bond, add a table here; the tests lay it on walls of all lengths.

Sources of the face patterns and closers stand beside each bond in ``tests/published/test_facing_counts.py``. The quoins
of stretcher, header, garden wall, monk and rat-trap bond are common practice, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from halfbat.errors import KitError
from halfbat.surfaces.formats import BrickFormat
from halfbat.surfaces.pieces import Kind, Modules

Pieces = tuple[Kind, ...]
S, H, Q, T = Kind.STRETCHER, Kind.HEADER, Kind.QUEEN_CLOSER, Kind.THREE_QUARTER_BAT
#: How far the header face may be from an exact part of the stretcher face, as a part of it, for bonds with headers.
HEADER_TOLERANCE = 0.1


@dataclass(frozen=True, slots=True)
class Aspect:
    """One course as it looks on a wall.

    Parameters
    ----------
    start : tuple of Kind
        Pieces at the quoin, from the quoin inwards.
    core : tuple of Kind
        Pieces once, after the start; reads the same from both sides.
    period : tuple of Kind
        Pieces that repeat after the core.
    swapped : tuple of Kind
        Pieces from the far quoin inwards when that quoin shows the other aspect; wanted on walls that are half a
        brick longer, and in plans with an odd number of corners.
    """

    start: Pieces
    core: Pieces
    period: Pieces
    swapped: Pieces


@dataclass(frozen=True, slots=True)
class Row:
    """One course of a bond, as seen on the two faces that meet at a quoin."""

    stretcher_face: Aspect
    header_face: Aspect


@dataclass(frozen=True, slots=True)
class Bond:
    """A bond.

    Parameters
    ----------
    key, name : str
        Key in kit files, and the trade's name.
    rows : tuple of Row
        Courses upwards, repeating.
    on_edge : bool
        Bricks laid on edge: the stretcher face is length by width, the header face height by width.
    alternates : bool
        False where the quoin brick turns the same way in every course.
    half_brick : bool
        True for walls half a brick thick: at a stopped end or a jamb a half bat stands in for the quoin's header.
    stretcher_courses : int
        Courses of stretcher bond under each cycle of `rows`; 0 for bonds without such a number.
    """

    key: str
    name: str
    rows: tuple[Row, ...]
    on_edge: bool = False
    alternates: bool = True
    half_brick: bool = False
    stretcher_courses: int = 0

    @property
    def courses(self) -> tuple[Row, ...]:
        """One whole cycle of courses, bottom first."""
        return (_STRETCHERS,) * self.stretcher_courses + self.rows

    def facing_per_m2(self, brick: BrickFormat) -> float:
        """Facing units to the square metre, full size, far from all ends: each unit seen counts as one."""
        modules = self.modules(brick)
        faces = [face for row in self.courses for face in (row.stretcher_face, row.header_face)]
        per_unit = sum(len(face.period) / modules.total(face.period) for face in faces) / len(faces)
        return per_unit / (modules.unit_m * self.gauge_m(brick))

    def gauge_m(self, brick: BrickFormat) -> float:
        """One course with its bed joint, full size, metres."""
        return brick.on_edge_gauge_m if self.on_edge else brick.gauge_m

    def bed_joint_m(self, brick: BrickFormat) -> float:
        """Height of a bed joint, full size, metres."""
        return brick.joint_m if self.on_edge else brick.bed_joint_m

    def modules(self, brick: BrickFormat) -> Modules:
        """Lengths of the pieces of a brick in this bond.

        Header faces are laid to an exact part of a stretcher (joints a little wider), so that laps hold along the wall.

        Raises
        ------
        KitError
            If the bond needs headers and the brick is not, within a tenth, twice as long as wide; for bricks on edge,
            if it is not two to four times as long as high.
        """
        header_m = brick.on_edge_header_module_m if self.on_edge else brick.header_module_m
        exact = brick.stretcher_module_m / header_m
        ratio = max(2, round(exact))
        if self.on_edge and not 1.75 <= exact < 4.5:
            raise KitError(
                f"{self.name} bond needs a brick two to four times as long as high; {brick.name} is {exact:.1f} times",
                "brick.bond",
                "use another bond or another brick",
            )
        if not self.half_brick and not self.on_edge and abs(exact / 2 - 1) > HEADER_TOLERANCE:
            raise KitError(
                f"{self.name} bond needs a brick twice as long as wide, and {brick.name} is {exact:.2f} times",
                "brick.bond",
                "use stretcher or stack bond, or another brick",
            )
        return Modules(ratio, brick.stretcher_module_m / (2 * ratio))


_STRETCHERS = Row(Aspect((), (S,), (S,), (H,)), Aspect((H,), (), (S,), ()))
_STRETCHER_COURSE = _STRETCHERS.stretcher_face
_CLOSED_HEADERS = Aspect((H, Q), (), (H,), (T,))

_HEADER = Bond("header", "Header", (Row(Aspect((T,), (), (H,), (H,)), Aspect((H,), (), (H,), (T,))),))
_STRETCHER = Bond("stretcher", "Stretcher", (_STRETCHERS,), half_brick=True)
_STACK = Bond("stack", "Stack", (_STRETCHERS,), alternates=False, half_brick=True)
_ENGLISH = Bond("english", "English", (Row(_STRETCHER_COURSE, _CLOSED_HEADERS),))
_ENGLISH_CROSS = Bond(
    "english_cross",
    "English cross",
    # Each stretcher course of a wall is two courses over the last, so a row stands twice.
    (Row(_STRETCHER_COURSE, _CLOSED_HEADERS),) * 2 + (Row(Aspect((S, H), (S,), (S,), (H, H)), _CLOSED_HEADERS),) * 2,
)
_DUTCH_HEADERS = Aspect((H,), (), (H,), (S,))
_DUTCH = Bond(
    "dutch",
    "Dutch",
    (Row(Aspect((T,), (S,), (S,), (H, T)), _DUTCH_HEADERS),) * 2
    + (Row(Aspect((T, H), (S,), (S,), (H, T, H)), _DUTCH_HEADERS),) * 2,
)
_FLEMISH = Bond(
    "flemish",
    "Flemish",
    (Row(Aspect((), (S,), (H, S), (H, Q)), Aspect((H, Q), (S,), (H, S), ())),),
)
_MONK = Bond(
    "monk",
    "Monk",
    (Row(Aspect((), (S, S), (H, S, S), (H, Q, H)), Aspect((H, Q), (H,), (S, S, H), (S, S))),),
)
_FLEMISH_GARDEN_WALL = Bond(
    "flemish_garden_wall",
    "Flemish garden wall",
    (Row(Aspect((), (S, S, S), (H, S, S, S), (H, T, H)), Aspect((H, T), (H,), (S, S, S, H), (S, S, S))),),
)
_RAT_TRAP = Bond("rat_trap", "Rat-trap", _FLEMISH.rows, on_edge=True)
_ENGLISH_GARDEN_WALL = Bond(
    "english_garden_wall",
    "English garden wall",
    (Row(Aspect((T,), (), (H,), (H, Q)), _CLOSED_HEADERS),),
    stretcher_courses=3,
)
_COMMON = Bond(
    "common",
    "American common",
    (Row(Aspect((T,), (), (H,), (H, T)), Aspect((H, T), (), (H,), (T,))),),
    stretcher_courses=5,
)

BONDS: tuple[Bond, ...] = (
    _STRETCHER,
    _HEADER,
    _ENGLISH,
    _FLEMISH,
    _ENGLISH_GARDEN_WALL,
    _FLEMISH_GARDEN_WALL,
    _ENGLISH_CROSS,
    _DUTCH,
    _MONK,
    _COMMON,
    _STACK,
    _RAT_TRAP,
)


def get_bond(key: str, stretcher_courses: int | None = None) -> Bond:
    """Return a bond.

    Parameters
    ----------
    key : str
        Such as ``"english"``.
    stretcher_courses : int, optional
        Courses of stretchers to one of headers, for the bonds that have such a number; by default the usual one.

    Returns
    -------
    Bond

    Raises
    ------
    KitError
        If there is no such bond, or the number of stretcher courses is less than one.
    """
    if stretcher_courses is not None and stretcher_courses < 1:
        raise KitError("a bond needs at least one course of stretchers", "brick.stretcher_courses", "give 1 or more")
    for known in BONDS:
        if known.key == key:
            if stretcher_courses is not None and known.stretcher_courses:
                return replace(known, stretcher_courses=stretcher_courses)
            return known
    names = ", ".join(known.key for known in BONDS)
    raise KitError(f'there is no bond "{key}"', "brick.bond", f"use one of {names}")
