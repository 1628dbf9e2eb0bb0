"""One flat face of a part, and the brickwork or courses drawn on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from halfbat.drawings.drawing import Array, BondLines


@dataclass(frozen=True, slots=True, eq=False)
class Bricks:
    """Brickwork on a face: the frame of its wall in the building, and the outline it fills, with its holes."""

    bond: BondLines
    origin: Array
    along: Array
    up: Array
    clips: tuple[Array, ...]
    clip_key: str


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """A flat face in the building's frame, mm on the model.

    Parameters
    ----------
    rings : tuple of ndarray (K, 3)
        Anticlockwise seen from outside, holes clockwise.
    normal : ndarray (3,)
        Outward.
    bricks : Bricks or None
        Lines on it.
    """

    rings: tuple[Array, ...]
    normal: Array
    bricks: Bricks | None = None

    def moved(self, shift: Array) -> Face:
        """Return the face, moved by a vector."""
        bricks = replace(self.bricks, origin=self.bricks.origin + shift) if self.bricks else None
        return Face(tuple(ring + shift for ring in self.rings), self.normal, bricks)

    def turned(self, place: Array) -> Face:
        """Return the face taken through a rigid matrix (4, 4); brickwork is left out."""
        rings = tuple(ring @ place[:3, :3].T + place[:3, 3] for ring in self.rings)
        return Face(rings, place[:3, :3] @ self.normal)
