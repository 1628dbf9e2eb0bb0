"""The place of the finding that is looked at: where it is now, and turning a view to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import Any

import bpy
from bpy.types import Context, Object
from mathutils import Vector

from halfbat.findings import Severity

from .modifiers import kits_in
from .properties import building_data, kit_data, words_of_finding
from .rows import kept
from .scene_out import part_objects

ROOM = 2.5
"""How much more than the place itself is brought into view."""
FILM_MM = 72.0
"""Width of what a 3D view sees at its lens: twice the 36 mm of a camera."""
LEAST_MM = 4.0
"""Of the model: a smaller place is shown with as much around it."""


@dataclass(frozen=True)
class MarkedPlace:
    """The place of a finding where its part stands now.

    Parameters
    ----------
    corners : tuple of Vector
        The eight corners of its box in the world, those that differ along X last.
    severity : Severity
        Of the finding.
    text : str
        What it says, short.
    """

    corners: tuple[Vector, ...]
    severity: Severity
    text: str

    @property
    def middle(self) -> Vector:
        """Middle of the box."""
        return sum(self.corners, Vector()) / len(self.corners)

    @property
    def radius(self) -> float:
        """From the middle to a corner, Blender units."""
        return max((corner - self.middle).length for corner in self.corners)


def place_now(building: Object, finding: Any) -> MarkedPlace | None:  # noqa: ANN401 - a HALFBAT_PG_finding
    """Return where the place of a finding is, assembled, drawn apart or on the plates; None where it has none."""
    part = part_objects(building).get(finding.place_on) if finding.place_on else None
    if part is None:
        return None
    box = list(product(*zip(finding.place_low, finding.place_high, strict=True)))
    corners = tuple(part.matrix_world @ Vector(corner) for corner in box)
    return MarkedPlace(corners, Severity(finding.severity), finding.text)


def marked_places(context: Context) -> Iterator[MarkedPlace]:
    """Yield the places that are marked in this scene: of each building the finding that was looked at last."""
    for kit in kits_in(context.scene):
        building: Object | None = kit_data(kit).building
        data = building_data(building) if building is not None else None
        if building is None or not data.marked or words_of_finding(data) != data.marked:
            continue
        finding = kept(data.findings)[data.finding_index]
        part = part_objects(building).get(finding.place_on)
        place = place_now(building, finding) if part is not None and part.visible_get() else None
        if place is not None:
            yield place


def frame_place(context: Context, place: MarkedPlace, part: Object) -> None:
    """Turn the largest 3D view to a place, close enough to see it, where there is a window."""
    frame_sphere(context, place.middle, max(place.radius, LEAST_MM * part.scale[0]), ROOM)


def frame_kit(context: Context, building: Object) -> None:
    """Turn the largest 3D view to all parts of a kit that are to be seen, where there is a window."""
    seen = [part for part in part_objects(building).values() if part.visible_get()]
    corners = [part.matrix_world @ Vector(corner) for part in seen for corner in part.bound_box]
    if corners:
        low = Vector([min(corner[axis] for corner in corners) for axis in range(3)])
        high = Vector([max(corner[axis] for corner in corners) for axis in range(3)])
        frame_sphere(context, (low + high) / 2, (high - low).length / 2, 1.25)


def frame_sphere(context: Context, middle: Vector, radius: float, room: float) -> None:
    """Turn the largest 3D view to something, where there is a window.

    Parameters
    ----------
    context : Context
        Its window is looked for a view.
    middle, radius : Vector, float
        What is to be seen, in the world.
    room : float
        How many times that fits into the shorter side of the view.
    """
    window = context.window
    areas = [area for area in window.screen.areas if area.type == "VIEW_3D"] if window is not None else []
    if not areas:
        return
    area = max(areas, key=lambda item: item.width * item.height)
    space: Any = area.spaces.active
    view = space.region_3d
    if view.view_perspective == "CAMERA":
        view.view_perspective = "PERSP"
    view.view_location = middle
    # The longer side shows 72 mm of film through the lens at this distance, and as much without perspective.
    sides = max(area.width, area.height) / max(1, min(area.width, area.height))
    view.view_distance = room * 2.0 * radius * sides * space.lens / FILM_MM


def frame_selected(context: Context) -> None:
    """Bring what is selected into view in the largest 3D view, where there is a window."""
    window = context.window
    areas = [area for area in window.screen.areas if area.type == "VIEW_3D"] if window is not None else []
    if areas:
        area = max(areas, key=lambda item: item.width * item.height)
        region = next(item for item in area.regions if item.type == "WINDOW")
        with context.temp_override(window=window, area=area, region=region):
            bpy.ops.view3d.view_selected()
