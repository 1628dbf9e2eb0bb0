"""The lip under a roof former or a lid: bumps by which it holds in the shell, gaps for a finger that lifts it off."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.outlines import Outline

Array = NDArray[np.float64]
LEAD_IN_MM = 0.5
TOUCH_MM = 0.02
"""Play that bumps leave beside the shell."""
BUMP_MM = (2.4, 1.2)
"""Width of a bump at its foot and at its top."""
BUMP_SIDE_MM = 12.0
"""Sides of the lip shorter than this have one bump, longer ones two."""
NOTCH_MM = 12.0
BESIDE_MM = 0.3
_INTO_LIP_MM = 0.2


def sides_of(ring: Outline) -> tuple[Array, Array, Array]:
    """Direction of each side, the way inward from it, and its length."""
    steps = np.roll(ring, -1, axis=0) - ring
    lengths = np.linalg.norm(steps, axis=1)
    along = steps / lengths[:, None]
    return along, np.stack([-along[:, 1], along[:, 0]], axis=1), lengths


def bumps_on(lip: Outline, edge: Outline, fit_mm: float) -> list[Outline]:
    """Return places where a lip touches the shell: one or two on each side.

    Parameters
    ----------
    lip : ndarray (K, 2)
        Its outer face in plan, anticlockwise.
    edge : ndarray (K, 2)
        What lies on the shell over it, side by side with the lip; where the two are flush there is no shell.
    fit_mm : float
        Play between lip and shell, of which a hair is left.

    Returns
    -------
    list of ndarray (6, 2)
        Outlines in plan, a little way into the lip; none where there is no play.
    """
    out_mm = fit_mm - TOUCH_MM
    if len(lip) != len(edge) or out_mm <= 0:
        return []
    along, inward, lengths = sides_of(lip)
    free = np.einsum("ij,ij->i", lip - edge, inward)
    foot, top = BUMP_MM[0] / 2, BUMP_MM[1] / 2
    bumps = []
    for i in np.flatnonzero((lengths > 2 * BUMP_MM[0]) & (free > out_mm + BESIDE_MM)).tolist():
        for share in (0.25, 0.75) if lengths[i] > BUMP_SIDE_MM else (0.5,):
            middle = lip[i] + along[i] * lengths[i] * share
            inside = _INTO_LIP_MM
            if _turns_about(lip, middle + inside * inward[i]) < 1:
                # Where a passage is too narrow for a lip, its sides have passed each other.
                continue
            corners = [(-foot, inside), (foot, inside), (foot, 0.0), (top, -out_mm), (-top, -out_mm), (-foot, 0.0)]
            bumps.append(np.array([middle + u * along[i] + v * inward[i] for u, v in corners]))
    return bumps


def _turns_about(ring: Outline, place: Array) -> int:
    """How often a ring goes round a place, anticlockwise."""
    off, ahead = ring - place, np.roll(ring, -1, axis=0) - place
    left = off[:, 0] * ahead[:, 1] - off[:, 1] * ahead[:, 0]
    up, down = (off[:, 1] <= 0) & (ahead[:, 1] > 0), (off[:, 1] > 0) & (ahead[:, 1] <= 0)
    return int(np.count_nonzero(up & (left > 0))) - int(np.count_nonzero(down & (left < 0)))


def notches_in(
    lip: Outline, bore: Outline, allowed: Callable[[Array], NDArray[np.bool_]] | None = None
) -> list[Outline]:
    """Return gaps in the middle of the two longest sides of a lip, for a finger that pushes it up from inside.

    Parameters
    ----------
    lip, bore : ndarray (K, 2)
        Its outer and inner face in plan, anticlockwise.
    allowed : callable, optional
        Says of the directions of the sides, shape (K, 2), which may have one.

    Returns
    -------
    list of ndarray (4, 2)
        Outlines in plan; none where a side is so short that no finger would go in.
    """
    if len(lip) != len(bore):
        return []
    along, inward, lengths = sides_of(lip)
    deep = np.einsum("ij,ij->i", bore - lip, inward)
    notches = []
    lengths = lengths if allowed is None else np.where(allowed(along), lengths, 0.0)
    for i in np.argsort(-lengths, kind="stable")[:2].tolist():
        wide = min(NOTCH_MM, lengths[i] / 3)
        if wide < NOTCH_MM / 2:
            continue
        middle = lip[i] + along[i] * lengths[i] / 2
        corners = [(-wide / 2, -0.1), (wide / 2, -0.1), (wide / 2, deep[i] + 0.1), (-wide / 2, deep[i] + 0.1)]
        notches.append(np.array([middle + u * along[i] + v * inward[i] for u, v in corners]))
    return notches
