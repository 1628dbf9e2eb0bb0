"""Movement joints: straight upright joints, with the courses stopped on both sides."""

from __future__ import annotations

import numpy as np

from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import Dressing, ground, void
from halfbat.surfaces.features.site import FeatureSite


def movement_joint(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Run a straight joint up a wall, as wide as its perpends.

    Parameters
    ----------
    request : FeatureRequest
        Its middle along the wall, and from which height to which.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.
    """
    masonry = site.masonry
    width, scale = masonry.joint_u_mm, masonry.scale.mm_per_m
    foot = site.mm(request.bottom, 0.0, where)
    height = site.mm(request.height, (site.height_mm - foot) / scale, where)
    first, last = site.rows(foot, height, where)
    v0 = float(masonry.courses[0][first]) if first else 0.0
    v1 = float(masonry.courses[1][last]) if last < masonry.laying.courses - 1 else site.height_mm
    grounds, voids = [], []
    for middle in site.places(request, 0.0, where):
        left = float(masonry.lattice_u.round(np.array([middle - width / 2]))[0])
        grounds.append(ground(left, v0, left + width, v1, -site.joint_depth_mm))
        voids.append(void(left, v0, left + width, v1, laid_to=True))
    return Dressing("movement joint", where, (), (tuple(grounds),), tuple(voids))
