"""Along a rake no brick is a sliver or ends in a feather, whatever the pitch and the bond."""

import os

import numpy as np
from hypothesis import HealthCheck, Phase, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from halfbat.building.erect import structure_from_mesh
from halfbat.kit import make_kit, smallest_face_m
from halfbat.printing.checks.necks import check_raised
from halfbat.printing.checks.subject import Subject
from kit_help import parts_of, settings_with
from roof_solids import gabled, lean_to, mesh_of_solid

EXAMPLES = int(os.environ.get("HALFBAT_EXAMPLES", "6"))


@given(
    st.floats(8.0, 55.0),
    st.floats(3.0, 4.2),
    st.sampled_from(("flemish", "english", "stretcher", "header")),
    st.sampled_from(("1:76.2", "1:148")),
    st.booleans(),
)
@examples(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    derandomize=True,
    phases=(Phase.explicit, Phase.generate),
)
def test_bricks_on_a_rake_hold(pitch_deg, width, bond, scale, one_slope):
    rise = np.tan(np.radians(pitch_deg))
    solid = (
        lean_to(0, 0, width, 5, 2.2 + width * rise, 2.2) if one_slope else gabled(0, 0, 5, width, 2.2, width / 2 * rise)
    )
    settings = settings_with(
        kit__scale=scale, brick__bond=bond, mark__make=False, resin__pixel_x_mm=0.035, resin__pixel_y_mm=0.035
    )
    structure = structure_from_mesh(mesh_of_solid(solid), smallest_face_m=smallest_face_m(settings))
    kit = make_kit(structure, settings, checked=False)
    # A low course under level eaves is another matter: it is told, and the gauge can be changed.
    gables = {plan.wall.letter for plan in kit.plan.walls if len(np.unique(plan.wall.outline_m[:, 1].round(3))) > 2}
    skins = [part for part in parts_of(kit, "skin") if part.wall in gables]
    told = [found.text for part in skins for found in check_raised(Subject.of(part, settings))]
    assert told == []
