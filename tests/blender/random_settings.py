"""Settings as wild as the core allows, from a seed."""

import random
from dataclasses import replace

from halfbat.settings import (
    FeatureRequest,
    SeamRequest,
    SeamSettings,
    Settings,
    check_settings,
    group_classes,
    list_classes,
    settings_of,
)
from halfbat.settings.features import keys_of_kind

LENGTHS = ("4.2 m", "13 ft 9 in", "44 bricks", "3 3/8 in", "0", "17 courses", "1,2 m", "750 mm")
SCALES = ("1:148", "4 mm/ft", "OO", "1:87.1", "N (NEM)", "3.5 mm/ft")
PATHS = (
    "",
    "4.2 m, foot; 4.2 m, 12 courses; 1,5 m, 12 courses; 1,5 m, top",
    "13 ft 9 in, 3.25 m; 44 bricks, 17 courses",
)
NAMES = ("Lodge", "Gaswerk Süd", "Pump house, No. 2", "駅", "x" * 80)


def value(rng: random.Random, record) -> object:
    """Any value a setting allows; of lengths some with more digits than single precision has."""
    if record.kind == "bool":
        return rng.random() < 0.5
    if record.kind == "choice":
        return rng.choice(record.choices)
    if record.kind == "int":
        return rng.randint(int(record.minimum), int(record.maximum))
    if record.kind == "float":
        ends = (record.minimum, record.maximum, record.default)
        any_of_it = rng.uniform(record.minimum, record.maximum)
        return rng.choice((*ends, any_of_it, min(max(round(any_of_it, 3), record.minimum), record.maximum)))
    return {
        "name": rng.choice(NAMES),
        "scale": rng.choice(SCALES),
        "panes": "3x4",
        "path": rng.choice(PATHS),
        "wall": rng.choice("ABCDZ"),
        "slope": rng.choice("ABZ"),
    }.get(record.key, rng.choice(LENGTHS))


def request(rng: random.Random, request_class: type) -> object:
    """Any entry of a list."""
    records = {record.key: record for record in settings_of(request_class)}
    kind = rng.choice(records["kind"].choices) if "kind" in records else ""
    values = {key: value(rng, records[key]) for key in keys_of_kind(request_class, kind)}
    return request_class(**(values | ({"kind": kind} if kind else {})))


def random_settings(seed: int) -> Settings:
    """Every group and every list filled at random."""
    rng = random.Random(seed)
    groups = {
        group: group_class(**{record.key: value(rng, record) for record in settings_of(group_class)})
        for group, group_class in group_classes(Settings).items()
    }
    hides = (None, *next(record.choices for record in settings_of(SeamSettings) if record.key == "hide"))
    lists = {
        name: tuple(request(rng, request_class) for _ in range(rng.randint(0, 4)))
        for name, request_class in list_classes(Settings).items()
        if request_class is not SeamRequest
    }
    seams = tuple(
        SeamRequest(rng.choice("ABC"), rng.choice(LENGTHS), rng.choice(hides)) for _ in range(rng.randint(0, 3))
    )
    settings = replace(Settings(**groups), seams=seams, **lists)
    check_settings(settings)
    return settings


def one_feature_of_each_kind() -> tuple[FeatureRequest, ...]:
    """A feature of each kind with all it can have."""
    rng = random.Random(7)
    kind = next(record for record in settings_of(FeatureRequest) if record.key == "kind")
    records = {record.key: record for record in settings_of(FeatureRequest)}
    return tuple(
        FeatureRequest(
            **({key: value(rng, records[key]) for key in keys_of_kind(FeatureRequest, choice)} | {"kind": choice})
        )
        for choice in kind.choices
    )
