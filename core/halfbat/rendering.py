"""Pictures of a kit rendered by Blender, where its Python module is installed (``pip install bpy``).

Small pictures with few samples on the processor: a booklet needs no more, and every machine has one. Blender is loaded
only when pictures are asked for.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
from numpy.typing import NDArray

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.part_drawings import AS_PRINTED
from halfbat.drawings.view import View, facing, of_building
from halfbat.optional import optional_module
from halfbat.parts.part import Part

Progress = Callable[[float, str], None]
COVER_PIXELS, PART_PIXELS = (1320, 900), (360, 200)
COVER_SAMPLES, PART_SAMPLES = 32, 12
QUALITY = 82
COLOURS: Mapping[str, tuple[float, float, float]] = {
    "resin": (0.42, 0.17, 0.10),
    "filament": (0.22, 0.23, 0.25),
    "bought": (0.05, 0.05, 0.05),
}
_ROOM = 1.06
_KINDS = ("objects", "meshes", "materials", "cameras", "lights", "worlds", "scenes")


@dataclass(frozen=True, slots=True, eq=False)
class _Shot:
    """One picture: parts with the matrices they stand by, seen from a direction; on a floor where walls have a foot."""

    key: str
    parts: tuple[tuple[Part, NDArray[np.float64]], ...]
    view: View
    pixels: tuple[int, int]
    samples: int
    foot_mm: float | None


def load_blender() -> Any:  # noqa: ANN401 - bpy may be missing, and has no types of its own
    """Return the module ``bpy``.

    Raises
    ------
    KitError
        It is not installed.
    """
    return optional_module("bpy", "rendering pictures", "pip install bpy, or leave --pictures out for drawn pictures")


def render_pictures(kit: DrawnKit, progress: Progress) -> dict[str, bytes]:
    """Render the finished model and every part.

    Parameters
    ----------
    kit : DrawnKit
        A made kit.
    progress : callable
        Called with the share done and what is being rendered.

    Returns
    -------
    dict of str to bytes
        JPEG files, by ``"assembled"`` and the numbers of the parts.

    Raises
    ------
    KitError
        Blender's module is not installed.
    """
    bpy = load_blender()
    shots = _shots(kit)
    pictures: dict[str, bytes] = {}
    with TemporaryDirectory() as folder:
        for place, shot in enumerate(shots):
            progress(place / len(shots), f"rendering {shot.key}")
            path = Path(folder) / f"{place}.jpg"
            with _silence():
                _render(bpy, shot, path)
            pictures[shot.key] = path.read_bytes()
    return pictures


def _shots(kit: DrawnKit) -> list[_Shot]:
    walls = {plan.wall.letter: plan.facing for plan in kit.plan.walls}
    everything = tuple((part, part.place) for part in kit.parts)
    shots = [_Shot("assembled", everything, of_building(kit.plan), COVER_PIXELS, COVER_SAMPLES, kit.plan.base_mm)]
    for part in kit.parts:
        upright = part.kind == "skin" and part.wall in walls
        view, place = AS_PRINTED, np.eye(4)
        if upright and part.wall is not None:
            view, place = facing(walls[part.wall].along, walls[part.wall].outward), part.place
        shots.append(_Shot(part.number, ((part, place),), view, PART_PIXELS, PART_SAMPLES, None))
    return shots


def _render(bpy: Any, shot: _Shot, path: Path) -> None:  # noqa: ANN401
    before = {kind: set(getattr(bpy.data, kind)) for kind in _KINDS}
    scene = bpy.data.scenes.new("halfbat picture")
    try:
        _set_up(bpy, scene, shot)
        scene.render.filepath = str(path)
        bpy.ops.render.render(write_still=True, scene=scene.name)
    finally:
        # In a running Blender nothing of it may stay behind.
        bpy.data.batch_remove([one for kind in _KINDS for one in set(getattr(bpy.data, kind)) - before[kind]])


def _set_up(bpy: Any, scene: Any, shot: _Shot) -> None:  # noqa: ANN401
    points = []
    for part, place in shot.parts:
        corners = part.solid.vertices @ place[:3, :3].T + place[:3, 3]
        points.append(corners)
        triangles = part.solid.triangles
        if shot.foot_mm is not None and part.wall is not None:
            # What hangs below the foot of a wall is a tab that is cut off.
            triangles = triangles[(corners[triangles][:, :, 2] > shot.foot_mm - 0.01).all(axis=1)]
        _add_mesh(bpy, scene, part.number, corners, triangles, COLOURS[part.process])
    every = np.concatenate(points)
    if shot.foot_mm is not None:
        _add_ground(bpy, scene, every, shot)
    _add_camera(bpy, scene, every, shot)
    _add_light(bpy, scene, shot.view)
    render = scene.render
    render.engine = "CYCLES"
    scene.cycles.device = "CPU"
    scene.cycles.samples = shot.samples
    scene.cycles.use_denoising = False
    scene.cycles.seed = 0
    scene.view_settings.view_transform = "Standard"
    render.resolution_x, render.resolution_y = shot.pixels
    render.resolution_percentage = 100
    render.image_settings.file_format = "JPEG"
    render.image_settings.quality = QUALITY


def _add_mesh(
    bpy: Any,  # noqa: ANN401
    scene: Any,  # noqa: ANN401
    name: str,
    corners: NDArray[np.float64],
    triangles: NDArray[np.int64],
    colour: tuple[float, float, float],
) -> None:
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata(corners.tolist(), [], triangles.tolist())
    material = bpy.data.materials.new(name)
    material.diffuse_color = (*colour, 1.0)
    if material.node_tree is None:
        material.use_nodes = True
    surface = material.node_tree.nodes["Principled BSDF"]
    surface.inputs["Base Color"].default_value = (*colour, 1.0)
    surface.inputs["Roughness"].default_value = 0.75
    mesh.materials.append(material)
    scene.collection.objects.link(bpy.data.objects.new(name, mesh))


def _add_ground(bpy: Any, scene: Any, every: NDArray[np.float64], shot: _Shot) -> None:  # noqa: ANN401
    """Lay a white floor under what the building stands on."""
    standing = [
        (part.solid.vertices @ place[:3, :3].T + place[:3, 3])[:, 2].min()
        for part, place in shot.parts
        if part.kind != "cover"
    ]
    level = min(standing, default=every[:, 2].min()) - 0.01
    low, high = every.min(axis=0), every.max(axis=0)
    away = 20 * float(np.linalg.norm(high - low))
    x, y = ((low + high) / 2)[:2].tolist()
    corners = np.array([[x + dx * away, y + dy * away, level] for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1))])
    _add_mesh(bpy, scene, "ground", corners, np.array([[0, 1, 2], [0, 2, 3]]), (0.9, 0.9, 0.9))


def _add_camera(bpy: Any, scene: Any, every: NDArray[np.float64], shot: _Shot) -> None:  # noqa: ANN401
    """Look square along the view at the middle of everything, without perspective."""
    view = shot.view
    frame = np.column_stack([view.right, view.up, view.toward])
    seen = every @ frame
    low, high = seen.min(axis=0), seen.max(axis=0)
    wide, tall = (float(value) for value in (high - low)[:2])
    camera = bpy.data.cameras.new("camera")
    camera.type = "ORTHO"
    camera.ortho_scale = max(wide, tall * shot.pixels[0] / shot.pixels[1]) * _ROOM
    far = float(high[2] - low[2]) + 50.0
    camera.clip_start, camera.clip_end = 0.01, 100 * far
    matrix = np.eye(4)
    matrix[:3, :3] = frame
    matrix[:3, 3] = frame @ np.array([*(low + high)[:2] / 2, float(high[2]) + far])
    thing = bpy.data.objects.new("camera", camera)
    thing.matrix_world = _by_columns(matrix)
    scene.collection.objects.link(thing)
    scene.camera = thing


def _by_columns(matrix: NDArray[np.float64]) -> list[list[float]]:
    """Return a matrix as Blender's properties take one without its own class for them: column by column."""
    columns: list[list[float]] = matrix.T.tolist()
    return columns


def _add_light(bpy: Any, scene: Any, view: View) -> None:  # noqa: ANN401
    light = bpy.data.lights.new("sun", "SUN")
    light.energy, light.angle = 2.2, 0.08
    toward = view.toward * 0.75 - view.right * 0.6 + view.up * 0.75
    toward = toward / np.linalg.norm(toward)
    across = np.cross([0.0, 0.0, 1.0], toward)
    across = across / np.linalg.norm(across)
    matrix = np.eye(4)
    matrix[:3, :3] = np.column_stack([across, np.cross(toward, across), toward])
    sun = bpy.data.objects.new("sun", light)
    sun.matrix_world = _by_columns(matrix)
    scene.collection.objects.link(sun)
    world = bpy.data.worlds.new("world")
    scene.world = world
    if world.node_tree is None:
        world.use_nodes = True
    background = world.node_tree.nodes.get("Background")
    if background is not None:
        background.inputs[0].default_value = (1.0, 1.0, 1.0, 1.0)
        background.inputs[1].default_value = 1.0


@contextmanager
def _silence() -> Iterator[None]:
    """Send what Blender writes past Python to its own standard output nowhere."""
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
