from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.kitfile import KitFile, kit_file_from_text, write_kit_file
from halfbat.settings import FeatureRequest, FinishRequest, Settings, settings_of
from halfbat.settings.features import FEATURE_KEYS

BOX = "[building]\nbox = [9, 5, 3]\n"
LENGTHS = st.sampled_from(["1.2 m", "12'6\"", "4.5 bricks", "16 courses", "28 mm"])
WALLS = st.sampled_from(["A", "C", "AA", "all"])


def read(text):
    return kit_file_from_text(BOX + text, "lodge.toml", Path()).settings


def values(record):
    if record.kind == "choice":
        return st.sampled_from(record.choices)
    if record.kind == "int":
        return st.integers(int(record.minimum), int(record.maximum))
    return LENGTHS


@st.composite
def features(draw):
    kind = draw(st.sampled_from(list(FEATURE_KEYS)))
    drawn = {
        record.key: draw(values(record)) for record in settings_of(FeatureRequest) if record.key in FEATURE_KEYS[kind]
    }
    return FeatureRequest(**{**drawn, "wall": draw(WALLS), "kind": kind})


@st.composite
def finishes(draw):
    drawn = {record.key: draw(values(record)) for record in settings_of(FinishRequest)}
    return FinishRequest(**{**drawn, "wall": draw(WALLS)})


@given(st.lists(features(), max_size=3), st.lists(finishes(), max_size=2))
def test_features_and_finishes_read_back_as_written(some, covers):
    kit_file = KitFile(Settings(features=tuple(some), finishes=tuple(covers)), box_m=(9.0, 5.0, 3.0))
    assert kit_file_from_text(write_kit_file(kit_file), "x.toml", Path()) == kit_file


def test_the_shortest_of_each():
    settings = read(
        '[[feature]]\nwall = "ALL"\nkind = "plinth"\n[[finish]]\nwall = "b"\nkind = "render"\nbottom = 1.5\n'
    )
    assert settings.features == (FeatureRequest("all", "plinth"),)
    assert settings.finishes == (FinishRequest("B", "render", bottom="1.5 m"),)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[feature]]\nkind = 'plinth'\n", "the wall is missing or not a letter (lodge.toml, [[feature]] 1 wall)"),
        ("[[feature]]\nwall = 'A'\nkind = 'plint'\n", "(lodge.toml, [[feature]] 1 kind): did you mean 'plinth'?"),
        ("[[feature]]\nwall = 'A'\nkind = 'plinth'\ntpo = 'square'\n", "there is no key 'tpo'"),
        ("[[feature]]\nwall = 'A'\nkind = 'plinth'\nsize = '215x65'\n", "a feature of kind 'plinth' has no 'size'"),
        ("[[feature]]\nwall = 'A'\nkind = 'pier'\n", "'at' is missing from a feature of kind 'pier'"),
        ("[[feature]]\nwall = 'A'\nkind = 'plinth'\nheight = 'high'\n", "(lodge.toml, [[feature]] 1 height)"),
        ("[[finish]]\nwall = 'A'\n", "(lodge.toml, [[finish]] 1 kind)"),
        ("[[finish]]\nwall = 'A'\nkind = 'ashlar'\nseed = -1\n", "-1 is out of range (lodge.toml, [[finish]] 1 seed)"),
    ],
)
def test_what_is_wrong_gets_one_sentence(text, says):
    with pytest.raises(KitError) as caught:
        read(text)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)
