import pytest

from halfbat.errors import KitError
from halfbat.settings import RoofSettings
from halfbat.settings.roof import COVERING_CHOICES, SLATE_CHOICES
from halfbat.surfaces.roofing import COVERINGS, SLATES, chosen_covering, get_covering


def test_choices_are_what_there_is():
    assert {*COVERING_CHOICES} == {*(covering.key for covering in COVERINGS), "slate", "none"}
    assert tuple(SLATE_CHOICES) == tuple(SLATES)


def test_chosen_covering():
    assert chosen_covering(RoofSettings(covering="none")) is None
    assert chosen_covering(RoofSettings(covering="felt")).key == "felt"
    assert chosen_covering(RoofSettings(covering="slate", slate_size="lady")).length_m == pytest.approx(0.4064)


@pytest.mark.parametrize(("key", "size"), [("thatch", "lady"), ("none", "lady"), ("slate", "queen")])
def test_unknown_coverings_are_refused(key, size):
    with pytest.raises(KitError, match="give one of"):
        get_covering(key, size)
