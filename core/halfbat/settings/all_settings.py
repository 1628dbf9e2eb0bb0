"""Every choice a maker has, in one frozen object."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from halfbat.settings.brickwork import BrickSettings, KitSettings
from halfbat.settings.checks import check_text, check_value
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
from halfbat.settings.openings import OpeningRequest, check_opening, needed
from halfbat.settings.process import FilamentProcess, ResinProcess
from halfbat.settings.roof import RoofSettings
from halfbat.settings.roof_lights import RoofLightRequest, check_roof_light
from halfbat.settings.setting import Value, group_classes, iter_settings, settings_of


@dataclass(frozen=True, slots=True)
class SeamRequest:
    """A seam the maker places by hand.

    Parameters
    ----------
    wall : str
        Letter of the wall.
    at : str
        Full-size length from the wall's left end seen from outside, as written: ``"4.2 m"``, ``"44 bricks"``.
    hide : str or None
        One of the choices of ``seam.hide``, or None to take that setting.
    path : str
        Corners of a seam that bends under its cable run, as `halfbat.settings.paths` reads them; empty for an upright
        one.
    """

    wall: str
    at: str
    hide: str | None = None
    path: str = ""


@dataclass(frozen=True, slots=True)
class NoSeam:
    """A stretch of wall that must not be split; lengths are full size, as written, and may count bricks."""

    wall: str = needed("Wall", "Letter of the wall.")
    start: str = needed("From", "Where it begins, from the wall's left end seen from outside: 4.2 m, 13 ft 9 in.")
    end: str = needed("To", "Where it ends, from the wall's left end seen from outside: 5.4 m or 44 bricks.")


@dataclass(frozen=True, slots=True)
class Settings:
    """Every choice a maker has; each group is one table of the kit file."""

    kit: KitSettings = field(default_factory=KitSettings)
    brick: BrickSettings = field(default_factory=BrickSettings)
    shell: ShellSettings = field(default_factory=ShellSettings)
    skin: SkinSettings = field(default_factory=SkinSettings)
    seam: SeamSettings = field(default_factory=SeamSettings)
    downpipe: DownpipeSettings = field(default_factory=DownpipeSettings)
    roof: RoofSettings = field(default_factory=RoofSettings)
    lid: LidSettings = field(default_factory=LidSettings)
    mark: MarkSettings = field(default_factory=MarkSettings)
    orientation: OrientationSettings = field(default_factory=OrientationSettings)
    resin: ResinProcess = field(default_factory=ResinProcess)
    filament: FilamentProcess = field(default_factory=FilamentProcess)
    seams: tuple[SeamRequest, ...] = ()
    no_seams: tuple[NoSeam, ...] = ()
    downpipes: tuple[CoverRequest, ...] = ()
    cable_runs: tuple[CableRunRequest, ...] = ()
    openings: tuple[OpeningRequest, ...] = ()
    features: tuple[FeatureRequest, ...] = ()
    finishes: tuple[FinishRequest, ...] = ()
    chimneys: tuple[ChimneyRequest, ...] = ()
    roof_lights: tuple[RoofLightRequest, ...] = ()


def bare(settings: Settings) -> Settings:
    """Return the settings without what is asked for at single places, all of which is settled before parts are built.

    A part that is given these is the same part as long as nothing that concerns it changes.
    """
    return replace(
        settings,
        seams=(),
        no_seams=(),
        downpipes=(),
        cable_runs=(),
        openings=(),
        features=(),
        finishes=(),
        chimneys=(),
        roof_lights=(),
    )


def with_value(settings: Settings, group: str, key: str, value: object) -> Settings:
    """Return the settings with one value changed.

    Parameters
    ----------
    settings : Settings
        Left as it is.
    group, key : str
        Such as ``"brick", "bond"``.
    value : object
        In the setting's unit.

    Raises
    ------
    KitError
        When the setting does not allow the value.
    """
    record = next(item for item in settings_of(group_classes(Settings)[group]) if item.key == key)
    where = f"{group}.{key}"
    checked = check_value(record, value, where)
    check_text(group, record, checked, where)
    changes: dict[str, Any] = {group: replace(getattr(settings, group), **{key: checked})}
    return replace(settings, **changes)


def value_of(settings: Settings, group: str, key: str) -> Value:
    """Return one value by the names of its group and key."""
    value: Value = getattr(getattr(settings, group), key)
    return value


def check_settings(settings: Settings) -> None:
    """Refuse settings built in code that a kit file could not hold.

    Raises
    ------
    KitError
        For the first value of the wrong type, out of range or not among its choices.
    """
    for group, record in iter_settings(Settings):
        where = f"{group}.{record.key}"
        value = check_value(record, value_of(settings, group, record.key), where)
        check_text(group, record, value, where)
    for number, request in enumerate(settings.openings, start=1):
        check_opening(request, f"opening {number}")
    for number, feature in enumerate(settings.features, start=1):
        check_feature(feature, f"feature {number}")
    for number, finish in enumerate(settings.finishes, start=1):
        check_finish(finish, f"finish {number}")
    for number, chimney in enumerate(settings.chimneys, start=1):
        check_chimney(chimney, f"chimney {number}")
    for number, light in enumerate(settings.roof_lights, start=1):
        check_roof_light(light, f"roof light {number}")
