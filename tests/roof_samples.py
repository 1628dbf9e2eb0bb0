"""Slopes and solids for tests of roofs."""

import numpy as np

from halfbat.parts.roof_relief import roof_layers, roof_planes
from halfbat.settings import ResinProcess
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.surfaces.roofing import lay_roof, roof_steps
from halfbat.units import parse_scale

RECTANGLE = ([[0, 0], [20, 0], [20, 12], [0, 12]], ("eaves", "verge", "ridge", "verge"))
HIP = ([[0, 0], [25, 0], [16.5, 12], [8.5, 12]], ("eaves", "hip", "ridge", "hip"))
TRIANGLE = ([[0, 0], [17, 0], [8.5, 12]], ("eaves", "hip", "hip"))
VALLEY = ([[0, 0], [15, 0], [23.5, 12], [0, 12]], ("eaves", "valley", "ridge", "verge"))
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
