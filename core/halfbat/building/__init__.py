"""A mesh becomes a building: planes, walls and their corners."""

from halfbat.building.assemble import building_from_mesh
from halfbat.building.mesh import Mesh, mesh_from_box
from halfbat.building.obj import read_obj
from halfbat.building.wall import Building, Wall, building_from_plan, wall_letter

__all__ = [
    "Building",
    "Mesh",
    "Wall",
    "building_from_mesh",
    "building_from_plan",
    "mesh_from_box",
    "read_obj",
    "wall_letter",
]
