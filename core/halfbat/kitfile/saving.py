"""A kit file and its mesh in a folder, written together; and the mesh that a kit file names."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from halfbat.building import Mesh, mesh_from_box, obj_text, read_obj
from halfbat.errors import KitError
from halfbat.kitfile.kit_file import KitFile
from halfbat.kitfile.writing import write_kit_file
from halfbat.settings import Settings

OWN_MESH = "# Building of a kit, written by Halfbat: metres, z up\n"
"""First line of every mesh written here, by which one's own mesh is told from a maker's."""


def save_kit_file(path: Path, settings: Settings, mesh: Mesh) -> Path:
    """Write a kit file, and its mesh beside it under the same name as Wavefront OBJ.

    Parameters
    ----------
    path : Path
        The kit file, written over where it is there; ``.toml`` is added where the name does not end in it.
    settings : Settings
        What it says.
    mesh : Mesh
        The building, metres, z up.

    Returns
    -------
    Path
        The kit file. Read with its mesh it gives the same settings and the same points.

    Raises
    ------
    KitError
        When a mesh of the maker's own has that name, or a file cannot be written; then neither is changed.
    """
    if path.suffix.lower() != ".toml":
        path = path.with_name(f"{path.name}.toml")
    mesh_path = path.with_suffix(".obj")
    _refuse_foreign(mesh_path)
    texts = {
        mesh_path: OWN_MESH + obj_text(mesh),
        path: write_kit_file(KitFile(settings, mesh=mesh_path), path.parent),
    }
    written = {target: target.with_name(f".{target.name}.new") for target in texts}
    try:
        for target, aside in written.items():
            aside.write_text(texts[target], encoding="utf-8", newline="\n")
        for target, aside in written.items():
            aside.replace(target)
    except OSError as error:
        for aside in written.values():
            with suppress(OSError):
                aside.unlink(missing_ok=True)
        raise KitError(f"the file cannot be written ({error.strerror})", str(path), "choose another place") from error
    return path


def kit_mesh(kit_file: KitFile) -> Mesh:
    """Return the building of a kit file at full size: its mesh, or its box.

    Raises
    ------
    KitError
        When there is none, or it cannot be read.
    """
    if kit_file.box_m is not None:
        return mesh_from_box(*kit_file.box_m)
    if kit_file.mesh is None:
        raise KitError("there is no building", "[building]", "give a mesh or a box")
    return read_obj(kit_file.mesh)


def _refuse_foreign(mesh_path: Path) -> None:
    """Refuse to write over a mesh that was not written here."""
    try:
        with mesh_path.open("rb") as file:
            start = file.read(len(OWN_MESH))
    except FileNotFoundError:
        return
    except OSError as error:
        raise KitError(
            f"the mesh cannot be replaced ({error.strerror})", str(mesh_path), "choose another name"
        ) from error
    if start != OWN_MESH.encode():
        raise KitError(
            "there is a mesh of this name already, which the kit's would replace",
            str(mesh_path),
            "choose another name for the kit file",
        )
