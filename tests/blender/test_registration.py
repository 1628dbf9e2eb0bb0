import importlib

import bpy
import pytest

from conftest import EXTENSION


def inventory() -> dict[str, object]:
    """Everything an extension could leave behind."""
    handlers = {
        name: [str(item) for item in getattr(bpy.app.handlers, name)]
        for name in dir(bpy.app.handlers)
        if isinstance(getattr(bpy.app.handlers, name), list)
    }
    kinds = (bpy.types.Operator, bpy.types.Panel, bpy.types.PropertyGroup, bpy.types.UIList, bpy.types.Menu)
    return {
        "handlers": handlers,
        "classes": {f"{kind.__name__}.{cls.__name__}" for kind in kinds for cls in kind.__subclasses__() if is_in(cls)},
        "named": {name for name in dir(bpy.types) if "halfbat" in name.casefold()},
        "operators": list(dir(bpy.ops.halfbat)),
        "object": set(bpy.types.Object.bl_rna.properties.keys()),
        "collection": set(bpy.types.Collection.bl_rna.properties.keys()),
        "scene": set(bpy.types.Scene.bl_rna.properties.keys()),
        "window manager": set(bpy.types.WindowManager.bl_rna.properties.keys()),
    }


def is_in(cls: type) -> bool:
    return "bl_rna" in cls.__dict__ and getattr(cls, "is_registered", False)


def test_taking_out_leaves_nothing_behind_and_putting_in_again_is_the_same(addon) -> None:
    registration = addon("registration")
    full = inventory()
    registration.unregister()
    try:
        bare = inventory()
        assert bare["named"] == set()
        assert bare["operators"] == []
        for where in ("object", "collection", "scene", "window manager"):
            assert not [name for name in bare[where] if "halfbat" in name]
        assert not [text for texts in bare["handlers"].values() for text in texts if EXTENSION in text]
    finally:
        registration.register()
    assert inventory() == full
    registration.unregister()
    again = inventory()
    registration.register()
    assert again == bare


def test_there_is_something_to_leave_behind(addon) -> None:
    found = inventory()
    registration = addon("registration")
    assert len(found["operators"]) == len(registration.OPERATORS)
    assert {"halfbat", "halfbat_part"} <= found["object"]
    assert len(found["named"]) >= len(registration.PANELS) + len(registration.OPERATORS)


def test_a_step_that_fails_takes_out_those_before_it(addon) -> None:
    registration = addon("registration")
    done: list[str] = []

    def step(name: str) -> object:
        return registration.Step(name, lambda: done.append(name), lambda: done.remove(name))

    def fail() -> None:
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        registration.do_all([step("a"), step("b"), registration.Step("c", fail, fail), step("d")])
    assert done == []


def test_taking_out_goes_on_past_a_step_that_fails(addon) -> None:
    registration = addon("registration")
    done = ["a", "b"]

    def fail() -> None:
        raise ValueError("no")

    steps = [
        registration.Step("a", lambda: None, lambda: done.remove("a")),
        registration.Step("broken", lambda: None, fail),
        registration.Step("b", lambda: None, lambda: done.remove("b")),
    ]
    with pytest.raises(ExceptionGroup) as caught:
        registration.undo_all(steps)
    assert done == []
    assert "broken" in caught.value.exceptions[0].__notes__[0]


def test_another_core_than_the_bundled_one_asks_for_a_restart_and_nothing_else(addon, monkeypatch) -> None:
    main = importlib.import_module(EXTENSION)
    core_version = addon("core_version")
    assert core_version.bundled_version() == core_version.loaded_version()
    main.unregister()
    monkeypatch.setattr(core_version.halfbat, "__version__", "0.0.1")
    try:
        main.register()
        assert {name for name in dir(bpy.types) if name.startswith("HALFBAT")} == {"HALFBAT_PT_restart"}
        main.unregister()
        assert not {name for name in dir(bpy.types) if name.startswith("HALFBAT")}
    finally:
        monkeypatch.undo()
        main.register()


def test_every_operator_says_what_it_does_and_when_it_can(addon) -> None:
    for cls in addon("registration").OPERATORS:
        assert cls.bl_description
        assert not cls.bl_description.endswith(".")
        assert any("poll" in base.__dict__ for base in cls.__mro__ if base.__module__.startswith(EXTENSION))
