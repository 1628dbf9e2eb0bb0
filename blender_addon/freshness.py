"""Telling whether a kit still is what its building and settings say."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from bpy.types import Collection, Object

from halfbat import __version__
from halfbat.building import Mesh
from halfbat.errors import KitError
from halfbat.settings import Settings

from .properties import kit_data
from .scene_out import kit_collection
from .settings_io import read_settings


@dataclass(frozen=True)
class Digests:
    """Digests of what a kit was made from.

    Parameters
    ----------
    everything : str
        Of the mesh, the settings and the core's version.
    settings : str
        Of the settings alone, which are quick to read at every drawing of a panel.
    """

    everything: str
    settings: str


def digests_of(mesh: Mesh, settings: Settings) -> Digests:
    """Return the digests of all that a kit is made from."""
    own = _settings_digest(settings)
    digest = hashlib.sha256(mesh.vertices.tobytes())
    digest.update(repr((__version__, mesh.faces, own)).encode())
    return Digests(digest.hexdigest(), own)


def _settings_digest(settings: Settings) -> str:
    return hashlib.sha256(repr(settings).encode()).hexdigest()


def mark_made_from(collection: Collection, made_from: Digests) -> None:
    """Keep with a kit's collection what the kit was made from."""
    data = kit_data(collection)
    data.fingerprint, data.settings_digest = made_from.everything, made_from.settings


def is_made_from(building: Object, made_from: Digests) -> bool:
    """Tell whether the kit that stands over a building was made from this mesh and these settings."""
    collection = kit_collection(building)
    return collection is not None and kit_data(collection).fingerprint == made_from.everything


def settings_changed(building: Object) -> bool:
    """Tell whether settings were changed since the kit was made; the mesh is not looked at."""
    collection = kit_collection(building)
    if collection is None:
        return False
    try:
        return bool(kit_data(collection).settings_digest != _settings_digest(read_settings(building)))
    except KitError:
        return True
