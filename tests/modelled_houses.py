"""Houses as people model them, each with something that roofs and walls do at corners; metres."""

import math

from roof_solids import block, gabled, hipped, hull, lean_to, mesh_of_solid


def prism(plan, base, top):
    """An upright prism over a convex plan."""
    return hull([(x, y, z) for x, y in plan for z in (base, top)])


def regular(count, radius, x=0.0, y=0.0, turn=0.0):
    """Corners of a regular polygon."""
    angles = [turn + 2 * math.pi * k / count for k in range(count)]
    return [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles]


def spired(plan, eaves, rise):
    """A tower on a convex plan under a pyramid."""
    x, y = (sum(p[k] for p in plan) / len(plan) for k in (0, 1))
    return hull([*((a, b, z) for a, b in plan for z in (0.0, eaves)), (x, y, eaves + rise)])


def unequal_hips(plan="L"):
    """Wings under hips of different widths and so different heights, eaves level."""
    main = hull([*corners(0, 0, 10, 6, 3.0), (2.5, 3, 5.4), (7.0, 3, 5.4)])
    wing = hull([*corners(6.2, 3, 9.8, 9, 3.0), (8.0, 4.0, 4.6), (8.0, 7.6, 4.6)])
    solid = main + wing
    if plan == "U":
        solid += hull([*corners(0.4, 3, 3.6, 8.4, 3.0), (2.0, 4.0, 4.4), (2.0, 6.6, 4.4)])
    if plan == "T":
        solid = main + hull([*corners(3.2, 3, 6.8, 9, 3.0), (5.0, 4.0, 4.6), (5.0, 7.6, 4.6)])
    return solid


def corners(x0, y0, x1, y1, top, base=0.0):
    """The eight corners of an upright box."""
    return [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (base, top)]


def lean_to_at_gable():
    return gabled(0, 0, 8, 5, 3.2, 2.2) + lean_to(7.99, 0.8, 10.2, 4.2, 3.0, 2.2)


def stepped_parapets():
    solid = block(0, 0, 8, 5, 3.0)
    for k, top in enumerate((3.4, 3.9, 4.5)):
        for x in (-0.3, 8.0):
            solid += block(x, 0.8 * k, x + 0.3, 5 - 0.8 * k, top)
    return gabled(0, 0, 8, 5, 3.0, 1.2) + solid


def pyramid_tower():
    return gabled(0, 0, 9, 5, 3.2, 2.0) + hull([*corners(-1.4, -1.4, 1.8, 1.8, 6.4), (0.2, 0.2, 9.0)])


def m_roof():
    return gabled(0, 0, 9, 4.5, 4.0, 1.8) + gabled(0, 4.5, 9, 9, 4.0, 1.8)


def mansard():
    low = [(x, y, 3.0) for x in (0, 9) for y in (0, 6)]
    knee = [(x, y, 5.0) for x in (0.9, 8.1) for y in (0.9, 5.1)]
    return hull(corners(0, 0, 9, 6, 3.0) + low + knee) + hull([*knee, (3.0, 3, 5.9), (6.0, 3, 5.9)])


def half_hip():
    foot = corners(0, 0, 9, 5, 2.8)
    return hull([*foot, *((x, y, 4.0) for x in (0, 9) for y in (1.2, 3.8)), (1.0, 2.5, 5.3), (8.0, 2.5, 5.3)])


def catslide():
    foot = [(x, y, z) for x in (0, 8) for y, tall in ((0, 3.6), (8, 1.9)) for z in (0.0, tall)]
    return hull([*foot, *((x, 3.0, 5.1) for x in (0, 8))])


def terrace():
    solid = gabled(0, 0, 5, 7, 5.0, 2.4)
    solid += gabled(5.2, 0, 10, 7, 5.4, 2.4) + gabled(10.2, 0, 15, 7, 5.8, 2.4)
    for x, top in ((5.0, 8.1), (10.0, 8.5)):
        solid += hull(
            [(x + d, y, z) for d in (0, 0.2) for y, z in ((0, 0), (7, 0), (0, top - 2.2), (7, top - 2.2), (3.5, top))]
        )
    return solid


def porch_at_gable():
    return gabled(0, 0, 8, 6, 3.0, 2.6) + gabled(7.9, 2.2, 9.6, 4.0, 2.1, 0.7)


def saw_tooth():
    return sum_of(
        hull(
            [
                *((x, y, z) for x in (4 * k, 4 * k + 4) for y in (0, 8) for z in (0.0, 4.0)),
                *((4 * k, y, 5.8) for y in (0, 8)),
            ]
        )
        for k in range(3)
    )


def bayed(count=8):
    return gabled(0, 0, 9, 6, 5.2, 2.4) + spired(regular(count, 1.7, 3.0, -0.3, math.pi / count), 5.0, 1.4)


def cut_corners():
    plan = [(1.2, 0), (7.8, 0), (9, 1.2), (9, 4.8), (7.8, 6), (1.2, 6), (0, 4.8), (0, 1.2)]
    return prism(plan, 0.0, 3.6)


def battered():
    lean = 3.2 * math.tan(math.radians(3.0))
    low = [(x, y, 0.0) for x in (-lean, 8 + lean) for y in (-lean, 5 + lean)]
    return hull([*low, *((x, y, 3.2) for x in (0, 8) for y in (0, 5)), *((x, 2.5, 4.9) for x in (0, 8))])


def sum_of(solids):
    """Several solids as one."""
    whole = None
    for solid in solids:
        whole = solid if whole is None else whole + solid
    return whole


HOUSES = {
    "L of unequal hips": unequal_hips,
    "T of unequal hips": lambda: unequal_hips("T"),
    "U of unequal hips": lambda: unequal_hips("U"),
    "lean-to against a gable": lean_to_at_gable,
    "stepped parapets": stepped_parapets,
    "tower with a pyramid": pyramid_tower,
    "M roof": m_roof,
    "mansard": mansard,
    "half hip": half_hip,
    "catslide": catslide,
    "terrace": terrace,
    "porch at a gable": porch_at_gable,
    "saw-tooth": saw_tooth,
    "octagonal bay": bayed,
    "hexagonal bay": lambda: bayed(6),
    "cut corners": cut_corners,
    "octagon with a spire": lambda: spired(regular(8, 3.0), 4.0, 3.0),
    "battered walls": battered,
    "courtyard under a flat roof": lambda: block(0, 0, 14, 12, 4) - block(5, 4, 9, 8, 5, -1),
    "light well through a ridge": lambda: gabled(0, 0, 14, 10, 4, 3) - block(5, 3.5, 8, 6.5, 9, -1),
    "long shed": lambda: gabled(0, 0, 100, 12, 5.0, 3.0),
    "long hipped range": lambda: hipped(0, 0, 60, 9, 4.0, 35.0),
    "privy": lambda: lean_to(0, 0, 1.5, 1.2, 2.3, 1.9),
    "gabled privy": lambda: gabled(0, 0, 1.4, 1.2, 2.0, 0.5),
}


def house_mesh(name, turn_deg=0.0):
    """Return a house as a mesh of triangles."""
    return mesh_of_solid(HOUSES[name](), turn_deg, f"{name}.obj")
