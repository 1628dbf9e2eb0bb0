"""Buildings that come into Blender from the core: a kit file's, or the example."""

from __future__ import annotations

import bpy
from bpy.types import Context, Object

from halfbat.building import Mesh
from halfbat.building.structure import Structure
from halfbat.errors import KitError
from halfbat.settings import Settings

from .making import take_order
from .mesh_in import metres_per_unit
from .properties import SETTINGS_VERSION, building_data
from .settings_io import write_settings
from .walls import keep_walls


def add_building(context: Context, mesh: Mesh, settings: Settings) -> Object:
    """Add a building to the scene, where its mesh says, and make it the active object.

    Parameters
    ----------
    context : Context
        Its scene and collection take the building.
    mesh : Mesh
        Metres, z up; points and faces keep their order.
    settings : Settings
        Kept with it.
    """
    data = bpy.data.meshes.new(settings.kit.name)
    points = mesh.vertices / metres_per_unit(context.scene)
    data.from_pydata(points.tolist(), [], [list(face) for face in mesh.faces])
    data.update()
    building = bpy.data.objects.new(settings.kit.name, data)
    context.collection.objects.link(building)
    for other in context.selected_objects:
        other.select_set(False)
    building.select_set(True)
    context.view_layer.objects.active = building
    keep_settings(building, settings)
    return building


def keep_settings(building: Object, settings: Settings) -> None:
    """Make an object a building with these settings."""
    data = building_data(building)
    data.is_building = True
    data.settings_version = SETTINGS_VERSION
    write_settings(building, settings)


def read_walls(building: Object, context: Context) -> Structure:
    """Read the walls of a building's mesh and keep them with it.

    Raises
    ------
    KitError
        When a setting cannot be used or the mesh has no walls; what was kept stays.
    """
    structure = take_order(building, context).building()
    keep_walls(building, structure.walls)
    return structure


def why_no_walls(building: Object, context: Context) -> str:
    """Read the walls of a new building; return why there are none, or nothing where there are."""
    context.view_layer.update()
    try:
        read_walls(building, context)
    except KitError as error:
        return str(error)
    return ""
