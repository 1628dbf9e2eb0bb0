"""Random paths of cable runs on a wall."""

from hypothesis import assume
from hypothesis import strategies as st

from halfbat.parts.bent_line import BentLine, plain_points

RISING = ("up", "right", "left", "aslant")


@st.composite
def seam_corners(draw, length_mm, height_mm):
    """Corners of a path from the foot of a wall to its top that never leads down, mm."""
    u, v = draw(st.floats(0.1, 0.9)) * length_mm, 0.0
    points = [(u, v)]
    for step in draw(st.lists(st.sampled_from(RISING), max_size=5)):
        u, v = points[-1]
        v += 0.0 if step in ("right", "left") else draw(st.floats(0.05, 0.35)) * height_mm
        if step != "up":
            reach = draw(st.floats(0.03, 0.4)) * length_mm
            u += -reach if step == "left" or (step == "aslant" and draw(st.booleans())) else reach
        if v > 0.85 * height_mm or not 0.02 * length_mm < u < 0.98 * length_mm:
            break
        if len(points) == 1:
            points.append((points[0][0], draw(st.floats(0.05, 0.2)) * height_mm))
            v = max(v, points[-1][1])
        points.append((u, v))
    points.append((points[-1][0], height_mm))
    return tuple(points)


@st.composite
def free_corners(draw, length_mm, height_mm):
    """Corners of any path within a wall."""
    count = draw(st.integers(2, 7))
    points = [(draw(st.floats(0.02, 0.98)) * length_mm, draw(st.floats(0.05, 0.95)) * height_mm) for _ in range(count)]
    kept = plain_points([(round(u, 3), round(v, 3)) for u, v in points])
    assume(len(kept) > 1)
    return kept


def band_polygon(line: BentLine, half_mm: float):
    """The band along a line as a polygon of shapely, leg by leg."""
    from shapely import Polygon, unary_union

    # On a grid far finer than that of solids, on which mitred rings meet exactly.
    return unary_union([Polygon(ring) for ring in line.bands(-half_mm, half_mm)], grid_size=1e-7)
