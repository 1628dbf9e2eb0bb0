"""Reading the walls of a building, and looking at one of them."""

from __future__ import annotations

from bpy.props import StringProperty
from bpy.types import Context, Operator, RegionView3D
from mathutils import Matrix, Vector

from halfbat.building.structure import FaceOfWall
from halfbat.errors import KitError

from ..building_out import read_walls
from ..following import follow_letters
from ..making import take_order
from ..mesh_in import building_frame, metres_per_unit
from ..reporting import Result, refuse
from ..target import poll_any_building, poll_building, required_building
from ..walls import chosen_wall

MARGIN = 1.6
"""How much farther than the wall's own size the view is taken."""


class HALFBAT_OT_read_walls(Operator):
    """Read the walls of the building again after its mesh was changed."""

    bl_idname = "halfbat.read_walls"
    bl_label = "Read Walls"
    bl_description = "Read the walls of the building again after its mesh was changed"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings."""
        return poll_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Read and keep them."""
        try:
            building = required_building(context)
            word = follow_letters(building, context.evaluated_depsgraph_get(), context.scene)
            structure = read_walls(building, context)
        except KitError as error:
            return refuse(self, error)
        if word:
            self.report({"WARNING"}, f"The mesh was changed: {word}")
        self.report({"INFO"}, f"{len(structure.walls)} walls, {len(structure.slopes)} roof slopes")
        return {"FINISHED"}


class HALFBAT_OT_look_at_wall(Operator):
    """Turn the 3D view so that it looks straight at a wall from outside."""

    bl_idname = "halfbat.look_at_wall"
    bl_label = "Look at Wall"
    bl_description = "Turn the 3D view so that it looks straight at this wall from outside. Nothing is changed"
    bl_options = {"INTERNAL"}

    wall: StringProperty(
        name="Wall", description="Letter of the wall, such as A. Empty takes the one chosen in the list"
    )

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings, in a 3D view."""
        if not isinstance(context.region_data, RegionView3D):
            cls.poll_message_set("Do this in a 3D view")
            return False
        return poll_any_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Find the wall and turn the view."""
        building = required_building(context)
        letter = self.wall or chosen_wall(building)
        try:
            walls = {wall.letter: wall for wall in take_order(building, context).building().walls}
            if letter not in walls:
                raise KitError(f"there is no wall {letter}", building.name, f"it has the walls {', '.join(walls)}")
        except KitError as error:
            return refuse(self, error)
        frame = building_frame(building.matrix_world)
        look_at(context.region_data, walls[letter], metres_per_unit(context.scene), frame)
        return {"FINISHED"}


def look_at(view: RegionView3D, wall: FaceOfWall, unit_m: float, frame: Matrix) -> None:
    """Turn a view so that a wall fills it, seen square from outside.

    Parameters
    ----------
    view : RegionView3D
        Turned.
    wall : FaceOfWall
        Looked at, in metres.
    unit_m : float
        Length of a Blender unit in metres.
    frame : Matrix
        Where the building stands.
    """
    axes = ((*wall.along.tolist(), 0.0), (0.0, 0.0, 1.0), (*wall.outward.tolist(), 0.0))
    view.view_rotation = (frame.to_3x3() @ Matrix(axes).transposed()).to_quaternion()
    middle = (wall.start_m + wall.end_m) / 2
    view.view_location = frame @ (Vector((*middle, wall.base_m + wall.height_m / 2)) / unit_m)
    view.view_distance = MARGIN * max(wall.length_m, wall.height_m) / unit_m
