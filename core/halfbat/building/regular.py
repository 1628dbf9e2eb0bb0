"""Lines of a plan that are nearly one line become one."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from halfbat.building.weld import weld

Array = npt.NDArray[np.float64]

#: Ends of segments nearer than this are one point, metres.
_WELD_M = 0.005
#: Pieces of one line have no longer gap between them, metres.
_GAP_M = 5.0
#: A corner between lines that meet at less than this is left where it is, as sine.
_SHARPEST = 0.17


def regular_segments(starts: Array, ends: Array, play_m: float) -> tuple[Array, Array]:
    """Bring segments that lie within a little of a longer one onto its line.

    Every corner then stands where the lines of its two longest sides meet, so right angles stay
    right angles and a small jog in a wall goes.

    Parameters
    ----------
    starts, ends : ndarray, shape (S, 2)
        Segments, metres.
    play_m : float
        How far off the line both ends may lie.

    Returns
    -------
    starts, ends : ndarray, shape (S, 2)
        The same segments moved; one may have lost its length.
    """
    nodes, index = weld(np.concatenate([starts, ends]), _WELD_M)
    pairs = np.stack([index[: len(starts)], index[len(starts) :]], axis=1)
    step = nodes[pairs[:, 1]] - nodes[pairs[:, 0]]
    length = np.hypot(step[:, 0], step[:, 1])
    lines: list[tuple[Array, Array]] = []
    reach: list[list[float]] = []
    at_node: list[list[int]] = [[] for _ in range(len(nodes))]
    for segment in np.argsort(-length, kind="stable").tolist():
        if length[segment] <= 4.0 * play_m:
            break
        a, b = pairs[segment].tolist()
        line = _line_through(lines, reach, nodes[[a, b]], play_m)
        if line < 0:
            line = len(lines)
            lines.append((nodes[a], step[segment] / length[segment]))
            reach.append([0.0, float(length[segment])])
        for node in (a, b):
            if line not in at_node[node]:
                at_node[node].append(line)
    moved = np.array([_placed(nodes[i], [lines[k] for k in at_node[i]], play_m) for i in range(len(nodes))])
    moved = moved.reshape(-1, 2)
    return moved[pairs[:, 0]], moved[pairs[:, 1]]


def _line_through(lines: list[tuple[Array, Array]], reach: list[list[float]], ends: Array, play_m: float) -> int:
    """Return the first line both ends lie on within the play and near what lies on it already, or -1."""
    for number, (origin, along) in enumerate(lines):
        to = ends - origin
        if np.all(np.abs(to[:, 0] * along[1] - to[:, 1] * along[0]) <= play_m):
            share = to @ along
            low, high = float(share.min()), float(share.max())
            # Lines far apart are in line by chance.
            if low <= reach[number][1] + _GAP_M and high >= reach[number][0] - _GAP_M:
                reach[number] = [min(low, reach[number][0]), max(high, reach[number][1])]
                return number
    return -1


def _placed(spot: Array, lines: list[tuple[Array, Array]], play_m: float) -> Array:
    """Return where a corner goes: to the meeting of its two longest lines, else onto its only one."""
    if not lines:
        return spot
    origin, along = lines[0]
    for other, way in lines[1:]:
        across = along[0] * way[1] - along[1] * way[0]
        if abs(across) > _SHARPEST:
            to = other - origin
            meeting: Array = origin + along * (to[0] * way[1] - to[1] * way[0]) / across
            return meeting if np.hypot(*(meeting - spot)) < 4.0 * play_m + 1e-9 else spot
    onto: Array = origin + along * float((spot - origin) @ along)
    return onto
