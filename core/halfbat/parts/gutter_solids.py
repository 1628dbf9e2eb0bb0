"""Gutters built: solids drawn out along the edge."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.drawn_out import drawn_out
from halfbat.parts.gutters import LEAN_MM, RIM_MM, Gutter
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.roof_boards import SHORTEST_MM
from halfbat.solids.solid import Solid

Array = NDArray[np.float64]


def pieces_mm(gutter: Gutter, longest_mm: float) -> list[tuple[float, float]]:
    """From where to where along the edge each piece goes: as long as the printer takes, to the middle of a bracket."""
    first, last = gutter.span_mm
    cuts = [first]
    while last - cuts[-1] > longest_mm:
        here = [at for at in gutter.brackets_mm if cuts[-1] + SHORTEST_MM < at <= cuts[-1] + longest_mm]
        cuts.append(here[-1] if here else cuts[-1] + longest_mm)
    return list(zip(cuts, [*cuts[1:], last], strict=True))


def build_gutter(gutter: Gutter, piece: tuple[float, float], gap_mm: float) -> tuple[Solid, Matrix]:
    """Build a piece of a gutter, lying on its back, which goes against the fascia.

    Parameters
    ----------
    gutter : Gutter
        With its outlets.
    piece : tuple of float
        Of `pieces_mm`.
    gap_mm : float
        Left where two pieces meet.
    """
    run, (first, last) = gutter.run, gutter.span_mm
    low, high = gutter.cuts_mm
    every = np.ones(len(run.section_mm))
    start = low if piece[0] <= first else every * (piece[0] + gap_mm / 2)
    end = high if piece[1] >= last else every * (piece[1] - gap_mm / 2)
    plain, stopped, strap = gutter.shape(), gutter.shape(stopped=True), gutter.shape(strap=True)
    rings: list[tuple[Array, Array]] = []
    begins, ends = float(start.max()), float(end.min())
    if piece[0] <= first and gutter.stops[0]:
        rings += [(start, stopped), (start + RIM_MM - LEAN_MM, stopped)]
        start = start + RIM_MM
    stations = [(at - gutter.bracket_mm[1] / 2, at + gutter.bracket_mm[1] / 2, strap) for at in gutter.brackets_mm]
    half = gutter.outlet_mm[1] / 2
    stations += [(at - half, at + half, gutter.shape(foot_mm=foot)) for at, foot in gutter.outlets]
    rings.append((start, plain))
    for a, b, shape in sorted(stations, key=lambda one: one[0]):
        if b <= begins or a >= ends:
            continue
        if a <= float(start.max()):
            rings[-1] = (start, shape)
        else:
            rings += [(every * a, plain), (every * (a + LEAN_MM), shape)]
        if b >= ends:
            rings.append((end, shape))
            break
        rings += [(every * (b - LEAN_MM), shape), (every * b, plain)]
    else:
        if piece[1] >= last and gutter.stops[1]:
            rings += [(end - RIM_MM, plain), (end - RIM_MM + LEAN_MM, stopped), (end, stopped)]
        else:
            rings.append((end, plain))
    places = [np.column_stack([shape[:, 0], at, shape[:, 1]]) for at, shape in rings]
    solid = drawn_out(places, plain)
    turned = Solid(solid.vertices[:, [1, 2, 0]], solid.triangles)
    return as_printed(turned, frame(run.along, run.up, run.outward, run.start))
