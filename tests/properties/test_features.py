"""Random features and finishes: every skin stays one closed solid."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from feature_samples import skins, with_all
from halfbat.errors import KitError
from halfbat.settings import FeatureRequest, FinishRequest, KitSettings, OpeningRequest
from halfbat.settings.features import FINISH_CHOICES
from solids_help import assert_printable_solid

LEVEL = ("plinth", "string course", "dentil course", "corbelled eaves", "coping", "quoins", "surround")
PLACED = ("pier", "pilaster", "recessed panel", "movement joint", "air brick", "vent")
FEW = 12


@st.composite
def features(draw):
    kind = draw(st.sampled_from(LEVEL + PLACED))
    keys = {}
    if kind in PLACED:
        keys["at"] = draw(st.sampled_from(["0.45 m", "1.3 m", "5.5 bricks", "2.1 m"]))
    if kind in ("string course", "pilaster", "recessed panel", "vent", "air brick"):
        keys["bottom"] = draw(st.sampled_from(["4 courses", "0.6 m", "11 courses"]))
    if kind in ("recessed panel", "vent", "pilaster"):
        keys["height"] = draw(st.sampled_from(["6 courses", "0.9 m"]))
        keys["width"] = draw(st.sampled_from(["1.5 bricks", "0.44 m"]))
    if kind in ("string course", "coping", "quoins", "surround"):
        keys["material"] = draw(st.sampled_from(["brick", "stone"]))
    if kind in ("air brick",):
        keys["size"] = draw(st.sampled_from(["215x65", "215x215"]))
        keys["face"] = draw(st.sampled_from(["slots", "holes"]))
    return FeatureRequest(draw(st.sampled_from(["A", "all"])), kind, **keys)


finishes = st.builds(
    FinishRequest,
    st.just("A"),
    st.sampled_from(list(FINISH_CHOICES)),
    bottom=st.sampled_from(["0", "0.6 m", "13 courses"]),
    top=st.sampled_from(["", "2.1 m"]),
    texture=st.sampled_from(["smooth", "fine"]),
    seed=st.integers(0, 99),
)
openings = st.sampled_from(
    [
        (),
        (OpeningRequest("A", "1.8 m", "0.91 m", "1.2 m", "0.75 m", head="segmental arch", sill="brick on edge"),),
        (OpeningRequest("A", "1.575 m", "0.91 m", "2.1 m"),),
    ]
)


@settings(max_examples=FEW, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(features(), max_size=4), st.lists(finishes, max_size=1), openings, st.sampled_from(["1:148", "1:76.2"]))
def test_skins_with_features_are_closed_solids(some, covers, holes, scale):
    chosen = with_all(some, covers, openings=holes, kit=KitSettings(scale=scale))
    try:
        panels = skins(chosen)
    except KitError as error:
        assert "it stands where" in str(error)
        assert any(one.kind in PLACED for one in some)
        return
    for panel in panels:
        assert_printable_solid(panel.solid)


def test_features_where_openings_are_get_one_sentence():
    opening = OpeningRequest("A", "1.8 m", "0.91 m", "1.2 m", "0.75 m")
    panel = FeatureRequest(
        "A", "recessed panel", at="2.1 m", width="1.5 bricks", bottom="12 courses", height="6 courses"
    )
    with pytest.raises(KitError, match=r"it stands where an opening is \(feature 1 \(recessed panel\), wall A\)"):
        skins(with_all([panel], [], openings=(opening,), kit=KitSettings(scale="1:148")))
