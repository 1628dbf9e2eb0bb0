"""The walls of a building as places to put things, with the lines of their bricks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.structure import FaceOfWall, Structure
from halfbat.errors import KitError
from halfbat.parts.roofs import eaves_m, wall_outlines_mm
from halfbat.parts.wall_layings import lay_walls
from halfbat.parts.wall_openings import wall_masonry
from halfbat.printing.snapping import snapped_settings
from halfbat.settings import Settings
from halfbat.sites.slopes import SlopeSite, slope_sites
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.surfaces.joints import snapped_joints
from halfbat.surfaces.masonry import Masonry
from halfbat.units import Scale, parse_scale

Array = npt.NDArray[np.float64]
_SAME_M = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class WallSite:
    """One wall that gets a skin, full size.

    Parameters
    ----------
    wall : FaceOfWall
        As measured on the mesh.
    masonry : Masonry
        Its bricks without openings, at model size.
    beds_m : ndarray, shape (C,)
        Heights above the foot where a course of bricks begins, 0 first.
    perpends_m : ndarray, shape (N,)
        Middles of the perpends of all courses, from the wall's left end seen from outside, rising.
    """

    wall: FaceOfWall
    masonry: Masonry
    beds_m: Array
    perpends_m: Array

    @property
    def letter(self) -> str:
        """Its name."""
        return self.wall.letter

    def frame(self) -> Array:
        """Return the rigid matrix from the wall's own frame to the building's, shape (4, 4), metres.

        In the wall's frame x runs along it to the right seen from outside, y into the building, z up; its left foot
        is the origin. So a thing seen from the front in its own frame is seen so from outside.
        """
        matrix = np.eye(4)
        matrix[:2, 0], matrix[:2, 1] = self.wall.along, -self.wall.outward
        matrix[:3, 3] = [*self.wall.start_m, self.wall.base_m]
        return matrix

    def top_m(self, along_m: float) -> float:
        """Height of the wall's top above the foot at a place along it, metres."""
        ring = self.wall.outline_m
        a, b = ring, np.roll(ring, -1, axis=0)
        low, high = np.minimum(a[:, 0], b[:, 0]), np.maximum(a[:, 0], b[:, 0])
        met = (low <= along_m + _SAME_M) & (along_m - _SAME_M <= high) & (high - low > _SAME_M)
        if not met.any():
            return self.wall.height_m
        a, b = a[met], b[met]
        share = np.clip((along_m - a[:, 0]) / (b[:, 0] - a[:, 0]), 0.0, 1.0)
        return float((a[:, 1] + share * (b[:, 1] - a[:, 1])).max())


@dataclass(frozen=True, slots=True, eq=False)
class Sites:
    """All walls of a building that get skins, as places to put things.

    Parameters
    ----------
    walls : tuple of WallSite
        In the order of the building.
    settings : Settings
        Brick, bond and scale; its lists are not looked at.
    scale : Scale
        How small.
    slopes : tuple of SlopeSite
        Slopes and flat roofs.
    """

    walls: tuple[WallSite, ...]
    settings: Settings
    scale: Scale
    slopes: tuple[SlopeSite, ...] = ()

    def wall(self, letter: str) -> WallSite:
        """Return a wall by its letter.

        Raises
        ------
        KitError
            When there is none of this name that gets a skin.
        """
        for site in self.walls:
            if site.letter == letter:
                return site
        known = ", ".join(site.letter for site in self.walls)
        raise KitError(f"there is no wall {letter!r}", "wall", f"name one of the walls {known}")

    def slope(self, letter: str) -> SlopeSite:
        """Return a slope by its letter.

        Raises
        ------
        KitError
            When there is none of this name.
        """
        for site in self.slopes:
            if site.letter == letter:
                return site
        known = ", ".join(site.letter for site in self.slopes)
        raise KitError(f"there is no slope {letter!r}", "slope", f"name one of the slopes {known}")

    def length_m(self, text: str) -> float:
        """Read a full-size length, which may count bricks and courses, in metres.

        Raises
        ------
        KitError
            When the text is no length.
        """
        return length_in_bricks_m(text, self.settings.brick)


def sites_of(structure: Structure, settings: Settings) -> Sites:
    """Lay the walls of a building, as far as it takes to put things on them.

    Parameters
    ----------
    structure : Structure
        Walls, slopes and masses, metres.
    settings : Settings
        Brick, bond, scale and resin process.

    Raises
    ------
    KitError
        The walls are too low for a course, or the bond does not suit the brick.
    """
    snapped, _ = snapped_settings(settings)
    scale = parse_scale(snapped.kit.scale)
    outlines = wall_outlines_mm(structure, 0.0, {}, scale)
    kept = [wall for wall in structure.walls if wall.index in outlines]
    laid = lay_walls(kept, outlines, eaves_m(structure), snapped, scale)
    joints = snapped_joints(
        scale,
        snapped.resin,
        width_mm=snapped.brick.joint_width_mm,
        depth_mm=snapped.brick.joint_depth_mm,
        course_mm=laid.coursing.gauge_mm,
    )
    walls = tuple(
        _site(wall, wall_masonry(laying, joints, snapped, scale))
        for wall, laying in zip(kept, laid.layings, strict=True)
    )
    return Sites(walls, settings, scale, slope_sites(structure, snapped, scale))


def _site(wall: FaceOfWall, masonry: Masonry) -> WallSite:
    laying, per_m = masonry.laying, masonry.scale.mm_per_m
    beds = laying.bed_v_mm / per_m - masonry.bed_joint_m / 2
    perpends = np.unique(np.round(np.concatenate([own.bounds_mm[1:-1] for own in laying.patterns]) / per_m, 6))
    return WallSite(wall, masonry, np.maximum(np.round(beds, 6), 0.0), perpends)
