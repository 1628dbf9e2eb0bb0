import pytest

from halfbat.errors import FaultError, KitError, told_as_fault
from halfbat.kit import make_kit
from halfbat.settings import Settings
from kit_help import building_of


@pytest.mark.parametrize(
    "error", [ZeroDivisionError("by\nzero"), IndexError("17"), ValueError("odd"), AssertionError()]
)
def test_what_nobody_foresaw_is_told_in_a_sentence(error):
    sentence = r"^Halfbat came upon something .* \(the roof\): .* report it .*\.$"
    with pytest.raises(FaultError, match=sentence) as told, told_as_fault("the roof"):
        raise error
    assert told.value.__cause__ is error
    assert "\n" not in str(told.value)


@pytest.mark.parametrize("error", [KitError("a", "b", "c"), KeyboardInterrupt(), MemoryError()])
def test_refusals_and_what_stops_the_work_pass_through(error):
    with pytest.raises(type(error)) as told, told_as_fault("the roof"):
        raise error
    assert told.value is error


def test_a_progress_report_may_stop_a_kit():
    class Stopped(Exception):
        pass

    def report(share, text):
        raise Stopped

    with pytest.raises(Stopped):
        make_kit(building_of([(0, 0), (4, 0), (4, 3), (0, 3)], 3.0), Settings(), report)


def test_of_a_very_long_path_the_end_is_told():
    told = str(KitError("there is no such file", "/x" * 500 + "/lodge.toml", "check its name"))
    assert told.startswith("there is no such file (...") and told.endswith("/lodge.toml): check its name.")
    assert len(told) < 220
