"""Features of a wall the maker asks for, and finishes that take the place of its bricks."""

from __future__ import annotations

from dataclasses import dataclass, fields

from halfbat.errors import KitError
from halfbat.settings.checks import check_value, did_you_mean
from halfbat.settings.openings import needed
from halfbat.settings.setting import setting, settings_of

EVERY_WALL = "all"
FEATURE_CHOICES = {
    "plinth": "Plinth",
    "string course": "String course",
    "dentil course": "Dentil course",
    "corbelled eaves": "Corbelled eaves",
    "coping": "Coping",
    "pier": "Pier",
    "pilaster": "Pilaster",
    "quoins": "Quoins",
    "recessed panel": "Recessed panel",
    "movement joint": "Movement joint",
    "air brick": "Air brick",
    "vent": "Louvred vent",
    "surround": "Dressings round openings",
}
MATERIAL_CHOICES = {"brick": "Brick", "stone": "Stone"}
TOP_CHOICES = {"square": "Square", "chamfered": "Chamfered"}
AIR_BRICK_CHOICES = {"215x65": "215 x 65", "215x140": "215 x 140", "215x215": "215 x 215"}
FACE_CHOICES = {"slots": "Slots", "holes": "Square holes"}
_LEVEL = ("wall", "kind", "start", "end", "bottom", "height", "projection")
_STANDING = ("wall", "kind", "at", "width", "bottom", "height", "projection", "spacing")
FEATURE_KEYS = {
    "plinth": (*_LEVEL, "top"),
    "string course": (*_LEVEL, "material"),
    "dentil course": _LEVEL,
    "corbelled eaves": (*_LEVEL, "courses"),
    "coping": ("wall", "kind", "height", "projection", "material"),
    "pier": _STANDING,
    "pilaster": _STANDING,
    "quoins": ("wall", "kind", "bottom", "height", "projection", "material", "courses"),
    "recessed panel": _STANDING,
    "movement joint": ("wall", "kind", "at", "bottom", "height", "spacing"),
    "air brick": ("wall", "kind", "at", "bottom", "spacing", "size", "face"),
    "vent": ("wall", "kind", "at", "width", "bottom", "height", "spacing"),
    "surround": ("wall", "kind", "projection", "material", "courses"),
}
"""Which keys each kind of feature has."""
FEATURE_LENGTHS = ("at", "start", "end", "width", "bottom", "height", "projection", "spacing")
_PLACED = ("pier", "pilaster", "recessed panel", "movement joint", "air brick", "vent")
MOST_COURSES = 12

FINISH_CHOICES = {
    "coursed rubble": "Coursed rubble",
    "random rubble": "Random rubble",
    "ashlar": "Ashlar",
    "concrete block": "Concrete block",
    "render": "Render",
    "weatherboard": "Weatherboard",
    "corrugated sheet": "Corrugated sheet",
    "box-profile sheet": "Box-profile sheet",
}
_BAND = ("wall", "kind", "bottom", "top", "projection")
FINISH_KEYS = {
    "coursed rubble": (*_BAND, "size", "seed"),
    "random rubble": (*_BAND, "size", "seed"),
    "ashlar": (*_BAND, "size"),
    "concrete block": (*_BAND, "size"),
    "render": (*_BAND, "texture", "seed"),
    "weatherboard": (*_BAND, "size", "seed"),
    "corrugated sheet": (*_BAND, "size"),
    "box-profile sheet": (*_BAND, "size"),
}
"""Which keys each kind of finish goes by. It may be given the others, to which it pays no heed."""
TEXTURE_CHOICES = {"smooth": "Smooth", "fine": "Fine texture"}
FINISH_LENGTHS = ("bottom", "top", "size", "projection")
LARGEST_SEED = 9999


