"""One box, however its mesh is made, is one kit."""

from itertools import pairwise

import numpy as np
import pytest

from halfbat.building import Mesh
from halfbat.building.erect import structure_from_mesh
from halfbat.kit import make_kit, smallest_face_m
from halfbat.output.stl import stl_bytes
from kit_help import settings_with

LENGTH, WIDTH, HEIGHT = 6.0, 4.0, 2.7
CORNERS = np.array([(x, y, z) for z in (0, HEIGHT) for x, y in ((0, 0), (LENGTH, 0), (LENGTH, WIDTH), (0, WIDTH))])
WALLS = [(0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7)]
FLOOR, LID = (3, 2, 1, 0), (4, 5, 6, 7)


def mesh(faces, corners=CORNERS):
    return Mesh(np.array(corners, dtype=float), tuple(tuple(face) for face in faces), "box.obj")


def unwelded(faces):
    points = [CORNERS[corner] for face in faces for corner in face]
    starts = np.cumsum([0, *(len(face) for face in faces)])
    return mesh([range(a, b) for a, b in pairwise(starts.tolist())], points)


def triangles(faces):
    return [part for a, b, c, d in faces for part in ((a, b, c), (a, c, d))]


def strips(count=5):
    """Walls in upright strips of unequal width, the lid in one face of many corners."""
    shares = np.linspace(0, 1, count + 1) ** 1.5
    points, faces, lid = [], [], []
    for a, b, *_ in WALLS:
        for share in shares[:-1]:
            lid.append(len(points) + 1)
            points += [CORNERS[a] + share * (CORNERS[b] - CORNERS[a]) + (0, 0, z) for z in (0, HEIGHT)]
    total = len(points)
    for i in range(0, total, 2):
        faces.append((i, (i + 2) % total, (i + 3) % total, i + 1))
    return mesh([*faces, lid], points)


VARIANTS = {
    "quads": mesh([*WALLS, FLOOR, LID]),
    "no floor": mesh([*WALLS, LID]),
    "no lid": mesh([*WALLS, FLOOR]),
    "walls only": mesh(WALLS),
    "triangles": mesh(triangles([*WALLS, FLOOR, LID])),
    "unwelded": unwelded([*WALLS, FLOOR, LID]),
    "turned inside out": mesh([face[::-1] for face in [*WALLS, FLOOR, LID]]),
    "some faces turned": mesh([WALLS[0][::-1], *WALLS[1:], FLOOR[::-1], LID]),
    "strips": strips(),
    "faces in another order": mesh([LID, *WALLS[::-1], FLOOR]),
    "a face twice": mesh([*WALLS, FLOOR, LID, WALLS[2]]),
}


def kit_of_mesh(one, **values):
    settings = settings_with(seam__panel_limit_mm=30.0, **values)
    return make_kit(structure_from_mesh(one, smallest_face_m=smallest_face_m(settings)), settings, checked=False)


@pytest.fixture(scope="module")
def plain():
    return kit_of_mesh(VARIANTS["quads"])


@pytest.mark.parametrize("variant", sorted(VARIANTS))
def test_every_mesh_of_the_box_gives_the_same_files(variant, plain):
    kit = kit_of_mesh(VARIANTS[variant])
    assert [part.number for part in kit.parts] == [part.number for part in plain.parts]
    for one, other in zip(kit.parts, plain.parts, strict=True):
        assert stl_bytes(one.solid) == stl_bytes(other.solid)
        np.testing.assert_allclose(one.place, other.place, atol=1e-9)


@pytest.mark.parametrize("degrees", [30.0, 90.0, 211.0])
def test_turned_and_moved_it_gives_parts_of_the_same_sizes(degrees):
    turn = np.radians(degrees)
    matrix = np.array([[np.cos(turn), np.sin(turn), 0], [-np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    # Without numbers, since the walls are called A, B, C from another corner.
    turned = mesh([*WALLS, FLOOR, LID], CORNERS @ matrix + (12.0, -7.0, 3.0))
    kits = [kit_of_mesh(one, mark__make=False) for one in (turned, VARIANTS["quads"])]
    for kind in ("skin", "cover"):
        one, other = (
            sorted((*np.round(part.solid.size_mm, 2), part.solid.volume_mm3) for part in kit.parts if part.kind == kind)
            for kit in kits
        )
        np.testing.assert_allclose(one, other, rtol=2e-3)
    shells = [next(part for part in kit.parts if part.kind == "shell").solid for kit in kits]
    assert shells[0].volume_mm3 == pytest.approx(shells[1].volume_mm3, rel=1e-4)
