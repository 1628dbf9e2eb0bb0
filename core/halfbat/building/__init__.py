"""A mesh becomes a building: planes, walls and their corners."""

from halfbat.building.mesh import Mesh, mesh_from_box
from halfbat.building.wall import Building, Wall, building_from_plan, wall_letter

__all__ = ["Building", "Mesh", "Wall", "building_from_plan", "mesh_from_box", "wall_letter"]
