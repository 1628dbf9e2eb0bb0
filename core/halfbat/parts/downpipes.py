"""Downpipes: a pipe filled up to the wall, so that it prints flat on its back without support.

Sizes of sockets, shoes, gullies and hopper heads are common practice, no source; spans of fixings are those of
cast-iron rainwater goods, up to 1.83 m (BS 460).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.covers import Piece, cover_solid
from halfbat.parts.cuts import least_cover_mm
from halfbat.parts.tabs import TAB_THICKNESS_MM, box
from halfbat.settings import Settings
from halfbat.solids.grid import CORNER_STEP, PER_MM
from halfbat.solids.solid import Solid
from halfbat.surfaces.dressing import Proud
from halfbat.surfaces.joints import part_steps_mm
from halfbat.units import Scale

Array = NDArray[np.float64]
SOCKET_M, SOCKET_OUT_M, EAR_M = (0.09, 0.012, 0.045)
SHOE_M, SHOE_OUT_M = (0.15, 0.09)
KERB_HEIGHT_M, KERB_WIDTH_M, KERB_OUT_M = (0.10, 0.30, 0.28)
HOPPER_HEIGHT_M, HOPPER_WIDTH_M, HOPPER_OUT_M = (0.28, 0.28, 0.20)
LEAST_SOCKET_MM, LEAST_OUT_MM, LEAST_EAR_MM, LEAST_KERB_MM = (0.8, 0.1, 0.35, 0.2)
LEAST_SIDE_MM = 0.25
"""Thinner sides would not print straight (common practice, no source)."""
FACETS = 8
HOPPER_RIM_SHARE = 0.2
_GRID_MM = CORNER_STEP / PER_MM
_FLAT_MM = 0.05


@dataclass(frozen=True, slots=True)
class PipeForm:
    """Sizes of a downpipe on the model, mm.

    Parameters
    ----------
    round : bool
        Whether its front is round.
    width_mm, depth_mm : float
        Width, and how far the front stands out of the sides.
    side_mm : float
        Height of the sides over the wall.
    socket_mm, socket_out_mm, ear_mm : float
        Length of a socket, how much larger than the pipe it is all round, and how far its ears reach beyond the pipe.
    spacing_mm : float
        Largest distance between sockets.
    shoe_mm, shoe_out_mm : float
        Length of the shoe and how far it reaches out; 0 where there is none.
    kerb_mm : tuple of float
        Height, width and depth of the gully's kerb; zeros where there is none.
    hopper_mm : tuple of float
        Height, width and depth of the hopper head; zeros where there is none.
    """

    round: bool
    width_mm: float
    depth_mm: float
    side_mm: float
    socket_mm: float
    socket_out_mm: float
    ear_mm: float
    spacing_mm: float
    shoe_mm: float
    shoe_out_mm: float
    kerb_mm: tuple[float, float, float]
    hopper_mm: tuple[float, float, float]

    @property
    def out_mm(self) -> float:
        """How far the pipe stands out of the wall."""
        return self.side_mm + self.depth_mm

    @property
    def half_mm(self) -> float:
        """Half of its greatest width, with ears, kerb and hopper head."""
        return max(self.width_mm / 2 + self.ear_mm, self.kerb_mm[1] / 2, self.hopper_mm[1] / 2)


def pipe_form(settings: Settings, scale: Scale) -> PipeForm:
    """Size a downpipe: true to scale, but wide enough to hide a seam, in whole pixels and layers."""
    pipe = settings.downpipe
    _, step, layer = part_steps_mm(settings.resin)
    true = scale.to_mm(pipe.size_mm / 1000)
    width = ceil(max(true, least_cover_mm(settings.seam.gap_mm)) / step - 1e-6) * step
    is_round = pipe.shape == "round"
    depth = _layers(width / 2 if is_round else width, layer)
    # What is wider than true to hide a seam need not stand out more as well.
    side = _layers(max(scale.to_mm(pipe.stand_off_mm / 1000) + (true / 2 if is_round else 0.0), LEAST_SIDE_MM), layer)
    if not is_round:
        depth = _layers(max(true, 0.6 * width), layer)
    wide = width / true
    out = side + depth + scale.to_mm(SHOE_OUT_M)
    kerb = hopper = (0.0, 0.0, 0.0)
    if pipe.foot == "shoe":
        high = max(scale.to_mm(KERB_HEIGHT_M), LEAST_SOCKET_MM)
        kerb = (high, scale.to_mm(KERB_WIDTH_M) * wide, max(scale.to_mm(KERB_OUT_M) * wide, out + LEAST_KERB_MM))
    if pipe.top == "hopper head":
        deep = max(scale.to_mm(HOPPER_OUT_M), side + depth + scale.to_mm(SOCKET_OUT_M) + 2 * layer)
        hopper = (scale.to_mm(HOPPER_HEIGHT_M) * wide, scale.to_mm(HOPPER_WIDTH_M) * wide, _layers(deep, layer))
    return PipeForm(
        is_round,
        width,
        depth,
        side,
        max(scale.to_mm(SOCKET_M), LEAST_SOCKET_MM),
        max(scale.to_mm(SOCKET_OUT_M), LEAST_OUT_MM),
        max(scale.to_mm(EAR_M), LEAST_EAR_MM),
        max(scale.to_mm(pipe.spacing_m), 3 * LEAST_SOCKET_MM),
        max(scale.to_mm(SHOE_M), LEAST_SOCKET_MM) if kerb[0] else 0.0,
        scale.to_mm(SHOE_OUT_M) if kerb[0] else 0.0,
        kerb,
        hopper,
    )


def build_downpipe(
    length_mm: float,
    piece: tuple[float, float],
    form: PipeForm,
    settings: Settings,
    number: str,
    *,
    eaves_mm: float = 0.0,
    lifted_mm: float = 0.0,
    proud: Sequence[Proud] = (),
) -> Solid:
    """Build a downpipe, or one piece of it, in the frame of covers.

    Parameters
    ----------
    length_mm : float
        Of the whole pipe.
    piece : tuple of float
        From where to where along it.
    form : PipeForm
        Its sizes.
    settings : Settings
        Shape of its ends, marks, resin process.
    number : str
        Engraved on its tab.
    eaves_mm : float
        How far the roof reaches out over it: a swan neck ends there.
    lifted_mm : float
        How far it stands out further than usual.
    proud : sequence of Proud
        Where the wall stands out behind the piece, counted from its foot.
    """
    start, end = piece
    layers = []
    for layer in _layers_of(form, length_mm, lifted_mm, neck_mm(form, length_mm, lifted_mm, eaves_mm)):
        clipped = [own for one in layer if (own := _clipped(one, start, end)) is not None]
        if clipped:
            layers.append(clipped)
    beside = (end - start, form.width_mm / 2) if start > 0 else None
    neck = min(form.side_mm + lifted_mm, TAB_THICKNESS_MM)
    return cover_solid(layers, number, settings, beside=beside, neck_mm=neck, proud=proud)


def neck_mm(form: PipeForm, length_mm: float, lifted_mm: float, eaves_mm: float) -> float:
    """How far a swan neck reaches out of the pipe: to the edge of the eaves, but not over more than half the pipe."""
    if form.hopper_mm[0] > 0:
        return 0.0
    reach = eaves_mm - form.out_mm - lifted_mm
    return min(reach, length_mm / 2) if reach > form.socket_out_mm else 0.0


def _layers(size_mm: float, layer_mm: float) -> float:
    return round(max(1, round(size_mm / layer_mm)) * layer_mm, 9)


def _facets(form: PipeForm, wider_mm: float = 0.0) -> list[tuple[float, float, float, float]]:
    """Stretches across the pipe from right to left: ends, and heights over the sides at both."""
    half, depth = form.width_mm / 2 + wider_mm, form.depth_mm + wider_mm
    if form.round:
        turn = np.linspace(0.0, np.pi, FACETS + 1)
        y, z = -half * np.cos(turn), depth * np.sin(turn)
    else:
        chamfer = form.width_mm / 8
        y = np.array([-half, chamfer - half, half - chamfer, half])
        z = np.array([depth - chamfer, depth, depth, depth - chamfer])
    y, z = np.round(y / _GRID_MM) * _GRID_MM, np.round(z / _GRID_MM) * _GRID_MM
    return list(zip(y[:-1].tolist(), y[1:].tolist(), z[:-1].tolist(), z[1:].tolist(), strict=True))


def _run(form: PipeForm, x0: float, x1: float, out: tuple[float, float], wider_mm: float = 0.0) -> Iterator[Piece]:
    """Yield a stretch of pipe whose sides stand so far out at its two ends."""
    slope = (out[1] - out[0]) / (x1 - x0)
    for y0, y1, z0, z1 in _facets(form, wider_mm):
        across = (z1 - z0) / (y1 - y0)
        yield Piece(box(x0, y0, x1, y1), (z0 - across * y0 + out[0] - slope * x0, slope, across))


def _layers_of(form: PipeForm, length: float, lifted: float, neck: float) -> list[list[Piece]]:
    """Pipe, ears, sockets, then kerb and hopper head."""
    side, (kerb, wide, deep), half = form.side_mm + lifted, form.kerb_mm, form.width_mm / 2
    kerb = min(kerb, length / 4)
    shoe = min(kerb + form.shoe_mm, length / 2) if form.shoe_mm else 0.0
    bend = length - neck - form.hopper_mm[0]
    bend = max(bend, shoe + _FLAT_MM)
    pipe = list(_run(form, shoe, bend, (side, side)))
    if shoe:
        pipe += _run(form, kerb, shoe, (side + form.shoe_out_mm, side))
    if length - bend > _FLAT_MM:
        pipe += _run(form, bend, length, (side, side + neck))
    ears, sockets = [], list[Piece]()
    for at in _sockets(form, shoe, bend):
        x0, x1 = at - form.socket_mm / 2, at + form.socket_mm / 2
        ears.append(Piece(box(x0, -half - form.ear_mm, x1, half + form.ear_mm), (side, 0.0, 0.0)))
        sockets += _run(form, x0, x1, (side, side), form.socket_out_mm)
    ends = [Piece(box(0.0, -wide / 2, kerb, wide / 2), (deep + lifted, 0.0, 0.0))] if shoe else []
    if form.hopper_mm[0] > 0:
        ends += _hopper(form, max(length - form.hopper_mm[0], bend), length, lifted)
    return [layer for layer in (pipe, ears, sockets, ends) if layer]


def _sockets(form: PipeForm, low: float, high: float) -> list[float]:
    """Middles of the sockets: one under the bend, one over the shoe, and as many between as the spacing wants."""
    first, last = low + form.socket_mm, high - form.socket_mm / 2 - _FLAT_MM
    if last - first < 2 * form.socket_mm:
        return [(low + high) / 2] if high - low > 2 * form.socket_mm else []
    count = ceil((last - first) / form.spacing_mm - 1e-6)
    return [float(at) for at in np.linspace(first, last, count + 1)]


def _hopper(form: PipeForm, x0: float, x1: float, lifted: float) -> list[Piece]:
    """Draw a hopper head: a funnel, a box over it, and a rim."""
    half, wide, deep = form.width_mm / 2, form.hopper_mm[1] / 2, form.hopper_mm[2] + lifted
    rim, middle = x1 - HOPPER_RIM_SHARE * (x1 - x0), x0 + 0.45 * (x1 - x0)
    thick = form.socket_out_mm
    low = form.out_mm + lifted
    slope = (deep - low) / (middle - x0)
    funnel = np.array([[x0, -half], [middle, thick - wide], [middle, wide - thick], [x0, half]])
    return [
        Piece(funnel, (low - slope * x0, slope, 0.0)),
        Piece(box(middle, thick - wide, rim, wide - thick), (deep, 0.0, 0.0)),
        Piece(box(rim, -wide, x1, wide), (deep + thick, 0.0, 0.0)),
    ]


def _clipped(piece: Piece, start: float, end: float) -> Piece | None:
    """Return what of a piece lies between two places, moved to the first; None where nothing does."""
    ring = piece.ring
    for at, sign in ((start, 1.0), (end, -1.0)):
        inside = sign * (ring[:, 0] - at)
        corners = []
        for k in range(len(ring)):
            a, b = inside[k], inside[(k + 1) % len(ring)]
            if a >= 0:
                corners.append(ring[k])
            if (a < 0) != (b < 0):
                corners.append(ring[k] + (ring[(k + 1) % len(ring)] - ring[k]) * a / (a - b))
        if len(corners) < 3:
            return None
        ring = np.array(corners)
    if np.ptp(ring[:, 0]) < _GRID_MM:
        return None
    a, b, c = piece.plane
    return Piece(ring - np.array([start, 0.0]), (a + b * start, b, c))
