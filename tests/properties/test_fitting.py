"""The parts of random buildings share no space, and their roofs lift straight off.

HALFBAT_EXAMPLES sets how many are drawn; the default keeps the suite quick.
"""

import os

from hypothesis import HealthCheck, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from fitting_samples import meshes
from halfbat.building.erect import structure_from_mesh
from halfbat.errors import KitError
from halfbat.kit import make_kit, smallest_face_m
from halfbat.solids.verify import faults
from kit_help import lift_fouls, overlaps, settings_with

EXAMPLES = int(os.environ.get("HALFBAT_EXAMPLES", "8"))
#: Skins are glued to what they lie on: what rounded corners may have in common.
TOUCHING_MM3 = 5e-3


@given(meshes(), st.sampled_from(("1:148", "1:220", "1:76.2")), st.sampled_from(("slate", "plain tile", "none")))
@examples(max_examples=EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
def test_random_buildings_fit_together(mesh, scale, covering):
    settings = settings_with(
        kit__scale=scale, roof__covering=covering, mark__make=False, seam__hide="toothed", brick__bond="stretcher"
    )
    try:
        structure = structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings))
        kit = make_kit(structure, settings, checked=False)
    except KitError as refused:
        assert refused.remedy and "did not foresee" not in str(refused)
        return
    assert [part.number for part in kit.parts if faults(part.solid)] == []
    assert [found for found in overlaps(kit) if found[2] > TOUCHING_MM3] == []
    assert [found for found in lift_fouls(kit) if found[2] > TOUCHING_MM3] == []
