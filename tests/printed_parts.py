"""Small plates with one fault each, for tests of the checks."""

from dataclasses import replace

import numpy as np

from halfbat.parts.glyphs import LEAST_HEIGHT, text_size, text_strokes
from halfbat.parts.part import Part
from halfbat.parts.placing import as_printed
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief


def box(x0, y0, x1, y1):
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=float)


def make(solid, kind="skin", process="resin", number="WA1", place=None, **more):
    solid, place = as_printed(solid, np.eye(4) if place is None else place)
    return Part(number, "Sample", kind, process, solid, place, **more)


def stepped(outline, levels, holes=(), back=()):
    """A plate: ``levels`` are (height, rings) from the lowest layer up, ``back`` are (depth, rings) cut from below."""
    heights, layers = [levels[0][0]], []
    for height, rings in levels[1:]:
        layers.append(Layer.patches(rings, len(heights)))
        heights.append(height)
    through = [Layer.patches(list(holes), OUTSIDE)] if holes else []
    base = Layer.union([outline], 0)
    depths, under = [0.0], []
    for depth, rings in back:
        under.append(Layer.patches(rings, len(depths)))
        depths.append(depth)
    front = Relief.flat(Figure((base, *layers, *through)), heights)
    return plate(front, Relief.flat(Figure((base, *under, *through)), depths))


def brick_plate(length=20.0, width=12.0, base=1.0, joint=0.15, depth=0.1, brick=1.35, course=0.45, land=None):
    """Bricks in stack bond; with a land both ends lean in at 45 degrees below it."""
    module, gauge = brick + joint, course + joint
    x, y = np.meshgrid(np.arange(0, length - module, module) + joint, np.arange(0, width - gauge, gauge) + joint)
    bricks = np.stack([x, y, x + brick, y + course], axis=-1).reshape(-1, 4)
    if land is not None:  # bricks run to the ends, as at a corner
        bricks[bricks[:, 0] < 1.0, 0] = 0.0
        bricks[bricks[:, 2] > length - 2.0, 2] = length
    outline = Layer.union([box(0, 0, length, width)], 0)
    front = Relief.flat(Figure((outline, Layer.rectangles(bricks, 1))), [base, base + depth])
    if land is None:
        return plate(front, Relief.flat(Figure((outline,)), [0.0]))
    lift = base + depth - land
    ends = Layer.rectangles(np.array([[0, 0, lift, width], [length - lift, 0, length, width]]), [1, 2])
    planes = np.array([[0.0, 0.0, 0.0], [lift, -1.0, 0.0], [lift - length, 1.0, 0.0]])
    front = Relief.flat(Figure((outline, Layer.rectangles(bricks, 1))), [max(base, lift + 0.01), base + depth])
    return plate(front, Relief(Figure((outline, ends)), planes))


def marked(
    number, *, height=5.0, stroke=0.6, depth=0.3, thickness=1.2, mirrored=False, size=None, at=None, kind="skin"
):
    """A plate with a number cut into its back, read from there unless mirrored."""
    wide, high = text_size(number, max(height, LEAST_HEIGHT * stroke), stroke)
    size = size or (wide + 6.0, high + 6.0)
    at = at or ((size[0] - wide) / 2, (size[1] - high) / 2)
    rings = text_strokes(number, max(height, LEAST_HEIGHT * stroke), stroke)
    if not mirrored:
        rings = [np.stack([wide - ring[:, 0], ring[:, 1]], axis=1)[::-1] for ring in rings]
    rings = [ring + np.array(at) for ring in rings]
    return stepped(box(0, 0, *size), [(thickness, ())], back=[(depth, rings)])


def settings(**processes):
    """Default settings with figures of a process changed: ``settings(resin={"min_wall_mm": 1.0})``."""
    made = Settings()
    for name, changes in processes.items():
        made = replace(made, **{name: replace(getattr(made, name), **changes)})
    return made
