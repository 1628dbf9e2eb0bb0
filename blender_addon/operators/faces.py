"""Finishes by the faces of the mesh, in Edit Mode."""

from __future__ import annotations

import bmesh
import numpy as np
from bpy.props import EnumProperty
from bpy.types import Context, Mesh, Object, Operator

from halfbat.errors import KitError
from halfbat.settings.features import FINISH_CHOICES
from halfbat.sites.faces import WallBand, bands_of, bared, finishes_of

from ..following import sites_for, state
from ..mesh_in import building_frame, metres_per_unit
from ..properties import building_data
from ..reporting import Result, refuse
from ..request_properties import index_name
from ..rows import add_row, kept
from ..settings_io import read_requests, write_requests
from ..target import why_not_own
from ..wall_following import keep_to_walls

BRICK = "brick"
LAYER = "halfbat_finish"
"""Attribute of the mesh's faces that says which finish was set there: 0 for none, else its turn among the choices."""


class HALFBAT_OT_set_finish(Operator):
    """Give the walls behind the selected faces a finish."""

    bl_idname = "halfbat.set_finish"
    bl_label = "Set Finish"
    bl_description = (
        "Give the walls a finish where the selected faces are, over their height. Finishes run the whole length of a "
        "wall; of faces that cover a part of it the height alone counts. The shape of the mesh stays as it is"
    )
    bl_options = {"REGISTER", "UNDO"}

    kind: EnumProperty(
        name="Finish",
        description="What takes the place of the bricks",
        items=[
            *((key, label, "") for key, label in FINISH_CHOICES.items()),
            (BRICK, "Brick", "No finish: the bricks show again"),
        ],
    )

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings in Edit Mode."""
        active = context.active_object
        if active is None or context.mode != "EDIT_MESH" or not building_data(active).is_building:
            cls.poll_message_set("Go to Edit Mode of a building and select faces of its walls")
            return False
        if why_not_own(active):
            cls.poll_message_set(why_not_own(active))
            return False
        return True

    def execute(self, context: Context) -> Result:
        """Find the bands that the faces cover, and keep a finish for each."""
        building = context.active_object
        assert building is not None and isinstance(building.data, Mesh)
        building.update_from_editmode()
        state().sites.pop(building.session_uid, None)
        try:
            sites = sites_for(building, context.evaluated_depsgraph_get(), context.scene)
            keep_to_walls(building, sites, context.scene)  # before letters of the mesh as it is now are written
            bands = bands_of(sites, selected_faces(building, metres_per_unit(context.scene), mark=self.kind))
            if not bands:
                raise KitError("no face of a wall is selected", building.name, "select faces of its walls")
        except KitError as error:
            return refuse(self, error)
        style = "imperial" if context.scene.unit_settings.system == "IMPERIAL" else "metric"
        if self.kind == BRICK:
            left = bared(sites, read_requests(building, "finishes"), bands, style)  # type: ignore[arg-type]
            write_requests(building, "finishes", left)
        else:
            for request in finishes_of(sites, bands, self.kind, style):  # type: ignore[arg-type]
                keep_finish(building, request)
        done = "Bricks show on" if self.kind == BRICK else "Finish set on"
        self.report({"WARNING"} if not all(band.whole for band in bands) else {"INFO"}, told(bands, done))
        return {"FINISHED"}


def selected_faces(building: Object, unit_m: float, mark: str) -> list[np.ndarray]:
    """Return the corners of the selected faces in the building's frame, metres, and mark each with the finish."""
    matrix = building_frame(building.matrix_world).inverted_safe() @ building.matrix_world
    mesh = bmesh.from_edit_mesh(building.data)  # type: ignore[arg-type]
    layer = mesh.faces.layers.int.get(LAYER) or mesh.faces.layers.int.new(LAYER)
    found = []
    for face in mesh.faces:
        if face.select:
            face[layer] = 0 if mark == BRICK else list(FINISH_CHOICES).index(mark) + 1
            found.append(np.array([matrix @ vertex.co for vertex in face.verts]) * unit_m)
    bmesh.update_edit_mesh(building.data, loop_triangles=False, destructive=False)  # type: ignore[arg-type]
    return found


def keep_finish(building: Object, request: object) -> None:
    """Keep a finish with a building, in place of one over the same band of the same wall."""
    data = building_data(building)
    keys = ("wall", "bottom", "top")
    same = [item for item in kept(data.finishes) if all(getattr(item, key) == getattr(request, key) for key in keys)]
    item = same[0] if same else add_row(data.finishes)
    for key in (*keys, "kind"):
        setattr(item, key, getattr(request, key))
    setattr(data, index_name("finishes"), kept(data.finishes).index(item))


def told(bands: list[WallBand], done: str = "Finish set on") -> str:
    """Say what was set, and what more than the selected faces that takes in."""
    text = ", ".join(f"wall {band.wall} from {band.bottom_m:.2f} to {band.top_m:.2f} m" for band in bands)
    part = [band for band in bands if not band.whole]
    if not part:
        return f"{done} {text}"
    more = ", ".join(f"{band.wall} from {band.start_m:.2f} to {band.end_m:.2f} m along" for band in part)
    return f"{done} {text}, over the whole length, though only a part is selected: {more}"
