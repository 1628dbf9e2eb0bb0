"""Figures to try the solids on: walls of bricks, gables, arches."""

import numpy as np

from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief

LENGTH_MM, GAUGE_MM, JOINT_MM = 2.25, 0.75, 0.1
JOINT, BRICK = 0, 1
BED_MM, FACE_MM = 1.08, 1.2


def ring(x0, y0, x1, y1):
    """An upright rectangle, anticlockwise."""
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]


def outline(x0, y0, x1, y1):
    """A rectangle as the first layer of a figure."""
    return Layer.union([ring(x0, y0, x1, y1)], JOINT)


def bricks(across, courses):
    """Rectangles (N, 4) of stretcher bond with about so many bricks in a course, and the wall's length and height."""
    length, height = across * LENGTH_MM, courses * GAUGE_MM
    rows = []
    for course in range(courses):
        start = np.arange(0.0 if course % 2 == 0 else -LENGTH_MM / 2, length, LENGTH_MM)
        low, high = course * GAUGE_MM + JOINT_MM, (course + 1) * GAUGE_MM
        left, right = np.maximum(start, 0.0), np.minimum(start + LENGTH_MM - JOINT_MM, length)
        rows.append(np.stack([left, np.full_like(left, low), right, np.full_like(left, high)], axis=1)[right > left])
    return np.concatenate(rows), length, height


def arch(left, sill, width, springing, segments=24):
    """An opening with a round head of so many segments, anticlockwise."""
    angle = np.linspace(0.0, np.pi, segments + 1)
    middle, radius = left + width / 2, width / 2
    head = np.stack([middle + radius * np.cos(angle), springing + radius * np.sin(angle)], axis=1)
    return np.concatenate([[[left, sill], [left + width, sill]], head])


def arches(length, height, across=8, up=3):
    """Round-headed openings in rows, that fit under a gable from 0.8 of the height."""
    wide, tall = length / across, 0.8 * height / up
    openings = []
    for number in range(across * up):
        left, sill = (number % across + 0.3) * wide, (number // across + 0.15) * tall
        openings.append(arch(left, sill, 0.4 * wide, sill + 0.4 * tall))
    return openings


def plain_wall(across, courses):
    """Front and back of a wall of bricks without openings."""
    rects, length, height = bricks(across, courses)
    base = outline(0.0, 0.0, length, height)
    front = Figure((base, Layer.rectangles(rects, BRICK)))
    return Relief.flat(front, [BED_MM, FACE_MM]), Relief.flat(Figure((base,)), [0.0])


def arched_wall(across, courses):
    """Front and back of the same wall with a gable and 24 arched openings of 24 segments."""
    rects, length, height = bricks(across, courses)
    gable = [[0, 0], [length, 0], [length, 0.8 * height], [length / 2, height], [0, 0.8 * height]]
    base, openings = Layer.union([gable], JOINT), Layer.patches(arches(length, height), OUTSIDE)
    front = Figure((base, Layer.rectangles(rects, BRICK), openings))
    return Relief.flat(front, [BED_MM, FACE_MM]), Relief.flat(Figure((base, openings)), [0.0])


def slab(layers, heights=(1.0, 1.3), *, openings=(), back=None):
    """A plate of layers over a level back that has the same outline and openings."""
    holes = (Layer.patches(openings, OUTSIDE),) if len(openings) else ()
    front = Relief.flat(Figure((*layers, *holes)), heights)
    return plate(front, back or Relief.flat(Figure((layers[0], *holes)), [0.0] * len(heights)))
