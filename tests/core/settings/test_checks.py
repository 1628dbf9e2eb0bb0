import pytest

from halfbat.errors import KitError
from halfbat.settings.checks import allowed, check_kit_name, check_value
from halfbat.settings.setting import Setting

WIDTH = Setting("width_mm", "Width", "", "float", 1.0, 0.5, 2.0, "mm")
COUNT = Setting("count", "Count", "", "int", 3, 1, 9)
ON = Setting("on", "On", "", "bool", True)
WORD = Setting("word", "Word", "", "text", "x")
BOND = Setting("bond", "Bond", "", "choice", "english", choices=("english", "flemish"))


@pytest.mark.parametrize(
    ("record", "value"),
    [(WIDTH, 0.5), (WIDTH, 2), (COUNT, 9), (ON, False), (WORD, ""), (BOND, "flemish")],
)
def test_allowed_values(record, value):
    assert check_value(record, value, "here") == value


def test_whole_numbers_become_floats_where_a_float_is_wanted():
    assert isinstance(check_value(WIDTH, 2, "here"), float)


@pytest.mark.parametrize(
    ("record", "value"),
    [
        (WIDTH, 0.49),
        (WIDTH, 2.01),
        (WIDTH, float("nan")),
        (WIDTH, float("inf")),
        (WIDTH, 10**400),
        (WIDTH, "1"),
        (WIDTH, True),
        (WIDTH, None),
        (COUNT, 0),
        (COUNT, 3.0),
        (COUNT, True),
        (ON, 1),
        (ON, "true"),
        (WORD, 3),
        (BOND, "flemmish"),
        (BOND, 1),
        (BOND, ["english"]),
    ],
)
def test_refusals_say_where_and_what_is_allowed(record, value):
    with pytest.raises(KitError) as refusal:
        check_value(record, value, "lodge.toml, [brick] key")
    assert "lodge.toml, [brick] key" in str(refusal.value)
    assert allowed(record) in str(refusal.value)


def test_a_near_miss_gets_a_hint():
    with pytest.raises(KitError, match="did you mean 'flemish'"):
        check_value(BOND, "flemmish", "here")


@pytest.mark.parametrize("name", ["Lodge", "Pump house 2", "Büro am Tor", "No. 4 box", "A"])
def test_kit_names(name):
    check_kit_name(name, "kit.name")


@pytest.mark.parametrize(
    "name",
    ["", " ", ".", "..", "../x", "a/b", "a\\b", "C:", "what?", "a\nb", "a\0b", "x" * 81, ".hidden", "end.", " x"],
)
def test_names_that_could_not_be_files_or_lead_elsewhere(name):
    with pytest.raises(KitError, match="cannot be the name of a kit") as refusal:
        check_kit_name(name, "kit.name")
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize("name", ["CON", "con", "Nul.txt", "COM1", "lpt9.kit"])
def test_names_that_windows_keeps_are_refused(name):
    with pytest.raises(KitError, match="is a name that Windows keeps for itself"):
        check_kit_name(name, "kit.name")


@pytest.mark.parametrize("name", ["Console", "COM10", "Auxiliary pump house", "Gaswerk Süd", "駅舎 1"])
def test_names_like_those_are_not(name):
    check_kit_name(name, "kit.name")
