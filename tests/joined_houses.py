"""Further houses as people model them: parts that stand against each other, parapets, lean-tos, bays; metres."""

import math

from modelled_houses import corners, prism, regular, spired, sum_of
from roof_solids import block, gabled, hipped, hull, lean_to


def raked(x0, x1, y0, y1, foot, eaves, rise):
    """A wall across a ridge along x, raked over two slopes."""
    middle = (y0 + y1) / 2
    profile = [(y0, foot), (y1, foot), (y0, eaves), (y1, eaves), (middle, eaves + rise)]
    return hull([(x, y, z) for x in (x0, x1) for y, z in profile])


def cross_gable():
    return gabled(0, 0, 11, 6, 3.2, 2.4) + gabled(3.5, -1.5, 7.5, 7.5, 3.2, 2.0, along_x=False)


def parapet_gables():
    ends = [raked(x, x + 0.33, 0, 6, 0.0, 3.6, 2.4) for x in (0.0, 8.67)]
    return gabled(0, 0, 9, 6, 3.2, 2.4) + sum_of(ends)


def basilica():
    hall = gabled(0, 0, 12, 6, 6.0, 2.2)
    aisles = [
        hull([(x, y, z) for x in (0, 12) for y, z in ((a, 0.0), (b, 0.0), (a, 4.4), (b, 2.8))])
        for a, b in ((0.0, -2.6), (6.0, 8.6))
    ]
    return hall + sum_of(aisles)


def crow_steps(thick=0.45):
    solid = gabled(0, 0, 9, 6, 3.2, 2.4)
    for x in (0.0, 9.0 - thick):
        for k in range(5):
            solid += block(x, 0.6 * k, x + thick, 6 - 0.6 * k, 3.5 + 0.6 * k)
    return solid


def half_hip_over_l():
    main = hull(
        [
            *corners(0, 0, 9, 5, 2.8),
            *((x, y, 4.0) for x in (0, 9) for y in (1.2, 3.8)),
            (1.0, 2.5, 5.3),
            (8.0, 2.5, 5.3),
        ]
    )
    return main + gabled(5.0, 2.5, 9.0, 9.0, 2.8, 1.92, along_x=False)


def porch_on_hip():
    return hipped(0, 0, 10, 7, 3.0, 35.0) + gabled(3.8, -1.6, 6.2, 2.0, 2.4, 1.0, along_x=False)


def clerestory():
    return gabled(0, 0, 14, 8, 4.2, 2.4) + gabled(2.0, 3.1, 12.0, 4.9, 6.6, 0.5)


def wings_on_three_sides():
    low = block(-2.5, -2.0, 10.5, 5.0, 2.8)
    return low + block(0, 0, 8, 5, 5.6)


def stepped_terrace():
    return sum_of(gabled(5.0 * k, 0, 5.0 * k + 5.0, 7, 5.0 + 0.6 * k, 2.4) for k in range(3))


def on_a_slope():
    return gabled(0, 0, 6, 6, 4.0, 2.0) + gabled(6, 0, 11, 6, 4.0, 2.0) - block(6, -1, 12, 7, 0.8, -0.1)


def bay_window():
    bay = prism([(2.0, 0.1), (2.8, -0.9), (4.6, -0.9), (5.4, 0.1)], 0.0, 2.7)
    return gabled(0, 0, 8, 6, 5.0, 2.2) + bay


def corner_turret():
    return hipped(0, 0, 9, 7, 4.6, 38.0) + spired(regular(8, 1.9, 0.2, 0.2, math.pi / 8), 5.8, 3.2)


def mono_with_parapets():
    roof = hull([(x, y, z) for x in (0, 7) for y, z in ((0, 0.0), (5, 0.0), (0, 2.6), (5, 3.3))])
    walls = block(-0.25, 0.0, 0.0, 5.25, 3.9) + block(7.0, 0.0, 7.25, 5.25, 3.9) + block(-0.25, 5.0, 7.25, 5.25, 3.9)
    return roof + walls


def flat_ring_parapet():
    return block(0, 0, 8, 6, 3.6) - block(0.3, 0.3, 7.7, 5.7, 4.0, 3.1)


def tilted_flat():
    return hull([(x, y, z) for x in (0, 7) for y in (0, 5) for z in (0.0, 3.0 + 0.02 * y)])


def gable_with_holes():
    solid = gabled(0, 0, 8, 6, 3.2, 2.6)
    for x0, y0, x1, y1, low, high in (
        (-0.2, 0.5, 0.3, 1.5, 0.9, 2.3),
        (-0.2, 2.5, 0.3, 3.5, 3.4, 4.6),
        (0.5, -0.2, 1.4, 0.15, 0.9, 2.2),
        (6.4, -0.2, 7.5, 0.15, 0.0, 2.1),
    ):
        solid -= block(x0, y0, x1, y1, high, low)
    return solid


def l_of_gables():
    return gabled(0, 0, 10, 5, 3.0, 2.2) + gabled(6.0, 2.5, 10, 10, 3.0, 1.8, along_x=False)


def t_of_gables():
    return gabled(0, 0, 11, 5, 3.0, 2.2) + gabled(3.5, 2.5, 7.5, 9, 3.0, 1.8, along_x=False)


def u_of_gables():
    wings = [gabled(x, 2.5, x + 4.0, 9, 3.0, 1.8, along_x=False) for x in (0.0, 8.0)]
    return gabled(0, 0, 12, 5, 3.0, 2.2) + sum_of(wings)


def lean_to_at_side():
    return gabled(0, 0, 8, 5, 4.4, 2.0) + lean_to(8.0, 0.0, 10.4, 5.0, 3.4, 2.4)


JOINED = {
    "cross gable": cross_gable,
    "parapet gables": parapet_gables,
    "basilica": basilica,
    "crow steps": crow_steps,
    "half hip over L": half_hip_over_l,
    "pyramid": lambda: hipped(0, 0, 6, 6, 3.2, 40.0),
    "porch on a hip": porch_on_hip,
    "engine shed with clerestory": clerestory,
    "flat block with low wings": wings_on_three_sides,
    "stepped terrace": stepped_terrace,
    "on a slope": on_a_slope,
    "bay window": bay_window,
    "corner turret": corner_turret,
    "mono-pitch with parapets": mono_with_parapets,
    "flat with parapet": flat_ring_parapet,
    "flat, tilted a little": tilted_flat,
    "gables with openings": gable_with_holes,
    "L of gables": l_of_gables,
    "T of gables": t_of_gables,
    "U of gables": u_of_gables,
    "lean-to along a gable": lean_to_at_side,
}
