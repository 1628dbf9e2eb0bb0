"""Everything a maker can point at says what it is."""

import re

import bpy
import pytest

BY_BLENDER = {"rna_type", "name"}
"""What every property group has without the extension's doing."""
UNIT = re.compile(r"\b(mm|m|pixels?|px)\b")


def own_properties(cls: type) -> list[bpy.types.Property]:
    inherited = set(bpy.types.Operator.bl_rna.properties.keys()) if issubclass(cls, bpy.types.Operator) else BY_BLENDER
    return [known for known in cls.bl_rna.properties if known.identifier not in inherited]


def groups(addon) -> list[type]:
    return list(addon("properties").CLASSES)


def test_every_property_of_every_group_is_described(addon) -> None:
    bare = [
        f"{cls.__name__}.{known.identifier}"
        for cls in groups(addon)
        for known in own_properties(cls)
        if not known.description or not known.name
    ]
    assert bare == []


def test_descriptions_are_as_blender_wants_them(addon) -> None:
    classes = [*groups(addon), *addon("registration").OPERATORS]
    texts = {
        f"{cls.__name__}.{known.identifier}": known.description for cls in classes for known in own_properties(cls)
    }
    texts |= {cls.__name__: cls.bl_description for cls in addon("registration").OPERATORS}
    wrong = [name for name, text in texts.items() if text and (text.endswith(".") or not text[0].isupper())]
    assert wrong == []


def test_every_length_says_its_unit(addon) -> None:
    lengths = [
        (f"{cls.__name__}.{known.identifier}", known.description)
        for cls in groups(addon)
        for known in own_properties(cls)
        if known.type == "FLOAT" and re.search(r"_(mm|m|px)$", known.identifier)
    ]
    assert len(lengths) > 40
    assert [name for name, text in lengths if not UNIT.search(text)] == []


def test_every_property_of_an_operator_is_described(addon) -> None:
    bare = [
        f"{cls.__name__}.{known.identifier}"
        for cls in addon("registration").OPERATORS
        for known in own_properties(cls)
        if not known.is_hidden and not known.description
    ]
    assert bare == []


@pytest.mark.parametrize("menu", ["VIEW3D_MT_mesh_add", "TOPBAR_MT_file_import", "TOPBAR_MT_file_export"])
def test_blenders_menus_offer_what_the_extension_has(addon, menu) -> None:
    ours = [draw for draw in getattr(bpy.types, menu)._dyn_ui_initialize() if "halfbat" in draw.__module__]
    assert len(ours) == 1
    addon("registration").unregister()
    try:
        assert not [draw for draw in getattr(bpy.types, menu)._dyn_ui_initialize() if "halfbat" in draw.__module__]
    finally:
        addon("registration").register()
