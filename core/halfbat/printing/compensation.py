"""Making up for what a material does to sizes: parts are written a little larger or smaller along each axis.

Resin and filament shrink, or grow, by amounts of their own. Each part is corrected in the frame it is printed in, by
its own process, when it is written; in the kit every part keeps its nominal size, so that the printed parts fit.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.part import Part
from halfbat.settings import Process, Settings
from halfbat.solids.solid import Solid


def process_of(part: Part, settings: Settings) -> Process | None:
    """Return the process that makes a part, or None for one that is bought."""
    if part.process == "bought":
        return None
    return settings.resin if part.process == "resin" else settings.filament


def correction(part: Part, settings: Settings) -> NDArray[np.float64]:
    """Return how many times as large a part is written along X, Y and Z of its print frame, shape (3,)."""
    process = process_of(part, settings)
    return np.ones(3) if process is None else np.array([process.scale_x, process.scale_y, process.scale_z])


def written_solid(part: Part, settings: Settings) -> Solid:
    """Return a part as it is written for its printer.

    Parameters
    ----------
    part : Part
        At its nominal size.
    settings : Settings
        Both processes.

    Returns
    -------
    Solid
        Corrected about the origin of the print frame, which stays on a pixel; the same object where nothing changes.
    """
    scale = correction(part, settings)
    if (scale == 1.0).all():
        return part.solid
    return Solid(part.solid.vertices * scale, part.solid.triangles)
