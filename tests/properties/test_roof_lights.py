"""Random roof lights on random roofs: closed parts that share no space, and the roof lifts straight off with them.

HALFBAT_EXAMPLES sets how many are drawn; the default keeps the suite quick.
"""

import os
from dataclasses import replace

import numpy as np
from hypothesis import HealthCheck, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from fitting_samples import meshes
from halfbat.building.erect import structure_from_mesh
from halfbat.building.wall import wall_letter
from halfbat.errors import KitError
from halfbat.kit import make_kit, smallest_face_m
from halfbat.settings import RoofLightRequest
from halfbat.settings.roof_lights import GLAZING_CHOICES, ROOF_LIGHT_STYLES
from halfbat.solids.verify import faults
from kit_help import lift_fouls, overlaps, settings_with

EXAMPLES = int(os.environ.get("HALFBAT_EXAMPLES", "8"))
TOUCHING_MM3 = 5e-3


@st.composite
def lights(draw):
    """A roof light by shares of a slope, which is made one of a building later."""
    share = st.floats(0.05, 0.95)
    width, height = draw(st.floats(0.4, 1.3)), draw(st.floats(0.5, 1.4))
    return (
        draw(st.integers(0, 9)),
        draw(share),
        draw(share),
        RoofLightRequest(
            "A",
            "0",
            width=f"{width:.3f} m",
            height=f"{height:.3f} m",
            style=draw(st.sampled_from(sorted(ROOF_LIGHT_STYLES))),
            glazing=draw(st.sampled_from(sorted(GLAZING_CHOICES))),
            count=draw(st.integers(1, 3)),
            spacing=f"{width + draw(st.floats(0.1, 1.0)):.3f} m",
        ),
    )


def on_slope(structure, drawn):
    place, along, up, request = drawn
    slope = structure.slopes[place % len(structure.slopes)]
    size = np.ptp(slope.outline_m, axis=0)
    at, foot = size[0] * along, max(0.0, size[1] * up - float(request.height.split()[0]) / 2)
    return replace(request, slope=wall_letter(slope.index), at=f"{at:.3f} m", up=f"{foot:.3f} m")


@given(
    meshes(),
    st.lists(lights(), min_size=1, max_size=2),
    st.sampled_from(("1:148", "1:76.2")),
    st.sampled_from(("slate", "pantile", "none")),
    st.sampled_from((0.0, 200.0)),
)
@examples(max_examples=EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
def test_random_roof_lights_fit(mesh, drawn, scale, covering, eaves):
    settings = settings_with(
        kit__scale=scale,
        roof__covering=covering,
        roof__eaves_overhang_mm=eaves,
        mark__make=False,
        seam__hide="toothed",
        brick__bond="stretcher",
    )
    try:
        structure = structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings))
        make_kit(structure, settings, checked=False)
    except KitError:
        return
    for light in drawn:
        asked = (*settings.roof_lights, on_slope(structure, light))
        try:
            kit = make_kit(structure, replace(settings, roof_lights=asked), checked=False)
        except KitError as refused:
            assert refused.where.startswith("roof light") and refused.remedy
            continue
        settings = replace(settings, roof_lights=asked)
    if not settings.roof_lights:
        return
    numbers = {part.number for part in kit.parts if part.kind == "roof light"}
    assert numbers
    assert [part.number for part in kit.parts if faults(part.solid)] == []
    fouls = [*overlaps(kit), *lift_fouls(kit)]
    assert [found for found in fouls if found[2] > TOUCHING_MM3 and numbers & set(found[:2])] == []
