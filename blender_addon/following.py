"""Things on a wall follow their text, and their text follows the things when they are moved by hand.

The core says which place on which wall is meant. An object is told to have been moved by where it stands: anywhere
else than it was put. So undo, redo, copies and files need no care; object and text always come together.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import Any

import bpy
import numpy as np
from bpy.types import Depsgraph, Object, Scene
from mathutils import Matrix
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.settings import Settings, check_settings
from halfbat.sites.moving import moved
from halfbat.sites.shapes import shape_of
from halfbat.sites.spots import Spot, spot_at_point
from halfbat.sites.walls import Sites, sites_of
from halfbat.units import LengthStyle

from .bending import aligned_request, write_bend
from .making import Order
from .mesh_in import building_frame, building_mesh, metres_per_unit
from .placed import (
    adopt_old_seams,
    ensure_collection,
    make_again,
    place_name,
    place_of,
    placed_on,
    remember,
    request_of,
    write_request,
)
from .placed_properties import ON_SLOPES, placed_data
from .placed_shapes import colour, draw_shape
from .properties import building_data
from .reporting import capital
from .request_properties import REQUEST_CLASSES
from .settings_io import read_groups
from .wall_following import keep_to_walls

STATE = "halfbat_following"
OFF_WALL = "It stands off the {0}s and is left out of the kit. Move it onto a {0}"
STRAIGHTENED = "Pipes, and seams that no cable run hides, go straight up: it stands where most of the bent line stood"
_SAME = 1e-5
_PLACE_KEYS = ("wall", "at", "sill_height", "path", "slope", "up")


@dataclass
class Following:
    """What is known for as long as Blender runs, or until another file is opened.

    Parameters
    ----------
    sites : dict of int to tuple
        Settings in words and the walls of each building, by its session's number; forgotten when its mesh changes.
    """

    sites: dict[int, tuple[str, Sites]]


def state() -> Following:
    """Return what is known; Blender empties the space it is kept in when another file is opened."""
    known: Following = bpy.app.driver_namespace.setdefault(STATE, Following({}))
    return known


def sites_for(building: Object, depsgraph: Depsgraph, scene: Scene) -> Sites:
    """Return the walls of a building as places to put things, read from its mesh where that is not known.

    Raises
    ------
    KitError
        A setting cannot be used, or the mesh has no walls.
    """
    known = state().sites.get(building.session_uid)
    words = settings_words(building)
    if known is None or known[0] != words:
        settings = Settings(**read_groups(building))
        check_settings(settings)
        order = Order(building_mesh(building, depsgraph, scene), settings)
        known = words, sites_of(order.building(), settings)
        state().sites[building.session_uid] = known
    return known[1]


def settings_words(building: Object) -> str:
    """Return all that bricks and scale depend on, in words that are quick to compare."""
    groups = read_groups(building)
    return repr([groups[name] for name in ("kit", "brick", "seam", "downpipe", "skin", "roof", "resin")])


def put(item: Object, sites: Sites, scene: Scene, *, typed: bool) -> None:
    """Put an object where its text says, or say why that cannot be.

    Parameters
    ----------
    item : Object
        A thing on a wall.
    sites : Sites
        Of its building.
    scene : Scene
        Gives the length of a unit.
    typed : bool
        The text was not made from its place, so it is to come back when a move is given up.
    """
    data = placed_data(item)
    try:
        request = aligned_request(item, sites, _style(scene))
        shape = shape_of(sites, request, item.name, data.kind)
    except KitError as error:
        data.typed, data.trouble, data.put = False, capital(str(error)), _flat(item.matrix_basis)
        colour(item)
        return
    unit_m = metres_per_unit(scene)
    place = Matrix(shape.place.tolist())
    place.translation /= unit_m
    place = building_frame(item.parent.matrix_world) @ place
    inverse = item.parent.matrix_world.inverted_safe()
    if not _same(item.matrix_parent_inverse, inverse):
        item.matrix_parent_inverse = inverse
    if not _same(item.matrix_basis, place):
        item.matrix_basis = place
    data.put, data.typed, data.off_wall, data.word = _flat(item.matrix_basis), False, False, ""
    if data.trouble != shape.trouble:
        data.trouble = shape.trouble
    if typed:
        data.rest_put = data.put
        data.rest = json.dumps({key: getattr(request, key) for key in _PLACE_KEYS if hasattr(request, key)})
    draw_shape(item, shape, unit_m)


def settle(item: Object, world: Matrix, sites: Sites, scene: Scene) -> None:
    """Write down where an object was moved to, and put it there on its wall.

    Parameters
    ----------
    item : Object
        A thing on a wall that was moved by hand.
    world : Matrix
        Where it is in the world.
    sites, scene
        As for `put`.
    """
    data = placed_data(item)
    if data.rest and was_moved(item) and _near(_flat(item.matrix_basis), data.rest_put):
        before: dict[str, Any] = json.loads(data.rest)
        write_request(item, replace(request_of(item), **before))
        put(item, sites, scene, typed=True)
        return
    own = building_frame(item.parent.matrix_world).inverted_safe() @ world.translation
    point = np.array(own) * metres_per_unit(scene)
    held = "" if data.off_wall else place_of(item)
    spot = spot_at_point(sites, point, held, on_slopes=data.kind in ON_SLOPES)
    if spot is None:
        data.off_wall, data.trouble, data.put = True, OFF_WALL.format(place_name(data.kind)), _flat(item.matrix_basis)
        colour(item)
        return
    move_to(item, spot, sites, scene)


def move_to(item: Object, spot: Spot, sites: Sites, scene: Scene) -> None:
    """Put an object at a place on a wall, snapped to the bricks where the building wants it, and write that down."""
    style = _style(scene)
    snap = building_data(item.parent).snap
    try:
        write_request(item, moved(sites, request_of(item), spot, snap=snap, style=style))
    except KitError as error:
        placed_data(item).trouble = capital(str(error))
    put(item, sites, scene, typed=False)


def _style(scene: Scene) -> LengthStyle:
    return "imperial" if scene.unit_settings.system == "IMPERIAL" else "metric"


def bend(item: Object, line: NDArray[np.float64], sites: Sites, scene: Scene) -> None:
    """Write down how a cable run was bent by hand, points (K, 3) in metres, and put it there on its wall."""
    word = ""
    try:
        word = write_bend(item, line, sites, snap=building_data(item.parent).snap, style=_style(scene))
    except KitError as error:
        placed_data(item).trouble = capital(str(error))
    put(item, sites, scene, typed=True)
    placed_data(item).word = word


def put_all(building: Object, depsgraph: Depsgraph, scene: Scene, *, anew: bool = False) -> None:
    """Put everything on a building's walls where its text says.

    Parameters
    ----------
    building : Object
        Whose mesh or settings may have changed.
    depsgraph, scene
        Of the context.
    anew : bool
        Read the walls from the mesh again.
    """
    if anew:
        state().sites.pop(building.session_uid, None)
    if building.library is None:
        if building.override_library is None:  # the list of older files cannot be emptied in an override
            adopt_old_seams(building)
        make_again(building)
    items = placed_on(building)
    if not items and not names_walls(building):
        return
    if any(item.name not in scene.objects for item in items):  # they came with an appended building
        ensure_collection(building)
    try:
        sites = sites_for(building, depsgraph, scene)
    except KitError as error:
        for item in items:
            placed_data(item).trouble = capital(str(error))
            colour(item)
        return
    if building.library is None:
        keep_to_walls(building, sites, scene)
    for item in items:
        if not placed_data(item).off_wall or placed_data(item).typed:
            put(item, sites, scene, typed=placed_data(item).typed)
    remember(building)


def follow_letters(building: Object, depsgraph: Depsgraph, scene: Scene) -> str:
    """Have what names walls of a building follow them to their letters now, and say what was done; see `keep_to_walls`.

    Raises
    ------
    KitError
        A setting cannot be used, or the mesh has no walls.
    """
    state().sites.pop(building.session_uid, None)
    return keep_to_walls(building, sites_for(building, depsgraph, scene), scene)


def names_walls(building: Object) -> bool:
    """Tell whether an entry of a building's lists names a wall."""
    return any(len(getattr(building_data(building), name)) for name in REQUEST_CLASSES)


def _flat(matrix: Matrix) -> list[float]:
    return [float(value) for value in np.array(matrix).ravel()]


def _near(one: Any, other: Any) -> bool:  # noqa: ANN401 - rows of floats
    return bool(np.allclose(one, other, atol=_SAME, rtol=_SAME))


def _same(one: Matrix, other: Matrix) -> bool:
    return _near(_flat(one), _flat(other))


def was_moved(item: Object) -> bool:
    """Tell whether an object stands elsewhere than it was put."""
    return not _near(_flat(item.matrix_basis), placed_data(item).put)
