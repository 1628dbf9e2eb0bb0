"""Every choice a maker has, and the one source of each one's name, default, range, unit and help."""

from halfbat.settings.all_settings import NoSeam, SeamRequest, Settings, bare, check_settings, value_of, with_value
from halfbat.settings.brickwork import BrickSettings, KitSettings
from halfbat.settings.checks import check_kit_name
from halfbat.settings.chimneys import ChimneyRequest, check_chimney
from halfbat.settings.construction import (
    LidSettings,
    MarkSettings,
    OrientationSettings,
    SeamSettings,
    ShellSettings,
    SkinSettings,
)
from halfbat.settings.covers import CableRunRequest, CoverRequest, DownpipeSettings
from halfbat.settings.features import FeatureRequest, FinishRequest, check_feature, check_finish
from halfbat.settings.openings import OpeningRequest, check_opening, parse_panes
from halfbat.settings.process import FilamentProcess, Process, ResinProcess
from halfbat.settings.roof import RoofSettings
from halfbat.settings.roof_lights import RoofLightRequest, check_roof_light
from halfbat.settings.setting import Setting, Value, group_classes, iter_settings, list_classes, settings_of

__all__ = [
    "BrickSettings",
    "CableRunRequest",
    "ChimneyRequest",
    "CoverRequest",
    "DownpipeSettings",
    "FeatureRequest",
    "FilamentProcess",
    "FinishRequest",
    "KitSettings",
    "LidSettings",
    "MarkSettings",
    "NoSeam",
    "OpeningRequest",
    "OrientationSettings",
    "Process",
    "ResinProcess",
    "RoofLightRequest",
    "RoofSettings",
    "SeamRequest",
    "SeamSettings",
    "Setting",
    "Settings",
    "ShellSettings",
    "SkinSettings",
    "Value",
    "bare",
    "check_chimney",
    "check_feature",
    "check_finish",
    "check_kit_name",
    "check_opening",
    "check_roof_light",
    "check_settings",
    "group_classes",
    "iter_settings",
    "list_classes",
    "parse_panes",
    "settings_of",
    "value_of",
    "with_value",
]
