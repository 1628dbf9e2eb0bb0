import os
from pathlib import Path

import numpy as np
import pytest
import trimesh

from halfbat.building import Mesh, mesh_from_box, read_obj
from halfbat.building.orient import orient_planes
from halfbat.building.planes import find_planes
from halfbat.building.tidy import tidy_mesh
from sample_meshes import L_PLAN, SQUARE, joined, mesh_of, prism, prism_rings

DATA = Path(__file__).parents[2] / "data"
CLOSED = sorted(file.stem for file in DATA.glob("*.obj"))
CLOSED_ELSEWHERE = ["b02_house_porch_triangulated", "b05_hip"]


def oriented(mesh):
    tidy = tidy_mesh(mesh)
    return tidy, orient_planes(tidy.points, find_planes(tidy))


def volume(tidy, planes):
    """Signed volume by the divergence theorem over plane polygons."""
    middle = tidy.points.mean(axis=0)
    return sum(float(plane.normal @ (plane.centre - middle)) * plane.area_m2 for plane in planes) / 3


@pytest.mark.parametrize("floor", [True, False])
@pytest.mark.parametrize("lid", [True, False])
@pytest.mark.parametrize("flips", [(), (0, 3), (1, 2, 4), (0, 1, 2, 3, 4, 5)])
def test_walls_look_outward_with_and_without_floor_and_lid(floor, lid, flips):
    rings = prism_rings(L_PLAN, floor=floor, lid=lid)
    tidy, found = oriented(mesh_of(*(ring[::-1] if i in flips else ring for i, ring in enumerate(rings))))
    assert found.turned == flips
    assert found.inner == ()
    for plane in found.planes:
        assert plane.agrees.all() == (not set(plane.faces.tolist()) & set(flips))
    if floor and lid:
        assert volume(tidy, found.planes) == pytest.approx(3 * 36)


@pytest.mark.parametrize("name", CLOSED + CLOSED_ELSEWHERE)
def test_real_closed_buildings_are_turned_back_to_their_volume(name):
    folder = DATA if name in CLOSED else Path(os.environ.get("HALFBAT_BUILDINGS", ""))
    if name in CLOSED_ELSEWHERE and "HALFBAT_BUILDINGS" not in os.environ:
        pytest.skip("HALFBAT_BUILDINGS is not set")
    mesh = read_obj(folder / f"{name}.obj")
    _, right = oriented(mesh)
    assert right.turned == ()
    random = np.random.default_rng(1)
    flips = set(np.flatnonzero(random.random(len(mesh.faces)) < 0.4).tolist())
    mixed = Mesh(mesh.vertices, tuple(face[::-1] if i in flips else face for i, face in enumerate(mesh.faces)))
    tidy, found = oriented(mixed)
    flips -= set(tidy.dropped)
    assert set(found.turned) == flips
    assert volume(tidy, found.planes) == pytest.approx(volume(tidy, right.planes), rel=1e-3)


def test_volume_agrees_with_trimesh():
    mesh = read_obj(DATA / "g1_cube_minus_octant.obj")
    judge = trimesh.load(DATA / "g1_cube_minus_octant.obj", process=False)
    tidy, found = oriented(mesh)
    assert volume(tidy, found.planes) == pytest.approx(judge.volume, rel=1e-4) == pytest.approx(56, rel=1e-4)


@pytest.mark.parametrize(
    "inner",
    [
        [[(3, 0, 0), (3, 4, 0), (3, 4, 3), (3, 0, 3)]],
        [[(0, 0, 1.5), (6, 0, 1.5), (6, 4, 1.5), (0, 4, 1.5)]],
        [[(3, 1, 0.5), (3, 2, 0.5), (3, 2, 2), (3, 1, 2)]],
        prism_rings([(1, 1), (2, 1), (2, 2), (1, 2)], base=0.5, top=2),
    ],
    ids=["partition", "ceiling", "loose sheet", "cupboard"],
)
@pytest.mark.parametrize("closed", [True, False])
def test_what_stands_inside_is_set_apart(inner, closed):
    if not closed and len(inner) > 1:
        pytest.skip("a cupboard under an open top sees the sky")
    _, found = oriented(joined(prism(SQUARE, floor=closed, lid=closed), mesh_of(*inner)))
    outside = 6 if closed else 4
    assert sorted(face for plane in found.inner for face in plane.faces.tolist()) == [
        outside + i for i in range(len(inner))
    ]
    assert len(found.planes) == outside


def test_a_courtyard_open_to_the_sky_is_outside():
    court = prism_rings([(2, 1), (2, 3), (4, 3), (4, 1)], floor=False, lid=False)
    _, found = oriented(mesh_of(*prism_rings(SQUARE, floor=False, lid=False), *court))
    assert found.inner == ()
    assert found.turned == ()


def test_a_box_upside_down_is_turned():
    mesh = mesh_from_box(4, 3, 2)
    _, found = oriented(Mesh(mesh.vertices * [1, 1, -1], mesh.faces))
    assert found.turned == (0, 1, 2, 3, 4, 5)
