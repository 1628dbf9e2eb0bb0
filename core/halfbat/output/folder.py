"""A kit's folder: made aside, then moved into place, so that it is never there by half.

A folder is replaced only where it is a kit of ours in which nothing was added or changed since.
"""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from hashlib import sha256
from itertools import count
from pathlib import Path

from halfbat.errors import KitError
from halfbat.output.contents import KitContents
from halfbat.output.manifest import FORMAT, kit_manifest, manifest_bytes, part_file
from halfbat.output.parts_list import parts_list_csv
from halfbat.output.plate_files import plate_files
from halfbat.output.stl import stl_bytes
from halfbat.printing.compensation import written_solid
from halfbat.printing.plates import plates_for
from halfbat.settings import check_kit_name

MANIFEST = "kit.json"
PARTS_LIST = "parts-list.csv"
_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,31}")
_LEFT_BY_FILE_BROWSERS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
_ELSEWHERE = "choose another folder"


def write_kit(kit: KitContents, directory: Path, more: Mapping[str, bytes] | None = None) -> None:
    """Write a kit's folder: ``kit.json``, ``parts-list.csv``, ``parts/NUMBER.stl`` and ``plates/``.

    Parameters
    ----------
    kit : KitContents
        A made kit. The same kit gives the same bytes.
    directory : Path
        New, empty, or a kit that was written here before and not touched since, which is replaced.
    more : mapping of str to bytes, optional
        Other files of the folder by name, such as the booklet.

    Raises
    ------
    KitError
        When the name or the folder will not do or writing fails; then nothing is changed and nothing left behind.
    """
    check_kit_name(kit.name, "kit.name")
    _check_numbers(kit)
    check_destination(directory)
    target = directory.resolve()
    with _sentences(directory), _parents_of(target):
        aside = _new_sibling(target, "new")
        try:
            _fill(kit, aside, more or {})
            _move_into_place(aside, target)
        except BaseException:  # Ctrl-C too must leave nothing behind
            shutil.rmtree(aside, ignore_errors=True)
            raise


