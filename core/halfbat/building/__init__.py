"""A mesh becomes a building: planes, walls and their corners."""

from halfbat.building.assemble import building_from_mesh
from halfbat.building.inspect import MeshReport, PlaneReport, WallReport, inspect_mesh
from halfbat.building.mesh import Mesh, mesh_from_box
from halfbat.building.obj import obj_text, read_obj
from halfbat.building.report_lines import report_lines
from halfbat.building.wall import Building, Wall, building_from_plan, wall_letter

__all__ = [
    "Building",
    "Mesh",
    "MeshReport",
    "PlaneReport",
    "Wall",
    "WallReport",
    "building_from_mesh",
    "building_from_plan",
    "inspect_mesh",
    "mesh_from_box",
    "obj_text",
    "read_obj",
    "report_lines",
    "wall_letter",
]
