"""Walls of a mesh that was changed, followed to the letters they have now, and what names them renamed.

Letters go round a building, so that a wall more or less gives others to the walls after it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

import numpy as np
import numpy.typing as npt

from halfbat.errors import KitError
from halfbat.settings.paths import path_points, path_text
from halfbat.sites.lengths import told_length
from halfbat.sites.walls import Sites
from halfbat.units import LengthStyle

Array = npt.NDArray[np.float64]
GONE = " (gone)"
"""Follows the letter that a wall had which is no longer there, so that it names no other wall."""
PLAY_M = 0.03
"""Walls this far from one plane are still the same wall."""
SHARED_M = 0.1
"""Two walls in one plane that share less than this are not the same."""
REACH_M = 3.0
"""A wall that was moved in or out further than this is another one."""
_SAME_WAY = 0.9995
_BETTER = 0.02
_STILL_M = 0.005


@dataclass(frozen=True, slots=True)
class WallLine:
    """Where a wall stands in plan, metres.

    Parameters
    ----------
    letter : str
        Its name.
    start_m, end_m : tuple of float
        Left and right end seen from outside.
    """

    letter: str
    start_m: tuple[float, float]
    end_m: tuple[float, float]

    @property
    def length_m(self) -> float:
        """Its length."""
        return float(np.hypot(self.end_m[0] - self.start_m[0], self.end_m[1] - self.start_m[1]))

    @property
    def along(self) -> Array:
        """Unit vector from its left end to its right end, shape (2,)."""
        return np.subtract(self.end_m, self.start_m) / max(self.length_m, 1e-9)

    def moved(self, matrix: npt.ArrayLike) -> WallLine:
        """Return the line in another frame; the matrix (4, 4) turns round the upright axis and moves, metres."""
        m = np.asarray(matrix, dtype=np.float64)
        start, end = (m[:2, :2] @ np.asarray(at) + m[:2, 3] for at in (self.start_m, self.end_m))
        return WallLine(self.letter, (float(start[0]), float(start[1])), (float(end[0]), float(end[1])))


@dataclass(frozen=True, slots=True)
class Successor:
    """A wall that stands where another one stood.

    Parameters
    ----------
    letter : str
        Its name now.
    offset_m : float
        Where its left end lies along the wall that was; 0 where lengths along it still mean what they meant.
    length_m : float
        Its length.
    """

    letter: str
    offset_m: float
    length_m: float


@dataclass(frozen=True, slots=True)
class Followed:
    """What became of each wall.

    Parameters
    ----------
    successors : mapping of str to tuple of Successor
        By the letter a wall had, from its left end; none where it is gone.
    """

    successors: Mapping[str, tuple[Successor, ...]]

    @property
    def changes(self) -> bool:
        """Whether anything that names a wall has to be renamed."""
        return any(
            [own.letter for own in found] != [letter] or abs(found[0].offset_m) >= _STILL_M
            for letter, found in self.successors.items()
            if found or not letter.endswith(GONE)
        )

    def told(self) -> str:
        """Say which walls have other letters now and which are gone; empty where that is none."""
        renamed = [
            f"{letter} is {' and '.join(own.letter for own in found)}"
            for letter, found in self.successors.items()
            if found and [own.letter for own in found] != [letter]
        ]
        gone = [letter for letter, found in self.successors.items() if not found and not letter.endswith(GONE)]
        texts = [f"wall {', '.join(renamed)} now"] if renamed else []
        texts += [f"wall {', '.join(gone)} is gone"] if gone else []
        return "; ".join(texts)


def wall_lines(sites: Sites) -> tuple[WallLine, ...]:
    """Return where the walls of a building stand."""
    return tuple(
        WallLine(
            site.letter,
            (float(site.wall.start_m[0]), float(site.wall.start_m[1])),
            (float(site.wall.end_m[0]), float(site.wall.end_m[1])),
        )
        for site in sites.walls
    )


def follow_walls(old: Sequence[Sequence[WallLine]], new: Sequence[WallLine]) -> Followed:
    """Find out what became of the walls of a building whose mesh was changed.

    Parameters
    ----------
    old : sequence of sequences of WallLine
        Where the walls stood: in the building's frame, and in other ways in which that may be meant, such as where
        they stood in the world. That in which most of them are found again counts.
    new : sequence of WallLine
        Where walls stand now, in the order of their letters.
    """
    ways = [_in_one_plane(lines, new) for lines in old]
    shares = [_share_found(lines, found) for lines, found in zip(old, ways, strict=True)]
    best = int(np.argmax(shares))
    if shares[best] < shares[0] + _BETTER and _same_round(old[0], new):
        same = {line.letter: (Successor(line.letter, 0.0, line.length_m),) for line in old[0]}
        return Followed(MappingProxyType(same))
    lines, found = old[best], ways[best]
    taken = {own.letter for successors in found.values() for own in successors}
    for line, now in _nearest_pairs([line for line in lines if not found[line.letter]], new, taken):
        found[line.letter] = (Successor(now.letter, 0.0, now.length_m),)
    return Followed(MappingProxyType(found))


def renamed(
    requests: Iterable[Any], followed: Followed, sites: Sites, style: LengthStyle = "metric"
) -> tuple[Any, ...]:
    """Return what the maker asks for with the letters that walls have now.

    What covers a whole wall that became several covers all of them; what stands at a place stays there. What had a wall
    that is gone names it with `GONE`.

    Parameters
    ----------
    requests : iterable
        Entries of one of the lists of the settings; those that have no ``wall`` are handed back.
    followed : Followed
        What became of the walls.
    sites : Sites
        The building now, for lengths in bricks.
    style : {"metric", "mm", "imperial"}
        How lengths are written that have to be written anew and say no unit of their own.
    """
    made = [one for asked in requests for one in _renamed(asked, followed, sites, style)]
    return tuple(dict.fromkeys(made)) if followed.changes else tuple(made)


def renumbered(number: str, wall: str, followed: Followed) -> tuple[str, str]:
    """Return number and wall of a part as they are after its wall got another letter, so that it is known again.

    Parameters
    ----------
    number : str
        Letter of the kind, letter of the wall, and what follows.
    wall : str
        Letter of the wall it was made for; empty for a part of no wall.
    followed : Followed
        What became of the walls. Of several in place of one the first counts; parts of a wall that is gone keep theirs
        with `GONE`, so that no other wall takes what the maker did to them.
    """
    found = followed.successors.get(wall)
    if found is None or number[1 : 1 + len(wall)] != wall:
        return number, wall
    now = found[0].letter if found else wall.removesuffix(GONE) + GONE
    return number[0] + now + number[1 + len(wall) :], now


def _renamed(asked: Any, followed: Followed, sites: Sites, style: LengthStyle) -> list[Any]:  # noqa: ANN401
    found = followed.successors.get(getattr(asked, "wall", ""))
    if found is None:
        return [asked]
    if not found:
        return [asked if asked.wall.endswith(GONE) else replace(asked, wall=asked.wall + GONE)]
    keys = [key for key in ("at", "start", "end") if getattr(asked, key, "")]
    if not keys:
        return [replace(asked, wall=own.letter) for own in found]
    try:
        places = {key: sites.length_m(getattr(asked, key)) for key in keys}
        middle = float(np.mean(list(places.values()))) + _half_width(asked, sites)
        corners = [(sites.length_m(at), at, up) for at, up in path_points(getattr(asked, "path", ""))]
    except KitError:  # a length that cannot be read is told when the kit is made
        return [replace(asked, wall=found[0].letter)]
    own = min(found, key=lambda item: max(item.offset_m - middle, middle - item.offset_m - item.length_m))
    if abs(own.offset_m) < _STILL_M:
        return [replace(asked, wall=own.letter)]
    moved = {key: _told_on(own, place, getattr(asked, key), sites, style) for key, place in places.items()}
    if corners:
        moved["path"] = path_text([(_told_on(own, place, at, sites, style), up) for place, at, up in corners])
    return [replace(asked, wall=own.letter, **moved)]


def _told_on(own: Successor, place_m: float, text: str, sites: Sites, style: LengthStyle) -> str:
    """Write a place along a wall that was as one along the wall that stands there now."""
    return told_length(sites, min(max(place_m - own.offset_m, 0.0), own.length_m), text, style)


def _half_width(asked: Any, sites: Sites) -> float:  # noqa: ANN401
    """Half the width of an opening, whose place is that of its left jamb; others stand at their middle or begin."""
    width = getattr(asked, "width", "") if hasattr(asked, "sill_height") else ""
    return sites.length_m(width) / 2 if width else 0.0


def _in_one_plane(old: Sequence[WallLine], new: Sequence[WallLine]) -> dict[str, tuple[Successor, ...]]:
    found: dict[str, tuple[Successor, ...]] = {}
    for line in old:
        own = []
        for now in new:
            offset, aside, shared = _beside(line, now)
            if abs(aside) < PLAY_M and shared > min(SHARED_M, line.length_m / 2, now.length_m / 2):
                own.append(Successor(now.letter, offset, now.length_m))
        found[line.letter] = tuple(sorted(own, key=lambda item: item.offset_m))
    return found


def _beside(line: WallLine, now: WallLine) -> tuple[float, float, float]:
    """Return where another wall begins along a wall, how far before it it stands, and how much of it it covers.

    Walls that look another way cover nothing of it.
    """
    along = line.along
    step = np.subtract(now.start_m, line.start_m)
    offset, aside = float(step @ along), float(step @ (along[1], -along[0]))
    if float(now.along @ along) < _SAME_WAY:
        return offset, aside, 0.0
    return offset, aside, min(offset + now.length_m, line.length_m) - max(offset, 0.0)


def _share_found(lines: Sequence[WallLine], found: Mapping[str, Sequence[Successor]]) -> float:
    """Share of the length of all walls that stands in the plane where it stood."""
    covered = sum(
        min(own.offset_m + own.length_m, line.length_m) - max(own.offset_m, 0.0)
        for line in lines
        for own in found[line.letter]
    )
    return covered / max(sum(line.length_m for line in lines), 1e-9)


def _same_round(lines: Sequence[WallLine], new: Sequence[WallLine]) -> bool:
    """Tell whether walls of the same letters look the same ways, so that they were only moved or stretched."""
    return [line.letter for line in lines] == [now.letter for now in new] and all(
        float(line.along @ now.along) > _SAME_WAY for line, now in zip(lines, new, strict=True)
    )


def _nearest_pairs(
    lost: Sequence[WallLine], new: Sequence[WallLine], taken: set[str]
) -> Iterable[tuple[WallLine, WallLine]]:
    """Pair walls that were moved in or out with where they stand now, the nearest first."""
    pairs: list[tuple[float, int, WallLine, WallLine]] = []
    for line in lost:
        for now in new:
            _, aside, shared = _beside(line, now)
            if now.letter not in taken and abs(aside) < REACH_M and shared > min(SHARED_M, line.length_m / 2):
                pairs.append((abs(aside), len(pairs), line, now))
    done: set[str] = set()
    for _, _, line, now in sorted(pairs, key=lambda pair: pair[:2]):
        if line.letter not in done and now.letter not in taken:
            done.add(line.letter)
            taken.add(now.letter)
            yield line, now
