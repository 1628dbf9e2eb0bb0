"""Chimneys settled on their masses, and cut into the roof skins they pass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from halfbat.building.rings import inside_rings
from halfbat.building.structure import Slope, Structure
from halfbat.errors import KitError
from halfbat.parts.chimney_sites import ChimneySite, chimney_sites
from halfbat.parts.chimneys import Chimney, abutment_lead, lead_ring, settle_chimney
from halfbat.parts.masses import MassStack
from halfbat.parts.roof_skins import RoofFace
from halfbat.parts.roofs import masses_left_out
from halfbat.settings import Settings
from halfbat.units import Scale


def chimneys_on(
    structure: Structure,
    slopes: Sequence[Slope],
    masses: Sequence[MassStack],
    roof_mm: float,
    settings: Settings,
    scale: Scale,
) -> tuple[tuple[Chimney, ...], int]:
    """Settle the chimneys of a building, those of the mesh first, and count what else on its roofs is left out.

    Parameters
    ----------
    structure : Structure
        The building with its overhangs, metres.
    slopes : sequence of Slope
        Its pitched slopes.
    masses : sequence of MassStack
        What stands on the ground.
    roof_mm : float
        Whole thickness of roof skins.
    settings : Settings
        What the maker chose.
    scale : Scale
        How small.

    Raises
    ------
    KitError
        A chimney that the maker asked for has no place in the roof.
    """
    sites, made = chimney_sites(structure, slopes, settings, scale)
    asked = [_settled(site, structure, masses, roof_mm, settings, scale) for site in sites[len(made) :]]
    of_mesh = [_held(site, structure, masses, roof_mm, settings, scale) for site in sites[: len(made)]]
    held = [chimney for chimney in of_mesh if chimney is not None]
    return (*held, *asked), len(masses_left_out(structure)) - len(held)


def _settled(
    site: ChimneySite,
    structure: Structure,
    masses: Sequence[MassStack],
    roof_mm: float,
    settings: Settings,
    scale: Scale,
) -> Chimney:
    """A chimney in the roof of the mass it stands over."""
    under = [mass for mass in masses if inside_rings([mass.corners_mm], site.middle[None])[0]] or list(masses)
    seat = under[0].base_mm - settings.shell.ledge_height_mm + under[0].shell_top_mm(settings)
    return settle_chimney(site, [structure.slopes[index] for index in site.slopes], roof_mm, seat, scale)


def _held(
    site: ChimneySite,
    structure: Structure,
    masses: Sequence[MassStack],
    roof_mm: float,
    settings: Settings,
    scale: Scale,
) -> Chimney | None:
    """A chimney of the mesh; None where the roof is too low to hold it, so that it is left out."""
    try:
        return _settled(site, structure, masses, roof_mm, settings, scale)
    except KitError:
        return None


def with_chimneys(face: RoofFace, chimneys: Sequence[Chimney]) -> RoofFace:
    """Cut the holes of chimneys into a roof skin, and lay the lead round them and along walls."""
    own = [chimney for chimney in chimneys if face.slope.index in chimney.site.slopes]
    holes = tuple(chimney.hole(face.slope, face.scale) for chimney in own)
    lead = [*abutment_lead(face.slope, face.scale), *(lead_ring(hole, face.scale) for hole in holes)]
    return replace(face, holes_mm=holes, lead_mm=tuple(lead))
