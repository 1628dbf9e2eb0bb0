"""Gutters along eaves: resin bars with a channel, glued to the fascia, so that they lift off with the roof.

At small scales a true gutter is thinner than resin holds. So it is a solid bar of the true outline, filled where it
lies against the fascia, with a channel as deep as its rims allow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind, Structure
from halfbat.parts.downpipes import pipe_form
from halfbat.parts.roof_boards import SHORTEST_MM, Board, UprightCut
from halfbat.parts.sturdy import SPARE
from halfbat.settings import Settings
from halfbat.units import Scale

Array = NDArray[np.float64]
USUAL_M: Mapping[str, tuple[float, float]] = {
    "half round": (0.112, 0.056),
    "ogee": (0.120, 0.075),
    "box": (0.116, 0.060),
}
"""Width and height: half-round 112 mm and square 114 to 116 by 60 are UK practice (BS EN 607, 12200; installation
guides); ogee 120 by 75 as one of these guides has it."""
BRACKET_M = 0.9
"""Distance of brackets: at most 1 m, 915 mm in cast iron (installation guides)."""
BRACKET_WIDE_M, BRACKET_OUT_M = 0.030, 0.006
SPIGOT_M = 0.08
"""Width and thickness of brackets, and length of an outlet below the gutter: common practice, no source."""
LEAST_BRACKET_MM = (0.3, 0.1)
RIM_MM = 0.25
LEAST_CHANNEL_MM, DEEPEST_SHARE = 0.15, 0.45
_CHANNEL, _BACK_TOP = 1, 3
_BACK_DEG, _LEAST_BACK = 25.0, 0.4
_OGEE = (
    (1.0, 0.0),
    (1.0, 0.16),
    (0.93, 0.34),
    (0.78, 0.5),
    (0.62, 0.66),
    (0.55, 0.84),
    (0.55, 1.0),
    (0.0, 1.0),
)
"""Outline of an ogee, as shares of width and height (drawn after the trade's; common practice, no source)."""
_ARC = 7
_STEP_MM = 0.015
_PROBES = 41
LEAN_MM = 0.02
"""Steps lean by so much, since corners that move along the rim would leave triangles of no area in an upright one."""
_CLEAR_MM = 0.05
_HIGHER = 1.1
"""Gutters are so much higher than the smallest wall at least, so that mitres are whole but for their tips."""


@dataclass(frozen=True, slots=True, eq=False)
class Gutter:
    """The gutter of one edge of a roof, mm on the model.

    Parameters
    ----------
    run : Board
        Where it lies, and its section without the channel, whose bottom is the second corner.
    channel_mm : float
        Depth of the channel, 0 where there is no room for one.
    stops : tuple of bool
        Which ends are stopped; others meet a gutter round a corner.
    bracket_mm : tuple of float
        Distance, width and thickness of brackets.
    outlet_mm : tuple of float
        How far outlets reach out of the fascia, and how wide they are along it.
    least_mm : float
        Height at which it holds.
    outlets : tuple of (float, float)
        Middle of each along the edge, and the height of its foot over the edge.
    """

    run: Board
    channel_mm: float
    stops: tuple[bool, bool]
    bracket_mm: tuple[float, float, float]
    outlet_mm: tuple[float, float]
    least_mm: float
    outlets: tuple[tuple[float, float], ...] = ()

    @property
    def span_mm(self) -> tuple[float, float]:
        """From where to where it reaches along the edge at most."""
        low, high = self.cuts_mm
        return float(low.min()), float(high.max())

    @property
    def cuts_mm(self) -> tuple[Array, Array]:
        """Where each corner of its section begins and ends along the edge, shape (K,) each.

        Round a corner a gutter is mitred as far as it is high enough to hold: the tip beyond that is cut off square.
        """
        low, high = (self.run.cut(end) for end in self.run.ends)
        u, v = self.run.section_mm.T
        below = slice(_BACK_TOP + 1, None)
        deep = v[_BACK_TOP] - v[below]
        across = np.linspace(u.min(), u.max(), _PROBES)
        held = across[np.interp(across, u[below], deep) >= self.least_mm - _STEP_MM]
        ends = (held[0], held[-1]) if len(held) else (u[below][np.argmax(deep)],) * 2
        order = np.argsort(u, kind="stable")
        first, last = (np.interp(ends, u[order], cut[order]) for cut in (low, high))
        return np.maximum(low, first.min()), np.minimum(high, last.max())

    @property
    def brackets_mm(self) -> tuple[float, ...]:
        """Middles of its brackets along the edge: one near each end, evenly between, none at an outlet."""
        low, high = float(self.cuts_mm[0].max()), float(self.cuts_mm[1].min())
        from_end = RIM_MM + self.bracket_mm[1]
        low, high = low + from_end, high - from_end
        if high <= low:
            return ()
        count = max(2, int(np.ceil((high - low) / self.bracket_mm[0])) + 1)
        clear = (self.outlet_mm[1] + self.bracket_mm[1]) / 2 + 2 * _STEP_MM
        every = np.linspace(low, high, count).tolist()
        return tuple(at for at in every if all(abs(at - outlet) > clear for outlet, _ in self.outlets))

    def shape(self, *, stopped: bool = False, strap: bool = False, foot_mm: float | None = None) -> Array:
        """Return its section at a stopped end, under a bracket, or at an outlet down to a height."""
        ring = self.run.section_mm.copy()
        corner = ring[_BACK_TOP]
        # A hair is left of it at a stop, for the corner is one of the triangles that close the end.
        ring[_CHANNEL, 1] -= min(self.channel_mm, LEAN_MM) if stopped else self.channel_mm
        below = ring[:, 1] < corner[1] - 1e-9
        below[: _BACK_TOP + 1] = False
        if strap:
            size = np.ptp(self.run.section_mm, axis=0)
            outer = below.copy()
            outer[-1] = True
            ring[outer] = corner + (ring[outer] - corner) * (1 + self.bracket_mm[2] / size)
        if foot_mm is not None:
            ring[below & (ring[:, 0] < corner[0] + self.outlet_mm[0]), 1] = foot_mm
        return ring


def gutters_of(boards: Sequence[Board], structure: Structure, settings: Settings, scale: Scale) -> Iterator[Gutter]:
    """Find the gutters of a kit, before the downpipes under them are settled.

    Parameters
    ----------
    boards : sequence of Board
        Its fascia and barge boards.
    structure : Structure
        The building, drawn out.
    settings : Settings
        Roof, skins and resin process.
    scale : Scale
        How small.
    """
    if settings.roof.gutter == "none":
        return
    for board in boards:
        if board.kind is EdgeKind.EAVES and board.wall >= 0:
            gutter = _gutter(board, structure, settings, scale)
            low, high = gutter.run.reach_mm()
            if high - low >= SHORTEST_MM:
                yield gutter


def _gutter(board: Board, structure: Structure, settings: Settings, scale: Scale) -> Gutter:
    gap = settings.skin.corner_gap_mm / 2
    size = gutter_size_mm(settings, scale)
    front = float(board.section_mm[:, 0].max()) + gap
    top = min(board.drip_mm, float(board.section_mm[board.section_mm[:, 0] > front - 2 * gap, 1].max())) - gap
    form = pipe_form(settings, scale)
    pipe = max(form.width_mm + 2 * form.socket_out_mm, settings.resin.min_wall_mm * SPARE)
    outlet = min((size[0] + pipe) / 2, size[0] - 4 * _STEP_MM)
    section = _profile(settings.roof.gutter, size, outlet)
    ends, stops = zip(*(_end(board, structure, end, scale) for end in (0, 1)), strict=True)
    run = replace(board, section_mm=section + np.array([front, top]), ends=(ends[0], ends[1]))
    wide, out = scale.to_mm(BRACKET_WIDE_M), scale.to_mm(BRACKET_OUT_M)
    brackets = scale.to_mm(BRACKET_M), max(wide, LEAST_BRACKET_MM[0]), max(out, LEAST_BRACKET_MM[1])
    return Gutter(run, _channel_mm(size), (stops[0], stops[1]), brackets, (outlet, pipe), settings.resin.min_wall_mm)


def gutter_size_mm(settings: Settings, scale: Scale) -> tuple[float, float]:
    """Return width and height of gutters on the model: true, but no lower than holds."""
    wide_m, high_m = USUAL_M[settings.roof.gutter]
    share = settings.roof.gutter_size_mm / 1000 / wide_m if settings.roof.gutter_size_mm else 1.0
    least = settings.resin.min_wall_mm
    return (
        max(scale.to_mm(wide_m * share), least / 2 * SPARE),
        max(scale.to_mm(high_m * share), least * _HIGHER),
    )


def _channel_mm(size: tuple[float, float]) -> float:
    room = size[0] - 2 * RIM_MM
    return min(room, DEEPEST_SHARE * size[1]) if room >= LEAST_CHANNEL_MM else 0.0


def _profile(kind: str, size: tuple[float, float], outlet_mm: float) -> Array:
    """Section outward of the fascia and up from its rim, anticlockwise, shape (K, 2).

    Its first corners are the outer rim's inner edge, the bottom of the channel still at the rim, the inner rim's edge
    and the top of the back. Two corners to either side of ``outlet_mm`` are where outlets begin.
    """
    wide, high = size
    if kind == "half round":
        turn = np.linspace(0.0, radians(90.0 + _BACK_DEG), _ARC)
        curve = [(wide / 2 * (1 + cos(t)), -high * sin(t)) for t in turn]
        # Filled from there up to the fascia, as steep as prints lying on the back.
        u, v = curve[-1]
        curve.append((0.0, min(v + u * tan(radians(_BACK_DEG)) * 2 * high / wide, -_LEAST_BACK * high)))
    elif kind == "ogee":
        curve = [(share * wide, -down * high) for share, down in _OGEE]
    else:
        curve = [(wide, 0.0), (wide, -high), (0.0, -high)]
    for at in (outlet_mm + _STEP_MM, outlet_mm - _STEP_MM):
        after = next(i for i, (u, _) in enumerate(curve) if u < at)
        (u0, v0), (u1, v1) = curve[after - 1], curve[after]
        curve.insert(after, (at, v0 + (v1 - v0) * (u0 - at) / (u0 - u1)))
    rim = [(0.0, 0.0), (RIM_MM, 0.0), (wide / 2, 0.0), (wide - RIM_MM, 0.0)]
    return np.ascontiguousarray(np.array([*curve, *rim])[::-1])


def _end(board: Board, structure: Structure, end: int, scale: Scale) -> tuple[UprightCut, bool]:
    """What ends a gutter: at a verge the end of the roof, where the fascia stops behind the barge board already."""
    slope = structure.slopes[board.slope]
    ring = slope.place(slope.outline_m) * scale.mm_per_m
    count = len(ring)
    place = int(np.argmin(np.linalg.norm(ring - board.start, axis=1)))
    other = (place - 1) % count if end == 0 else (place + 1) % count
    corner = ring[place] if end == 0 else ring[(place + 1) % count]
    if slope.edges[other].kind is EdgeKind.VERGE:
        return UprightCut(corner[:2], board.along[:2]), True
    return board.ends[end], slope.edges[other].kind not in (EdgeKind.EAVES, EdgeKind.HIP, EdgeKind.VALLEY)


def with_outlets(gutter: Gutter, pipes: Sequence[tuple[Array, float]], scale: Scale) -> Gutter:
    """Give a gutter outlets over downpipes.

    Parameters
    ----------
    gutter : Gutter
        Without.
    pipes : sequence of (ndarray (2,), float)
        Middle of each downpipe in plan, and the height of its top in the building's frame.
    scale : Scale
        How small.
    """
    run = gutter.run
    low, high = run.reach_mm()
    least = float(run.section_mm[:, 1].min())
    room = gutter.outlet_mm[1] / 2 + RIM_MM + 2 * _STEP_MM
    found = []
    for middle, top in pipes:
        at = float((middle - run.start[:2]) @ run.along[:2])
        foot = max(least - scale.to_mm(SPIGOT_M), top + _CLEAR_MM - float(run.start[2]))
        if low + room < at < high - room and foot < least - _CLEAR_MM:
            found.append((at, foot))
    return replace(gutter, outlets=tuple(sorted(found)))
