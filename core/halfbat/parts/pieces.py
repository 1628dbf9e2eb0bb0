"""A part that comes out as several bodies becomes several parts; crumbs of it are left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.parts.part import Part
from halfbat.parts.placing import as_printed
from halfbat.settings import Settings
from halfbat.solids.grid import Ints
from halfbat.solids.solid import Solid

CRUMB_WALLS = 2.0
"""A body smaller than a cube of so many smallest walls is a crumb that cannot be handled (our choice, no source)."""


def bodies_of(solid: Solid) -> list[Solid]:
    """Return the bodies of a solid that hang together by their vertices, the largest first.

    Parameters
    ----------
    solid : Solid
        Closed.
    """
    triangles = np.asarray(solid.triangles, dtype=np.int64)
    body = _joined(triangles, len(solid.vertices))[triangles[:, 0]]
    found = []
    for one in np.unique(body).tolist():
        own, at = np.unique(triangles[body == one], return_inverse=True)
        found.append(Solid(solid.vertices[own], at.reshape(-1, 3).astype(np.int64)))
    return sorted(found, key=lambda piece: -piece.volume_mm3)


def _joined(triangles: Ints, count: int) -> Ints:
    """The lowest vertex that each vertex hangs together with."""
    label = np.arange(count, dtype=np.int64)
    while True:
        lowest = label[triangles].min(axis=1)
        lower = label.copy()
        np.minimum.at(lower, triangles.ravel(), np.repeat(lowest, 3))
        lower = lower[lower]
        if np.array_equal(lower, label):
            return label
        label = lower


def in_pieces(part: Part, settings: Settings) -> tuple[list[Part], list[Finding]]:
    """Part a solid of several bodies.

    Parameters
    ----------
    part : Part
        As printed; its number goes with the body that carries it, the others get it with ``-2``, ``-3`` and so on.
    settings : Settings
        What the smallest wall of the part's printer is.

    Returns
    -------
    list of Part
        One for each body that is no crumb; the part as it is where it is one body, or one within another.
    list of Finding
        What was parted and left out.
    """
    bodies = bodies_of(part.solid)
    if len(bodies) < 2 or bodies[-1].volume_mm3 <= 0.0:
        return [part], []
    printer = settings.resin if part.process == "resin" else settings.filament
    least_mm3 = (CRUMB_WALLS * printer.min_wall_mm) ** 3
    kept = [body for body in bodies if body.volume_mm3 >= least_mm3] or bodies[:1]
    if part.process == "filament":
        # Strokes of a number have more triangles than all the rest of a body of level and sloping faces.
        kept = sorted(kept, key=lambda body: -len(body.triangles))
    pieces, found = [], []
    for place, body in enumerate(kept, 1):
        solid, where = as_printed(body, part.place)
        own = replace(part, solid=solid, place=where)
        if place > 1:
            name = f"{part.name}, piece {place} of {len(kept)}"
            own = replace(own, number=f"{part.number}-{place}", name=name, counts={}, notes=())
        elif len(kept) > 1:
            own = replace(own, name=f"{part.name}, piece 1 of {len(kept)}")
        pieces.append(own)
    if len(kept) > 1:
        others = ", ".join(piece.number for piece in pieces[1:])
        text = f"comes in {len(kept)} pieces that do not hang together; one carries its number, the rest is {others}"
        remedy = "find them on the picture of their plate, and glue each in its place"
        found.append(Finding(Severity.WARNING, "in-pieces", part.number, text, remedy))
    if len(kept) < len(bodies):
        lost = len(bodies) - len(kept)
        crumbs = "1 crumb is" if lost == 1 else f"{lost} crumbs are"
        text = f"{crumbs} left out of it, under {least_mm3:.1f} mm3 each"
        found.append(Finding(Severity.WARNING, "crumbs-left-out", part.number, text, "paint the shell there"))
    return pieces, found
