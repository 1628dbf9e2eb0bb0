"""Blender with the installed extension, and a fresh scene for each test."""

import importlib
import importlib.util
from collections.abc import Callable, Iterator
from types import ModuleType

import pytest

EXTENSION = "bl_ext.user_default.halfbat"
HAS_BPY = importlib.util.find_spec("bpy") is not None
collect_ignore_glob = [] if HAS_BPY else ["test_*.py"]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "tests/blender" in item.path.as_posix():
            item.add_marker(pytest.mark.blender)


@pytest.fixture(scope="session")
def installed() -> ModuleType:
    """The extension, installed by ``.ci/blender_matrix`` and enabled here."""
    import addon_utils
    import bpy

    if EXTENSION not in bpy.context.preferences.addons:
        addon_utils.enable(EXTENSION, default_set=True)
    if EXTENSION not in bpy.context.preferences.addons:
        pytest.fail("the extension is not installed: run .ci/blender_matrix")
    return importlib.import_module(EXTENSION)


@pytest.fixture
def addon(installed: ModuleType) -> Iterator[Callable[[str], ModuleType]]:
    """A function that gives a module of the extension, with an empty file open."""
    import bpy

    bpy.ops.wm.read_factory_settings(use_empty=True)
    if EXTENSION not in bpy.context.preferences.addons:  # factory settings switch extensions off
        import addon_utils

        addon_utils.enable(EXTENSION, default_set=True)
    yield lambda name: importlib.import_module(f"{EXTENSION}.{name}")
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)


@pytest.fixture
def plain_box(addon: Callable[[str], ModuleType]) -> object:
    """A cube scaled up to 8 x 5 x 3 m, active, used as a building with settings as they come."""
    import bpy

    bpy.ops.mesh.primitive_cube_add(size=1.0, location=(2.0, 3.0, 1.5))
    cube = bpy.context.active_object
    cube.name = "Lodge"
    cube.scale = (8.0, 5.0, 3.0)
    bpy.context.view_layer.update()
    bpy.ops.halfbat.use_as_building()
    return cube


@pytest.fixture
def box(plain_box: object) -> object:
    """That box of large blocks, so that its kit is made quickly."""
    brick = plain_box.halfbat.brick
    brick.format = "custom"
    brick.custom_length_mm, brick.custom_width_mm, brick.custom_height_mm = 440.0, 215.0, 215.0
    brick.custom_gauge_mm = 225.0
    return plain_box
