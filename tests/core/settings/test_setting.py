from dataclasses import dataclass

import pytest

from halfbat.settings.setting import Setting, group_classes, iter_settings, setting, settings_of


@dataclass(frozen=True, slots=True)
class Group:
    """A group."""

    width_mm: float = setting(1.5, "Width", "Width, mm.", minimum=0.5, maximum=2.0, unit="mm")
    count: int = setting(3, "Count", "Count.", minimum=1, maximum=9)
    on: bool = setting(True, "On", "On.")
    word: str = setting("x", "Word", "Word.")
    pick: str = setting("a", "Pick", "Pick.", choices={"a": "First", "b": "Second"})


@dataclass(frozen=True, slots=True)
class All:
    """All groups."""

    group: Group
    rest: tuple[str, ...] = ()


def test_a_field_carries_its_record():
    width, count, on, word, pick = settings_of(Group)
    assert width == Setting("width_mm", "Width", "Width, mm.", "float", 1.5, 0.5, 2.0, "mm")
    assert [item.kind for item in (count, on, word)] == ["int", "bool", "text"]
    assert (pick.kind, pick.choices, pick.choice_labels) == ("choice", ("a", "b"), ("First", "Second"))
    assert Group() == Group(1.5, 3, True, "x", "a")


def test_walking():
    assert group_classes(All) == {"group": Group}
    assert [(group, record.key) for group, record in iter_settings(All)] == [
        ("group", key) for key in ("width_mm", "count", "on", "word", "pick")
    ]


def test_only_groups_have_settings():
    with pytest.raises(TypeError):
        settings_of(int)