def write_new_folder(directory: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder of their own, whole or not at all.

    Parameters
    ----------
    directory : Path
        New or empty.
    files : mapping of str to bytes
        By path with forward slashes, one folder deep at most.

    Raises
    ------
    KitError
        When the folder holds something or cannot be written; then nothing is changed.
    """
    with _sentences(directory):
        if directory.exists() and (not directory.is_dir() or any(directory.iterdir())):
            raise KitError("this folder holds something already", str(directory), _ELSEWHERE)
        target = directory.resolve()
    with _sentences(directory), _parents_of(target):
        aside = _new_sibling(target, "new")
        try:
            for name, data in files.items():
                (aside / name).parent.mkdir(exist_ok=True)
                (aside / name).write_bytes(data)
            _move_into_place(aside, target)
        except BaseException:  # Ctrl-C too must leave nothing behind
            shutil.rmtree(aside, ignore_errors=True)
            raise


def write_file(path: Path, data: bytes) -> None:
    """Write one file, over one that is there, by way of a file beside it so that it is never half there.

    Raises
    ------
    KitError
        When it cannot be written.
    """
    check_file(path)
    with _sentences(path):
        if path.exists() and not path.is_file():
            path.write_bytes(data)  # a pipe or terminal
            return
        target = path.resolve()
        aside = target.with_name(f".{target.name}.new")
        try:
            aside.write_bytes(data)
            aside.replace(target)
        except BaseException:
            with suppress(OSError):
                aside.unlink(missing_ok=True)
            raise


def check_file(path: Path) -> None:
    """Refuse a file that cannot be written, before any work is done for it.

    Raises
    ------
    KitError
        When it is a folder, or its folder is not there or cannot be written to.
    """
    with _sentences(path):
        if path.is_dir():
            raise KitError("this is a folder, not a file", str(path), "give the file a name")
        folder = path.resolve().parent
        if not folder.exists():
            raise KitError("the folder of this file is not there", str(path), "make it, or choose another")
        if folder.is_dir() and not os.access(folder, os.W_OK | os.X_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def check_destination(directory: Path) -> None:
    """Refuse a folder that must not be replaced or cannot be made, before any work is done for it.

    Raises
    ------
    KitError
        When it is a file, a folder that is not a kit of ours, a kit with something in it that we did not write, or
        somewhere that cannot be written to.
    """
    where = str(directory)
    with _sentences(directory):
        target = directory.resolve()
        above = next(parent for parent in (*target.parents, target) if parent.exists())
        if above.is_dir() and not os.access(above, os.W_OK | os.X_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        if not directory.exists():
            return
        if not directory.is_dir():
            raise KitError("the kit's folder is already a file", where, _ELSEWHERE)
        present = _files_in(directory)
        if not present:
            return
        known = _files_we_wrote(directory)
        if known is None:
            raise KitError("this folder holds something that is not a kit", where, _ELSEWHERE)
        for name in sorted(present - known.keys() - {MANIFEST}):
            raise KitError(f"'{name}' in this kit is not part of it", where, f"move it away, or {_ELSEWHERE}")
        for name in sorted(present & known.keys()):
            if sha256((directory / name).read_bytes()).hexdigest() != known[name]:
                raise KitError(f"'{name}' was changed since this kit was made", where, f"move it away, or {_ELSEWHERE}")


def _check_numbers(kit: KitContents) -> None:
    """Refuse numbers that would write one part over another, also where names differ in case only."""
    seen: set[str] = set()
    for part in kit.parts:
        if not _NUMBER.fullmatch(part.number):
            raise KitError(f"{part.number!r} cannot be the number of a part", part.name, "use letters and digits")
        if part.number.casefold() in seen:
            raise KitError(f"two parts have the number {part.number}", part.name, "give each part its own")
        seen.add(part.number.casefold())


def _files_in(directory: Path) -> set[str]:
    """Return every file in a folder, with forward slashes; empty folders and links count as files."""
    found: set[str] = set()
    for path in directory.rglob("*"):
        is_folder = path.is_dir() and not path.is_symlink()
        if path.name in _LEFT_BY_FILE_BROWSERS or (is_folder and any(path.iterdir())):
            continue
        found.add(path.relative_to(directory).as_posix())
    return found


def _files_we_wrote(directory: Path) -> dict[str, str] | None:
    """Return path and SHA-256 of the files a kit's manifest lists, or None where there is no manifest of ours."""
    manifest = directory / MANIFEST
    if manifest.is_symlink() or not manifest.is_file():
        return None
    try:
        content = json.loads(manifest.read_bytes())
    except (ValueError, RecursionError):
        return None
    if not isinstance(content, dict) or content.get("format") != FORMAT or not isinstance(content.get("files"), dict):
        return None
    return {str(name): str(digest) for name, digest in content["files"].items()}


def _fill(kit: KitContents, folder: Path, more: Mapping[str, bytes]) -> None:
    files: dict[str, str] = {}

    def write(name: str, data: bytes) -> None:
        files[name] = sha256(data).hexdigest()
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(data)

    for part in kit.parts:
        name = part_file(part)
        if name is not None:
            write(name, stl_bytes(written_solid(part, kit.settings)))
    write(PARTS_LIST, parts_list_csv(kit))
    for name, data in plate_files(kit, plates_for(kit)):
        write(name, data)
    for name, data in more.items():
        write(name, data)
    (folder / MANIFEST).write_bytes(manifest_bytes(kit_manifest(kit, files)))


def _move_into_place(aside: Path, target: Path) -> None:
    if not target.exists():
        aside.rename(target)
        return
    old = _new_sibling(target, "old")
    old.rmdir()
    try:
        target.rename(old)
        aside.rename(target)
    except BaseException:
        if old.exists() and not target.exists():
            old.rename(target)
        raise
    try:
        shutil.rmtree(old)
    except OSError as error:
        raise KitError("the kit is made, but the one before it could not be removed", str(old), "delete it") from error


def _new_sibling(target: Path, word: str) -> Path:
    """Make a folder beside the target, on the same disk, so that moving it is a single step."""
    for number in count():
        path = target.with_name(f".{target.name}.{word}{number}")
        try:
            path.mkdir()
        except FileExistsError:
            continue
        return path
    raise AssertionError("counting never ends")


@contextmanager
def _parents_of(target: Path) -> Iterator[None]:
    """Make the folders above the target, and take away again those that were made when something fails."""
    missing = [parent for parent in target.parents if not parent.exists()]
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for parent in missing:
            if parent.is_dir() and not any(parent.iterdir()):
                parent.rmdir()
        raise


@contextmanager
def _sentences(directory: Path) -> Iterator[None]:
    """Turn what the system says of a disk or folder into a refusal in one sentence."""
    try:
        yield
    except ValueError as error:
        raise KitError("this cannot be the name of a file or folder", str(directory), "choose another name") from error
    except OSError as error:
        what, remedy = _REASONS.get(
            error.errno or 0, (f"the folder cannot be written ({error.strerror or error})", _ELSEWHERE)
        )
        raise KitError(what, str(directory), remedy) from error


_FULL = ("the disk is full", "make room or choose a folder on another disk")
_READ_ONLY = ("this folder cannot be written to", "choose one of your own")
_FILE_ABOVE = ("a folder on the way to it is a file", _ELSEWHERE)
_REASONS = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.EFBIG: _FULL,
    errno.EACCES: _READ_ONLY,
    errno.EPERM: _READ_ONLY,
    errno.EROFS: _READ_ONLY,
    errno.ENOTDIR: _FILE_ABOVE,
    errno.EEXIST: _FILE_ABOVE,
    errno.ENAMETOOLONG: ("the folder's name is too long", "choose a shorter one"),
}
