#!/usr/bin/env python3
"""Build the Blender extension: the zip that people install.

The core goes in as a wheel built from this tree, its version goes into a copy of the manifest, and Blender's own
extension builder packs and validates the copy. That builder is a plain Python file of every Blender and bpy wheel;
it is found in the bpy installed beside this Python, or given with --builder.
"""

from __future__ import annotations

import argparse
import re
import shutil
import subprocess
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
ADDON = ROOT / "blender_addon"
BUILDER = "*/scripts/addons_core/bl_pkg/cli/blender_ext.py"
NOT_PACKED = ("__pycache__", "wheels", ".mypy_cache", ".ruff_cache", "ruff.toml", "mypy.ini")


def main() -> int:
    """Build, validate, and print the zip's path."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--to", type=Path, default=ROOT / "dist", help="folder for the zip (default: dist)")
    parser.add_argument("--builder", type=Path, help="Blender's blender_ext.py")
    arguments = parser.parse_args()
    builder = arguments.builder or find_builder()
    with tempfile.TemporaryDirectory(prefix="halfbat-extension-") as folder:
        wheel = build_wheel(Path(folder) / "wheel")
        stage = stage_addon(Path(folder) / "stage", wheel)
        arguments.to.mkdir(parents=True, exist_ok=True)
        target = arguments.to / f"halfbat-{version_of(wheel)}.zip"
        target.unlink(missing_ok=True)
        blender_ext(builder, "build", "--source-dir", stage, "--output-filepath", target)
        blender_ext(builder, "validate", target)
    sys.stdout.write(f"{target}\n")
    return 0


def find_builder() -> Path:
    """Return Blender's extension builder out of the bpy wheel, which is not imported for it."""
    spec = find_spec("bpy")
    places = spec.submodule_search_locations if spec and spec.submodule_search_locations else ()
    for place in places:
        for path in sorted(Path(place).glob(BUILDER)):
            return path
    raise SystemExit("build_extension: no bpy beside this Python; install it or give --builder")


def build_wheel(folder: Path) -> Path:
    """Build the core as a wheel and return its path."""
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", folder, ROOT]
    subprocess.run(command, check=True)
    (wheel,) = folder.glob("halfbat-*-py3-none-any.whl")
    return wheel


def version_of(wheel: Path) -> str:
    """Return the version in a wheel's name."""
    return wheel.name.split("-")[1]


def stage_addon(folder: Path, wheel: Path) -> Path:
    """Copy the extension, put the wheel in, and write the wheel's version and name into the manifest."""
    shutil.copytree(ADDON, folder, ignore=shutil.ignore_patterns(*NOT_PACKED))
    (folder / "wheels").mkdir()
    shutil.copy2(wheel, folder / "wheels")
    shutil.copy2(ROOT / "LICENSE", folder)
    manifest = folder / "blender_manifest.toml"
    text = manifest.read_text(encoding="utf-8")
    for key, value in (("version", f'"{version_of(wheel)}"'), ("wheels", f'["./wheels/{wheel.name}"]')):
        text, count = re.subn(rf"(?m)^{key} = .*$", f"{key} = {value}", text)
        if count != 1:
            raise SystemExit(f"build_extension: {count} lines '{key} = ...' in {manifest.name} instead of one")
    manifest.write_text(text, encoding="utf-8")
    return folder


def blender_ext(builder: Path, command: str, *arguments: str | Path) -> None:
    """Run one command of Blender's extension builder; what it complains of ends the build."""
    subprocess.run([sys.executable, builder, command, *arguments], check=True, stdout=sys.stderr)


if __name__ == "__main__":
    raise SystemExit(main())
