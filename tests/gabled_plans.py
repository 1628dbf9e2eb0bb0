"""Plans and kits of simple pitched buildings, made once for tests of roofs."""

from functools import cache

from halfbat.building.erect import structure_from_mesh
from halfbat.kit import make_kit, smallest_face_m
from halfbat.parts.kit_plan import plan_kit
from halfbat.printing.snapping import snapped_settings
from halfbat.units import parse_scale
from kit_help import settings_with
from roof_solids import gabled, hipped, mesh_of_solid

#: Metres: 8 x 5 with eaves at 2.4; a gable of 1.5 over half of 5 has a pitch of atan(1.5 / 2.5) = 30.96 degrees.
SOLIDS = {"gable": lambda: gabled(0, 0, 8, 5, 2.4, 1.5), "hip": lambda: hipped(0, 0, 8, 5, 2.4, 35.0)}


def settings_of(**values):
    """Settings at 1:100 (1 m is 10 mm), so that sizes can be read off; roofs end flush unless asked."""
    flush = {"roof__eaves_overhang_mm": 0.0, "roof__verge_overhang_mm": 0.0}
    return settings_with(**{"kit__scale": "1:100", **flush, **values})


@cache
def structure_of(shape):
    """Return a building under a gable or hip roof."""
    return structure_from_mesh(mesh_of_solid(SOLIDS[shape]()), smallest_face_m=smallest_face_m(settings_of()))


@cache
def plan_of(shape, covering="slate"):
    """Return its plan, the settings it was made with, and the scale."""
    settings, _ = snapped_settings(settings_of(roof__covering=covering))
    scale = parse_scale("1:100")
    return plan_kit(structure_of(shape), settings, scale), settings, scale


@cache
def overhanging_kit(shape, eaves=300.0, verge=150.0, scale="1:76.2"):
    """Return its kit with a roof that reaches beyond the walls."""
    asked = {"kit__scale": scale, "roof__eaves_overhang_mm": eaves, "roof__verge_overhang_mm": verge}
    return make_kit(structure_of(shape), settings_of(**asked, mark__make=False), checked=False)


@cache
def kit_of_shape(shape, marks=True):
    """Return its kit."""
    return make_kit(structure_of(shape), settings_of(mark__make=marks), checked=False)
