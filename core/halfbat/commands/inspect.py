"""The command ``halfbat inspect``."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

from halfbat.building import inspect_mesh, read_obj, report_lines
from halfbat.console import say
from halfbat.printing.process_shelf import find_process, shelf_folder
from halfbat.settings import ResinProcess, Settings, with_value
from halfbat.surfaces.scale_fit import ScaleFit, fit_lines, scale_fit

_TEXT = """\
examples:
  halfbat inspect lodge.obj
  halfbat inspect lodge.obj --scale 1:220 --process "resin 0.035 mm"

exit codes: 0 a kit can be made of it, 1 none can (a line says why), 2 it cannot be read
"""


def add_inspect_command(commands: Any, shape: Any) -> None:  # noqa: ANN401 - argparse's own types are private
    """Add ``halfbat inspect``."""
    inspect = commands.add_parser(
        "inspect",
        help="say what walls a mesh has",
        description="Say what walls, sizes and defects a mesh has. Nothing is written.",
        epilog=_TEXT,
        formatter_class=shape,
    )
    inspect.add_argument("mesh", metavar="MESH.obj", type=Path, help="Wavefront OBJ, metres, z up")
    inspect.add_argument(
        "--scale", metavar="SCALE", help="say too what becomes of its bricks at a scale, such as 1:148"
    )
    inspect.add_argument(
        "--process",
        metavar="PROCESS",
        default=ResinProcess().preset,
        help="resin printer they are printed on: a preset, one of your own, or a file (default: %(default)s)",
    )
    inspect.set_defaults(run=_inspect)


def _inspect(arguments: argparse.Namespace) -> int:
    fit = _fit(arguments.scale, arguments.process) if arguments.scale else None
    report = inspect_mesh(read_obj(arguments.mesh))
    lines = [*report_lines(report), *([] if fit is None else fit_lines(fit))]
    say("\n".join(lines) + "\n", sys.stdout)
    return 0 if report.can_be_made and not (fit and fit.refusal) else 1


def _fit(scale: str, process: str) -> ScaleFit:
    """Judge a scale for the usual brick."""
    resin = find_process(process, shelf_folder(), kind="resin")[0].process
    assert isinstance(resin, ResinProcess)
    return scale_fit(replace(with_value(Settings(), "kit", "scale", scale), resin=resin))
