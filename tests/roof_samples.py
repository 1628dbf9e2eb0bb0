"""Slopes and solids for tests of roofs."""

import numpy as np

from halfbat.parts.roof_relief import roof_layers, roof_planes
from halfbat.settings import ResinProcess
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.surfaces.roofing import lay_roof, roof_steps
from halfbat.units import parse_scale

RECTANGLE = ([[0, 0], [40, 0], [40, 24], [0, 24]], ("eaves", "verge", "ridge", "verge"))
HIP = ([[0, 0], [50, 0], [33, 24], [17, 24]], ("eaves", "hip", "ridge", "hip"))
TRIANGLE = ([[0, 0], [34, 0], [17, 24]], ("eaves", "hip", "hip"))
VALLEY = ([[0, 0], [30, 0], [47, 24], [0, 24]], ("eaves", "valley", "ridge", "verge"))
SLOPES = {"rectangle": RECTANGLE, "hip": HIP, "triangle": TRIANGLE, "valley": VALLEY}
BASE_MM = 1.2


def laid(covering, slope=RECTANGLE, scale="1:148", pitch=45, process=None, **asked):
    """A slope covered at the usual steps of a scale."""
    scale = parse_scale(scale)
    steps = roof_steps(scale, process or ResinProcess())
    return lay_roof(slope[0], slope[1], covering, scale, steps, pitch_deg=pitch, **asked)


def roof_solid(roof, outline, holes=()):
    """A skin with the laid roof on its front and a level back."""
    rings = [np.asarray(outline, dtype=float), *(np.asarray(hole, dtype=float)[::-1] for hole in holes)]
    base = Layer.union(rings, 0)
    front = Relief(Figure((base, *roof_layers(roof))), roof_planes(roof, BASE_MM))
    return plate(front, Relief.flat(Figure((base,)), [0.0]))


def areas(rings):
    """Area of each ring (N, K, 2)."""
    nxt = np.roll(rings, -1, axis=1)
    return (rings[..., 0] * nxt[..., 1] - rings[..., 1] * nxt[..., 0]).sum(axis=1) / 2
