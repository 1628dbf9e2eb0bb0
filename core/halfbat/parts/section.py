"""Sections: pieces of a shell, lid or roof former that is larger than its printer, to be glued together.

All that makes a section is said in plan: what is not of it, and what is added to it, the whole height through. So a
section prints as the whole would, without support, and goes onto the one beside it straight down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from halfbat.building.rings import inside_rings
from halfbat.parts.outlines import Outline
from halfbat.solids.figure import OUTSIDE, Layer


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """One section; outlines in plan run anticlockwise, model mm in the building's frame.

    Parameters
    ----------
    without : tuple of ndarray (K, 2)
        What is not of it.
    splices : tuple of (ndarray (K, 2), float)
        What it has beside the body's own walls to be glued by, and up to which height.
    ribs : tuple of ndarray (K, 2)
        Along its cuts: ribs of a lid or former, strips of floor in a shell without one.
    unmarked : tuple of ndarray (K, 2)
        Where no number is cut in.
    tenons, mortises : tuple of ndarray (K, 2)
        Keys of a roof former, and the sockets for those of others, which are closed above.
    """

    without: tuple[Outline, ...]
    splices: tuple[tuple[Outline, float], ...] = ()
    ribs: tuple[Outline, ...] = ()
    unmarked: tuple[Outline, ...] = ()
    tenons: tuple[Outline, ...] = ()
    mortises: tuple[Outline, ...] = ()

    def holds(self, place: Outline) -> bool:
        """Whether a place in plan (2,) belongs to it."""
        return not any(inside_rings([ring], place[None])[0] for ring in self.without)

    def leaves_free(self, ring: Outline) -> bool:
        """Whether all corners of an outline belong to it and a number may be cut there."""
        return not any(inside_rings([taken], ring).any() for taken in (*self.without, *self.unmarked))

    def moved(self, by_mm: Outline) -> Section:
        """Return it at another place."""
        return Section(
            tuple(ring + by_mm for ring in self.without),
            tuple((ring + by_mm, top) for ring, top in self.splices),
            tuple(ring + by_mm for ring in self.ribs),
            tuple(ring + by_mm for ring in self.unmarked),
            tuple(ring + by_mm for ring in self.tenons),
            tuple(ring + by_mm for ring in self.mortises),
        )

    def seen_from_below(self) -> Section:
        """Return it turned over, as a lid is drawn; lids have no tenons."""
        return Section(
            tuple(map(_turned_over, self.without)),
            tuple((_turned_over(ring), top) for ring, top in self.splices),
            tuple(map(_turned_over, self.ribs)),
            tuple(map(_turned_over, self.unmarked)),
        )

    @property
    def taken(self) -> list[Outline]:
        """What is not free for a number, clockwise."""
        return [ring[::-1] for ring in (*self.without, *self.unmarked)]


def cut_off(section: Section | None) -> list[Layer]:
    """Layers that leave nothing of a figure but a section."""
    return [] if section is None else [Layer.patches([ring], OUTSIDE) for ring in section.without]


def _turned_over(ring: Outline) -> Outline:
    return np.asarray((ring * (1.0, -1.0))[::-1], dtype=np.float64)


def boxes_around(rings: Sequence[Outline]) -> Outline:
    """Lowest and highest corner of each of some outlines, shape (N, 2, 2)."""
    return np.array([[ring.min(axis=0), ring.max(axis=0)] for ring in rings]).reshape(-1, 2, 2)
