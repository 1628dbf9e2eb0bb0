import bpy
import pytest
from random_settings import one_feature_of_each_kind
from recording_layout import drawn_panels, panels_of_tab

from halfbat.settings import (
    BrickSettings,
    FeatureRequest,
    FinishRequest,
    NoSeam,
    RoofSettings,
    Settings,
    group_classes,
    settings_of,
)
from halfbat.settings.features import FEATURE_KEYS, FINISH_CHOICES, FINISH_KEYS

STATES = (
    Settings(),
    Settings(brick=BrickSettings(format="custom", bond="english_garden_wall")),
    Settings(roof=RoofSettings(covering="plain tile", ridge="none", gutter="box")),
)


@pytest.fixture
def draw(addon):
    return lambda: drawn_panels(addon("registration"))


def drawn(shown, kind) -> set:
    return {item for record in shown.values() for item in record[kind]}


def test_every_setting_has_a_place_in_a_panel(addon, plain_box, draw) -> None:
    properties = addon("setting_properties")
    seen: set[tuple[str, str]] = set()
    for state in STATES:
        addon("settings_io").write_settings(plain_box, state)
        seen |= drawn(draw(), "props")
    for group, group_class in group_classes(Settings).items():
        for record in settings_of(group_class):
            assert (f"HALFBAT_PG_{group}", properties.property_name(record)) in seen


def test_slate_sizes_are_shown_for_slate_only_and_ridge_tiles_where_there_is_a_ridge(addon, plain_box, draw) -> None:
    assert ("HALFBAT_PG_roof", "slate_size") in drawn(draw(), "props")
    plain_box.halfbat.roof.covering = "pantile"
    shown = drawn(draw(), "props")
    assert ("HALFBAT_PG_roof", "slate_size") not in shown
    assert ("HALFBAT_PG_roof", "ridge_length_mm") in shown
    plain_box.halfbat.roof.ridge = "none"
    assert ("HALFBAT_PG_roof", "ridge_length_mm") not in drawn(draw(), "props")


def test_a_feature_shows_the_fields_its_kind_has_and_no_others(addon, plain_box, draw) -> None:
    addon("settings_io").write_settings(plain_box, Settings(features=one_feature_of_each_kind()))
    for index, feature in enumerate(plain_box.halfbat.features):
        plain_box.halfbat.features_index = index
        fields = [key for owner, key in draw()["HALFBAT_PT_features"]["props"] if owner == "HALFBAT_PG_features"]
        assert fields == list(FEATURE_KEYS[feature.kind])


def test_a_stretch_and_each_finish_can_be_edited(addon, plain_box, draw) -> None:
    finishes = tuple(FinishRequest("A", kind) for kind in FINISH_CHOICES)
    settings = Settings(no_seams=(NoSeam("A", "1 m", "2 m"),), finishes=finishes)
    addon("settings_io").write_settings(plain_box, settings)
    shown = draw()
    assert {key for _, key in shown["HALFBAT_PT_no_seams"]["props"]} == {"wall", "start", "end"}
    for index, kind in enumerate(FINISH_CHOICES):
        plain_box.halfbat.finishes_index = index
        assert [key for _, key in draw()["HALFBAT_PT_finishes"]["props"]] == list(FINISH_KEYS[kind])


def test_lengths_are_shown_at_full_size_and_model_size(addon, plain_box, draw) -> None:
    plain_box.halfbat.kit.scale = "1:100"
    addon("settings_io").write_requests(plain_box, "features", (FeatureRequest("A", "plinth", height="6 courses"),))
    shown = draw()
    labels = shown["HALFBAT_PT_features"]["labels"]
    assert labels[labels.index("Height") :][:3] == ["Height", "0.45 m", "4.5 mm"]
    labels = shown["HALFBAT_PT_building"]["labels"]
    assert labels[labels.index("Length") :][:3] == ["Length", "8 m", "80.0 mm"]
    bpy.context.scene.unit_settings.system = "IMPERIAL"
    assert "26 ft 2 15/16 in" in " ".join(draw()["HALFBAT_PT_building"]["labels"])


def test_a_length_that_cannot_be_read_is_told_in_the_panel(addon, plain_box, draw) -> None:
    addon("settings_io").write_requests(plain_box, "features", (FeatureRequest("A", "plinth", height="six"),))
    assert any(text.startswith("Height: ") for text in draw()["HALFBAT_PT_features"]["labels"])
    plain_box.halfbat.kit.scale = "enormous"
    assert "enormous" in " ".join(draw()["HALFBAT_PT_building"]["labels"])


def test_without_a_building_the_first_steps_say_how_to_begin(addon, draw) -> None:
    shown = draw()
    assert list(shown) == ["HALFBAT_PT_first_steps"]
    assert shown["HALFBAT_PT_first_steps"]["operators"] == [
        "halfbat.use_as_building",
        "halfbat.add_example_building",
        "halfbat.load_kit_file",
    ]


def test_the_panels_stand_in_the_order_of_the_work(addon) -> None:
    panels = panels_of_tab(addon("registration"))
    top = {cls.bl_label: cls.bl_order for cls in panels if not getattr(cls, "bl_parent_id", "")}
    order = sorted((place, label) for label, place in top.items())
    labels = [label for _, label in order]
    wanted = ["Building and Scale", "Walls and Finishes", "Roof", "Seams and Covers", "Printers", "Make", "Findings"]
    assert [label for label in labels if label in wanted] == wanted
    assert labels[-1] == "Export"


def test_every_panel_is_drawn_with_a_kit_too(addon, box, draw) -> None:
    bpy.ops.halfbat.make_kit()
    shown = draw()
    assert {"HALFBAT_PT_findings", "HALFBAT_PT_parts", "HALFBAT_PT_export"} <= set(shown)