@dataclass(frozen=True, slots=True)
class FeatureRequest:
    """One feature; lengths are full size, as written, and may count bricks or courses. Empty takes what is usual."""

    wall: str = needed("Wall", 'Letter of the wall, or "all".')
    kind: str = needed("Kind", "What it is.", FEATURE_CHOICES)
    at: str = setting(
        "",
        "At",
        "Left edge of a pier, panel, air brick or vent, or middle of a joint, from the wall's left end seen from "
        "outside: 1.2 m, 4ft or 5.5 bricks.",
    )
    start: str = setting(
        "", "From", "Where it begins along the wall: 0.5 m or 2 bricks. Empty begins at the wall's left end."
    )
    end: str = setting(
        "", "To", "Where it ends along the wall: 4.2 m or 18 bricks. Empty ends at the wall's right end."
    )
    width: str = setting("", "Width", "Width of a pier, panel or vent: 440 mm or 2 bricks. Empty takes what is usual.")
    bottom: str = setting(
        "", "Bottom", "Height of its foot above the foot of the wall: 0.3 m or 4 courses. Empty takes what is usual."
    )
    height: str = setting("", "Height", "From its foot to its top: 0.45 m or 6 courses. Empty takes what is usual.")
    projection: str = setting(
        "",
        "Projection",
        "How far it stands out, of a recessed panel how deep it lies: 28 mm or 56 mm. Empty takes what is usual.",
    )
    spacing: str = setting(
        "",
        "Spacing",
        "Distance to the next one, in a row up to the end of the wall: 1.8 m or 8 bricks. Empty makes one only.",
    )
    courses: int = setting(
        3,
        "Courses",
        "Oversailing courses of eaves; courses to each block of quoins and surrounds. Usual: 3.",
        minimum=1,
        maximum=MOST_COURSES,
    )
    material: str = setting("brick", "Material", "What it is made of.", choices=MATERIAL_CHOICES)
    top: str = setting("chamfered", "Top", "How a plinth ends at its top.", choices=TOP_CHOICES)
    size: str = setting("215x65", "Size", "Full size of an air brick, mm (BS 493).", choices=AIR_BRICK_CHOICES)
    face: str = setting("slots", "Face", "What an air brick shows.", choices=FACE_CHOICES)


@dataclass(frozen=True, slots=True)
class FinishRequest:
    """One finish over a band of height; lengths are full size, as written. Empty takes what is usual."""

    wall: str = needed("Wall", 'Letter of the wall, or "all".')
    kind: str = needed("Kind", "What takes the place of the bricks.", FINISH_CHOICES)
    bottom: str = setting("0", "From", "Height from which it covers the wall: 0, 1.2 m or 16 courses.")
    top: str = setting(
        "", "To", "Height up to which it covers the wall: 2.4 m or 32 courses. Empty goes on to the top."
    )
    size: str = setting(
        "",
        "Size",
        "Usual height of a stone, cover of a board, or pitch of a sheet: 200 mm or 6 in. Empty takes what is usual.",
    )
    projection: str = setting(
        "", "Projection", "How far its face stands before that of the bricks: 20 mm. Empty takes what is usual."
    )
    texture: str = setting("smooth", "Texture", "Face of render.", choices=TEXTURE_CHOICES)
    seed: int = setting(0, "Seed", "Another number gives other stones.", minimum=0, maximum=LARGEST_SEED)


def keys_of_kind(request_class: type, kind: str) -> tuple[str, ...]:
    """Return the keys that an entry of a list has: for a feature those of its kind, for others all.

    Parameters
    ----------
    request_class : type
        `FeatureRequest`, `FinishRequest` or another class made of settings.
    kind : str
        Of a feature; not looked at for others.
    """
    if request_class is FeatureRequest:
        return FEATURE_KEYS[kind]
    return tuple(record.key for record in settings_of(request_class))


def shown_keys(request_class: type, kind: str) -> tuple[str, ...]:
    """Return the keys that an interface shows for an entry of a list: those that its kind goes by."""
    return FINISH_KEYS[kind] if request_class is FinishRequest else keys_of_kind(request_class, kind)


def check_feature(request: FeatureRequest, where: str) -> None:
    """Refuse a feature whose choices or numbers are not allowed, or that is given keys its kind does not have.

    Raises
    ------
    KitError
        For the first value of the wrong type, out of range, not among its choices, or out of place.
    """
    for record in settings_of(FeatureRequest):
        check_value(record, getattr(request, record.key), f"{where} {record.key}")
    known = FEATURE_KEYS[request.kind]
    given = [item.name for item in fields(request) if getattr(request, item.name) != item.default]
    check_feature_keys(request.kind, given, where)
    if request.kind in _PLACED and not request.at:
        raise KitError(
            f"'at' is missing from a feature of kind '{request.kind}'", where, 'give it, such as at = "1.2 m"'
        )
    if request.spacing and "spacing" not in known:
        raise KitError("this feature is not repeated", f"{where} spacing", "leave the spacing out")


def check_feature_keys(kind: str, given: list[str], where: str) -> None:
    """Refuse a key that a kind of feature does not have.

    Raises
    ------
    KitError
        For the first such key.
    """
    known = FEATURE_KEYS[kind]
    for key in given:
        if key not in known:
            hint = did_you_mean(key, known)
            raise KitError(
                f"a feature of kind '{kind}' has no '{key}'", f"{where} {key}", f"{hint}use one of {', '.join(known)}"
            )


def check_finish(request: FinishRequest, where: str) -> None:
    """Refuse a finish whose choices or numbers are not allowed.

    Raises
    ------
    KitError
        For the first value of the wrong type, out of range or not among its choices.
    """
    for record in settings_of(FinishRequest):
        check_value(record, getattr(request, record.key), f"{where} {record.key}")
