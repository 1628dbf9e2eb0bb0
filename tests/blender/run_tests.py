"""Runs pytest inside the bpy wheel and leaves with its verdict. Used by ``.ci/blender_matrix``."""

import os
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent


def main(arguments: list[str]) -> None:
    verdict = int(pytest.main(["-c", str(HERE / "pytest.ini"), "--rootdir", str(HERE), str(HERE), *arguments]))
    sys.stdout.flush()
    sys.stderr.flush()
    # The bpy wheels do not always come down cleanly at the end of Python, which says nothing about the tests.
    os._exit(verdict)


if __name__ == "__main__":
    main(sys.argv[1:])
