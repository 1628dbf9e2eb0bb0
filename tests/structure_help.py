"""What every structure must keep."""

import numpy as np

from halfbat.building.rings import ring_area
from halfbat.building.structure import EdgeKind, SideKind


def wall_area(structure):
    """Area of all walls, openings not taken off."""
    return sum(ring_area(wall.outline_m) for wall in structure.walls)


def slope_area(structure):
    """Area of all slopes in their own planes."""
    return sum(net_area(slope.outline_m, slope.holes_m) for slope in structure.slopes)


def plan_area(structure):
    """Area of all masses seen from above."""
    return sum(net_area(mass.plan_m, mass.holes_m) for mass in structure.masses)


def net_area(outline, holes):
    """Area of a ring without its holes, which run clockwise."""
    return ring_area(outline) + sum(ring_area(hole) for hole in holes)


def edges_of_kind(structure, kind):
    """All edges of one kind, as slope, start and end in space."""
    found = []
    for slope in structure.slopes:
        for ring, edges in [(slope.outline_m, slope.edges), *zip(slope.holes_m, slope.hole_edges, strict=True)]:
            points = slope.place(ring)
            found += [
                (slope.index, points[i], points[(i + 1) % len(points)])
                for i, edge in enumerate(edges)
                if edge.kind is EdgeKind(kind)
            ]
    return found


def assert_sound(structure):
    """Check what holds in every structure: counts, windings, references both ways, frames."""
    assert [wall.index for wall in structure.walls] == list(range(len(structure.walls)))
    assert len({wall.letter for wall in structure.walls}) == len(structure.walls)
    for wall in structure.walls:
        assert ring_area(wall.outline_m) > 0.0, wall.letter
        u, v = wall.outline_m.T
        assert abs(u.min()) < 1e-9 and abs(u.max() - wall.length_m) < 1e-6 and v.min() > -1e-6, wall.letter
        for opening in wall.openings:
            assert ring_area(opening.ring_m) > 0.0
        if wall.right:
            assert np.allclose(structure.walls[wall.right.wall].start_m, wall.end_m)
    for slope in structure.slopes:
        assert len(slope.edges) == len(slope.outline_m) and ring_area(slope.outline_m) > 0.0
        assert len(slope.hole_edges) == len(slope.holes_m)
        frame = np.stack([slope.along, slope.up, slope.normal])
        assert np.allclose(frame @ frame.T, np.eye(3), atol=1e-9) and np.linalg.det(frame) > 0.0
        assert slope.normal[2] > 0.0 and slope.outline_m.min() > -1e-9
        for edge in [*slope.edges, *(edge for ring in slope.hole_edges for edge in ring)]:
            if edge.neighbour is not None:
                other = structure.slopes[edge.neighbour]
                back = [one.neighbour for one in [*other.edges, *(e for ring in other.hole_edges for e in ring)]]
                assert slope.index in back
    for mass in structure.masses:
        assert len(mass.sides) == len(mass.plan_m) and ring_area(mass.plan_m) > 0.0
        assert all(side.other is not None for side in mass.sides if side.kind is not SideKind.OUTER)
    assert sorted(index for mass in structure.masses for index in mass.slopes) == list(range(len(structure.slopes)))
