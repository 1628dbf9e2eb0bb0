"""Real Blender in a real window, where there is one.

HALFBAT_BLENDER_WINDOW    the program that opens Blender in a virtual window and takes a picture
HALFBAT_EXTENSION_ZIP     the extension, as built by ``.ci/build_extension.py``
HALFBAT_PICTURES          folder to keep the pictures in, to be looked at (default: thrown away)
"""

import json
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
ROOT = HERE.parents[1]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "tests/window" in item.path.as_posix():
            item.add_marker(pytest.mark.window)


@pytest.fixture
def blender(tmp_path: Path) -> Callable[..., Any]:
    """A function that runs a scene of ``scenes.py`` in Blender and returns what it wrote, its picture kept."""
    program, extension = os.environ.get("HALFBAT_BLENDER_WINDOW"), os.environ.get("HALFBAT_EXTENSION_ZIP")
    if not program or not extension:
        pytest.skip("HALFBAT_BLENDER_WINDOW or HALFBAT_EXTENSION_ZIP is not set")

    def run(scene: str, *actions: str, wait: int = 10, size: str = "1600x1000") -> Any:
        start = tmp_path / "start.py"
        paths = [str(HERE), str(HERE.parent / "blender")]
        start.write_text(
            f"import sys\nsys.path[:0] = {paths!r}\nimport scenes\nscenes.play({scene!r}, {str(tmp_path)!r})\n",
            encoding="utf-8",
        )
        picture = tmp_path / f"{scene}.png"
        command = [program, "shoot", picture, "--zip", extension, "--py", start, "--wait", str(wait), "--size", size]
        for action in actions:
            command += ["--do", action]
        subprocess.run(command, check=True, cwd=ROOT, timeout=600, capture_output=True)
        if "HALFBAT_PICTURES" in os.environ:
            shutil.copy(picture, os.environ["HALFBAT_PICTURES"])
        result = tmp_path / "result.json"
        log = picture.with_suffix(".png.log").read_text(encoding="utf-8", errors="replace")
        assert result.exists(), log
        assert "Traceback" not in log, log
        return json.loads(result.read_text(encoding="utf-8")) | {"log": log}

    return run
