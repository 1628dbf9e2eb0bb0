"""The command ``halfbat``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from halfbat import __version__
from halfbat.booklet.page import FILE_NAME, booklet_html
from halfbat.commands.coupon import add_coupon_command
from halfbat.commands.inspect import add_inspect_command
from halfbat.commands.process import add_process_command
from halfbat.console import say
from halfbat.drawings.catalogue import named_drawing
from halfbat.drawings.dxf import dxf_bytes
from halfbat.drawings.svg import svg_bytes
from halfbat.errors import KitError
from halfbat.findings import Severity
from halfbat.kit import Kit, make_kit, structure_for
from halfbat.kitfile import KitFile, kit_mesh, read_kit_file
from halfbat.output.folder import check_destination, check_file, write_file, write_kit
from halfbat.progress import ProgressBar
from halfbat.rendering import load_blender, render_pictures
from halfbat.summary import findings_texts, kit_summary
from halfbat.surfaces.scale_fit import require_scale

MADE, MADE_WITH_FAILURES, REFUSED, INTERRUPTED = 0, 1, 2, 130

_DESCRIPTION = "Turn the mesh of a brick building into a numbered, print-ready scale model kit."
_EXAMPLES = """\
examples:
  halfbat make lodge.toml --to lodge-kit    make the kit that lodge.toml describes
  halfbat draw lodge.toml --to wall-a.svg   draw one wall of it, or its plan, or an exploded view
  halfbat inspect lodge.obj                 say what walls a mesh has, and what is wrong with it
  halfbat process list                      list printers; see halfbat process --help
  halfbat coupon --process "resin 0.05 mm" --to coupon    make a test piece for a printer

exit codes:
  0  made, and no check failed
  1  made, but some check failed: the files are there, the summary says which
  2  refused: nothing was written, one sentence says why
"""
_MAKE = """\
The smallest kit file:

  [kit]
  name = "Lodge"
  scale = "1:148"

  [building]
  mesh = "lodge.obj"        # metres, z up; or box = ["9.89 m", "5.39 m", "3.0 m"]

Everything else has a default; README.md says what else a kit file may hold. The folder then holds

  parts/NUMBER.stl     each part as printed, millimetres
  plates/*.build.3mf   each printer's plate, filled, with a picture as .svg; and the whole kit as kit.model.3mf
  booklet.html         cautions, parts, drawings, order of assembly, print settings, findings
  parts-list.csv       every part
  kit.json             all of it for other programs

It is written whole or not at all. A folder that is not a kit, or a kit in which a file was added or changed, is never
replaced. Exit codes: 0 made, 1 made with a failed check, 2 refused.

example:
  halfbat make lodge.toml --to lodge-kit
"""
_DRAW = """\
drawings:
  elevations, elevation-A (and so on for each wall), plan, roof, exploded, assembled, part-WA1 (and so on),
  plate-resin-1 (and so on)

A file that ends in .svg is in millimetres on paper, one that ends in .dxf (elevations and plans only) in
millimetres of the model. DXF needs the package ezdxf: pip install 'halfbat[dxf]'.

examples:
  halfbat draw lodge.toml --to walls.svg
  halfbat draw lodge.toml --what exploded --to exploded.svg
  halfbat draw lodge.toml --what elevation-B --to wall-b.dxf
"""


class _Parser(argparse.ArgumentParser):
    """A parser that refuses in one sentence, like everything else."""

    def error(self, message: str) -> NoReturn:
        raise KitError(message, "command line", f"see {self.prog} --help")


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments without the program's name; by default the process's own.
    """
    try:
        arguments = _parser().parse_args(argv)
        done: int | str = arguments.run(arguments)
        if isinstance(done, str):
            say(done, sys.stdout)
            return MADE
    except KitError as error:
        say(f"halfbat: {' '.join(str(error).split())}\n", sys.stderr)
        return REFUSED
    except KeyboardInterrupt:
        say("halfbat: stopped; no half-made kit is left behind\n", sys.stderr)
        return INTERRUPTED
    except SystemExit as left:  # argparse ends so after --help and --version
        return left.code if isinstance(left.code, int) else MADE
    return done


def _parser() -> argparse.ArgumentParser:
    shape = argparse.RawDescriptionHelpFormatter
    parser = _Parser(prog="halfbat", description=_DESCRIPTION, epilog=_EXAMPLES, formatter_class=shape)
    parser.add_argument("--version", action="version", version=f"halfbat {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)

    make = commands.add_parser(
        "make",
        help="make a kit from a kit file",
        description="Make a kit: parts, plates, booklet and lists, in one folder.",
        epilog=_MAKE,
        formatter_class=shape,
    )
    make.add_argument("kit", metavar="KIT.toml", type=Path, help="kit file, see below")
    new = "folder for the kit: new, empty, or a kit made before"
    make.add_argument("--to", metavar="DIR", type=Path, required=True, help=new)
    make.add_argument("--quiet", action="store_true", help="say nothing unless the kit is refused")
    make.add_argument(
        "--pictures", action="store_true", help="render the booklet's pictures with Blender (slow; needs bpy)"
    )
    make.set_defaults(run=_make)

    draw = commands.add_parser(
        "draw",
        help="write one drawing of a kit",
        description="Write one drawing of a kit.",
        epilog=_DRAW,
        formatter_class=shape,
    )
    draw.add_argument("kit", metavar="KIT.toml", type=Path, help="kit file")
    draw.add_argument("--to", metavar="FILE", type=Path, required=True, help="file ending in .svg or .dxf")
    draw.add_argument("--what", metavar="NAME", default="elevations", help="which drawing (default: elevations)")
    draw.set_defaults(run=_draw)

    add_inspect_command(commands, shape)
    add_process_command(commands, shape)
    add_coupon_command(commands, shape)
    return parser


def _make(arguments: argparse.Namespace) -> int:
    kit_file = read_kit_file(arguments.kit)
    check_destination(arguments.to)
    if arguments.pictures:
        load_blender()
    if not arguments.quiet:
        say("".join(findings_texts(require_scale(kit_file.settings))), sys.stderr)
    bar = ProgressBar(sys.stderr, shown=not arguments.quiet)
    try:
        kit = _made(kit_file, bar)
        rendered = render_pictures(kit, bar) if arguments.pictures else {}
        bar(1.0, "drawing the booklet")
        write_kit(kit, arguments.to, {FILE_NAME: booklet_html(kit, rendered=rendered)})
    finally:
        bar.close()
    if not arguments.quiet:
        say(kit_summary(kit, arguments.to), sys.stdout)
    failed = any(finding.severity == Severity.FAILURE for finding in kit.findings)
    return MADE_WITH_FAILURES if failed else MADE


def _made(kit_file: KitFile, bar: ProgressBar) -> Kit:
    building = structure_for(kit_mesh(kit_file), kit_file.settings)
    return make_kit(building, kit_file.settings, bar)


def _draw(arguments: argparse.Namespace) -> int:
    path: Path = arguments.to
    writer = {".svg": svg_bytes, ".dxf": dxf_bytes}.get(path.suffix.lower())
    if writer is None:
        raise KitError(f"a drawing cannot be written as '{path.name}'", "--to", "let the name end in .svg or .dxf")
    check_file(path)
    bar = ProgressBar(sys.stderr)
    try:
        data = writer(named_drawing(_made(read_kit_file(arguments.kit), bar), arguments.what))
    finally:
        bar.close()
    write_file(path, data)
    return MADE
