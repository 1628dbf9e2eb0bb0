"""Settings anywhere in their ranges make a kit of closed parts, or one refusal; never anything else."""

import os

from hypothesis import HealthCheck, assume, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from halfbat.building import building_from_plan
from halfbat.errors import FaultError, KitError
from halfbat.kit import make_kit, smallest_face_m
from halfbat.settings import Settings, iter_settings, with_value
from halfbat.solids.verify import faults

EXAMPLES = int(os.environ.get("HALFBAT_EXAMPLES", "10"))
PLANS = {
    "rectangle": [(0, 0), (6, 0), (6, 4), (0, 4)],
    "L": [(0, 0), (6, 0), (6, 2.5), (3, 2.5), (3, 5), (0, 5)],
    "bay": [(0, 0), (1.6, 0), (2.3, -0.7), (4.2, -0.7), (4.9, 0), (6, 0), (6, 4), (0, 4)],
    "tiny": [(0, 0), (1.2, 0), (1.2, 1.2), (0, 1.2)],
    "five": [(0, 0), (6, 0), (4, 2), (6, 5), (1, 5)],
}
RECORDS = [
    (group, record) for group, record in iter_settings(Settings) if record.kind in ("bool", "int", "float", "choice")
]


def values_of(record):
    if record.kind == "bool":
        return st.booleans()
    if record.kind == "choice":
        return st.sampled_from(list(record.choices))
    if record.kind == "int":
        return st.sampled_from((record.minimum, record.maximum)) | st.integers(int(record.minimum), int(record.maximum))
    return st.sampled_from((record.minimum, record.maximum)) | st.floats(record.minimum, record.maximum)


@st.composite
def changes(draw):
    chosen = draw(st.lists(st.sampled_from(range(len(RECORDS))), min_size=1, max_size=9, unique=True))
    return {(RECORDS[k][0], RECORDS[k][1].key): draw(values_of(RECORDS[k][1])) for k in chosen}


@examples(
    max_examples=EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
@given(
    changes(), st.sampled_from(sorted(PLANS)), st.sampled_from((0.1, 2.4)), st.sampled_from(("1:220", "1:148", "1:87"))
)
def test_a_kit_or_one_refusal(changed, plan, height, scale):
    settings = with_value(Settings(), "kit", "scale", scale)
    for (group, key), value in changed.items():
        settings = with_value(settings, group, key, value)
    building = building_from_plan(PLANS[plan], 0.0, height)
    assume(min(wall.length_m for wall in building.walls) >= smallest_face_m(settings))
    # Panels of a centimetre make hundreds of parts, which only takes long.
    assume(settings.seam.panel_limit_mm >= 20 or plan == "tiny")
    try:
        kit = make_kit(building, settings, checked=False)
    except KitError as refused:
        assert not isinstance(refused, FaultError)
        assert str(refused).endswith(".") and refused.what and refused.remedy
        # A part that came out wrong is a fault of ours, not of the settings.
        assert not refused.what.startswith("the part")
        return
    assert kit.parts
    assert all(faults(part.solid) == () for part in kit.parts)
