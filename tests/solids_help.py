"""What the tests ask of every solid: their own judgement beside that of the product."""

import manifold3d
import numpy as np
import shapely
import trimesh

from halfbat.solids.verify import faults


def as_trimesh(solid):
    """A solid as trimesh sees the STL file of it."""
    return trimesh.Trimesh(np.asarray(solid.vertices, dtype=np.float32), solid.triangles, process=False)


def as_manifold(solid):
    """A solid as manifold3d sees the STL file of it."""
    mesh = manifold3d.Mesh(np.asarray(solid.vertices, dtype=np.float32), np.asarray(solid.triangles, dtype=np.uint32))
    return manifold3d.Manifold(mesh)


def rounding_mm3(solid):
    """By how much the volume may change where every vertex is rounded to float32."""
    corners = solid.vertices[solid.triangles]
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1).sum() / 2
    reach = np.abs(solid.vertices).max()
    return float(area * reach * 2.0**-22) + 1e-9


def assert_printable_solid(solid, *, volume_mm3=None, size_mm=None, bounds_mm=None, genus=None, crossings=True):
    """Assert that a solid is one closed outward body without self-intersection, in the judgement of several.

    Parameters
    ----------
    solid : Solid
        Millimetres.
    volume_mm3 : float, optional
        Its volume, but for what rounding to float32 may change.
    size_mm : (3,), optional
        Sides of its box, within 1e-4 mm.
    bounds_mm : (2, 3), optional
        Corners of its box, within 1e-4 mm.
    genus : int, optional
        How many holes go right through it.
    crossings : bool
        Look for triangles that pass through each other too; switch off for very large solids.
    """
    assert faults(solid) == ()
    assert solid.vertices.dtype == np.float64
    assert np.issubdtype(solid.triangles.dtype, np.integer)
    allowance = rounding_mm3(solid)
    judge = as_trimesh(solid)
    assert judge.is_watertight
    assert judge.is_winding_consistent
    assert judge.is_volume
    assert judge.body_count == 1
    assert abs(judge.volume - solid.volume_mm3) <= allowance
    body = as_manifold(solid)
    assert body.status() == manifold3d.Error.NoError
    assert not body.is_empty()
    assert len(body.decompose()) == 1
    assert abs(body.volume() - solid.volume_mm3) <= allowance
    if crossings:
        assert not pierced(solid).size, "triangles pass through each other"
    if volume_mm3 is not None:
        assert abs(solid.volume_mm3 - volume_mm3) <= allowance
    if size_mm is not None:
        np.testing.assert_allclose(solid.size_mm, size_mm, atol=1e-4)
    if bounds_mm is not None:
        np.testing.assert_allclose(solid.bounds_mm, bounds_mm, atol=1e-4)
    if genus is not None:
        assert body.genus() == genus


def pierced(solid, tolerance_mm=2e-4):
    """Pairs (K, 2) of an edge's start and a triangle such that the edge passes through the triangle.

    Only what passes deeper than a tolerance counts: crossings are rounded to a grid of 1e-4 mm, so that slivers
    thinner than that may touch.
    """
    v, t = solid.vertices, np.asarray(solid.triangles)
    corners = v[t]
    edges = np.concatenate([t[:, [0, 1]], t[:, [1, 2]], t[:, [2, 0]]])
    edges = edges[edges[:, 0] < edges[:, 1]]
    ends = v[edges]
    boxes = shapely.box(*corners[..., :2].min(axis=1).T, *corners[..., :2].max(axis=1).T)
    spans = shapely.box(*ends[..., :2].min(axis=1).T, *ends[..., :2].max(axis=1).T)
    which_edge, which = shapely.STRtree(boxes).query(spans)
    near = ends[which_edge, :, 2].max(axis=1) >= corners[which, :, 2].min(axis=1)
    near &= ends[which_edge, :, 2].min(axis=1) <= corners[which, :, 2].max(axis=1)
    near &= ~(edges[which_edge][:, :, None] == t[which][:, None, :]).any(axis=(1, 2))
    which_edge, which = which_edge[near], which[near]
    p, q = ends[which_edge, 0], ends[which_edge, 1]
    a, b, c = (corners[which, k] for k in range(3))
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    wide = size > 0
    normal[wide] /= size[wide, None]
    height_p = np.einsum("ij,ij->i", p - a, normal)
    height_q = np.einsum("ij,ij->i", q - a, normal)
    crosses = (height_p * height_q < 0) & (np.minimum(np.abs(height_p), np.abs(height_q)) > tolerance_mm)
    share = np.zeros(len(p))
    share[crosses] = height_p[crosses] / (height_p[crosses] - height_q[crosses])
    at = p + share[:, None] * (q - p)
    inside = crosses
    for start, end in ((a, b), (b, c), (c, a)):
        side = end - start
        length = np.linalg.norm(side, axis=1)
        length[length == 0] = 1
        inward = np.cross(normal, side) / length[:, None]
        inside &= np.einsum("ij,ij->i", at - start, inward) > tolerance_mm
    return np.stack([edges[which_edge[inside], 0], which[inside]], axis=1)
