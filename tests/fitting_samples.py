"""Random buildings of several masses and roofs, made by a boolean library, for tests that parts fit together."""

import math

from hypothesis import strategies as st

from roof_solids import block, hull, mesh_of_solid


def roofed(x0, y0, x1, y1, eaves, rise, along_x=True, share=0.5):
    """A gable whose ridge stands at a share of its width."""
    foot = [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (0.0, eaves)]
    if along_x:
        ridge = [(x, y0 + (y1 - y0) * share, eaves + rise) for x in (x0, x1)]
    else:
        ridge = [(x0 + (x1 - x0) * share, y, eaves + rise) for y in (y0, y1)]
    return hull(foot + ridge)


@st.composite
def meshes(draw):
    """A gable, hip, L, T, lean-to, parapet or blocks of different heights, turned."""
    length, width, eaves = draw(st.floats(5.0, 9.0)), draw(st.floats(3.8, 5.5)), draw(st.floats(2.4, 4.0))
    rise = width / 2 * math.tan(math.radians(draw(st.floats(18.0, 50.0))))
    kind = draw(st.sampled_from(("gable", "lopsided", "hip", "L", "T", "lean-to", "parapet", "blocks")))
    share = draw(st.floats(0.35, 0.65)) if kind == "lopsided" else 0.5
    solid = roofed(0, 0, length, width, eaves, rise, share=share)
    if kind == "hip":
        near, far = draw(st.floats(1.3, length * 0.4)), draw(st.floats(1.3, length * 0.4))
        foot = [(x, y, z) for x in (0, length) for y in (0, width) for z in (0.0, eaves)]
        solid = hull([*foot, (near, width / 2, eaves + rise), (length - far, width / 2, eaves + rise)])
    elif kind in ("L", "T"):
        wide = draw(st.floats(2.8, 3.4))
        start = length - wide if kind == "L" else draw(st.floats(0.6, length - wide - 0.6))
        lower = draw(st.floats(0.6, 0.9))
        top = eaves * draw(st.sampled_from((1.0, 0.85)))
        solid += roofed(start, width / 2, start + wide, width + 2.5, top, rise * lower * wide / width, False)
    elif kind == "lean-to":
        high, deep = eaves * draw(st.floats(0.75, 0.95)), draw(st.floats(1.8, 2.6))
        low = max(1.8, high - deep * draw(st.floats(0.15, 0.4)))
        foot = [(x, y, 0.0) for x in (0.8, length - 0.8) for y in (width - 0.01, width + deep)]
        tops = [(x, y, z) for x in (0.8, length - 0.8) for y, z in ((width - 0.01, high), (width + deep, low))]
        solid += hull([*foot, *tops])
    elif kind == "parapet":
        foot = [(x, y, z) for x in (-0.3, 0.0) for y in (0, width) for z in (0.0, eaves + 0.4)]
        solid += hull([*foot, *((x, width / 2, eaves + rise + 0.5) for x in (-0.3, 0.0))])
    elif kind == "blocks":
        solid += block(length - 0.01, 0.6, length + 3.0, width - 0.6, eaves * draw(st.floats(0.6, 1.5)))
        solid += block(-3.0, 0.0, 0.01, width, eaves * draw(st.floats(0.5, 0.85)))
    return mesh_of_solid(solid, draw(st.sampled_from((0.0, 90.0, 23.0, 211.0))))
