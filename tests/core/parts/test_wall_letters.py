from dataclasses import replace

import pytest

from halfbat.errors import KitError
from halfbat.parts.wall_letters import check_letters
from halfbat.settings import ChimneyRequest, FeatureRequest, FinishRequest, OpeningRequest, Settings


def asking(**lists):
    return replace(Settings(), **lists)


@pytest.mark.parametrize(
    ("lists", "where"),
    [
        ({"openings": (OpeningRequest("A", "1", "1", "1"), OpeningRequest("K", "1", "1", "1"))}, "opening 2"),
        ({"features": (FeatureRequest("all", "plinth"), FeatureRequest("K", "plinth"))}, "feature 2"),
        ({"finishes": (FinishRequest("K", "render"),)}, "finish 1"),
        ({"chimneys": (ChimneyRequest("K", "1 m"),)}, "chimney 1"),
    ],
)
def test_which_request_names_a_wall_that_is_not_there(lists, where):
    with pytest.raises(KitError) as refused:
        check_letters(["A", "B"], asking(**lists))
    assert refused.value.where == where
    assert "no wall 'K'" in str(refused.value) and "A, B" in str(refused.value)


def test_a_wall_that_stays_bare_is_not_called_missing():
    with pytest.raises(KitError, match="wall K is too small for a skin at this scale"):
        check_letters(["A"], asking(finishes=(FinishRequest("K", "render"),)), ["K"])
    check_letters(["A"], asking(finishes=(FinishRequest("A", "render"),)), ["K"])
