"""``halfbat process``: list, show, make, copy and change processes."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from halfbat.errors import KitError
from halfbat.printing.process_files import NamedProcess, process_text
from halfbat.printing.process_shelf import (
    file_name,
    find_process,
    shelf_folder,
    shelved,
    write_process_file,
)
from halfbat.printing.processes import PRESETS
from halfbat.printing.readings import READINGS, changed_figures, kit_changes, with_readings
from halfbat.settings import Process, ResinProcess
from halfbat.settings.checks import check_kit_name

Shape = Any  # argparse has no public name for the type of a formatter class

_DESCRIPTION = "Processes: printers with their material, kept as TOML files that you can copy and share."
_EXAMPLES = """\
examples:
  halfbat process list
  halfbat process new "Bench printer" --from "resin 0.05 mm"
  halfbat process set "Bench printer" pixel_x_mm=0.04 layer_mm=0.03
  halfbat process set bench-printer.toml bar_x=99.4/100 groove=0.12

A kit file takes one by its name or its file, beside the kit file or among your own:

  [resin]
  file = "bench-printer.toml"
"""
_READINGS = "readings off a printed coupon:\n" + "".join(
    f"  {key:<8}{what}; sets {target}\n" for key, (target, what) in READINGS.items()
)


def add_process_command(commands: Any, shape: Shape) -> None:  # noqa: ANN401 - argparse's own type is private
    """Add the command to a parser's subcommands."""
    parser = commands.add_parser(
        "process",
        help="list, make and change printers",
        description=_DESCRIPTION,
        epilog=_EXAMPLES,
        formatter_class=shape,
    )
    verbs = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    listing = verbs.add_parser(
        "list",
        help="list presets and your own processes",
        description="List presets and your own processes: pixels or lines, layer and room, in millimetres.",
    )
    listing.set_defaults(run=_list)
    show = verbs.add_parser(
        "show",
        help="print every figure of a process",
        description="Print every figure of a process as its file holds it, in TOML.",
    )
    show.add_argument("process", metavar="PROCESS", help="name of a preset, name of one of your own, or a file")
    show.set_defaults(run=_show)
    new = verbs.add_parser(
        "new",
        help="make one of your own, as a copy of another",
        description="Make a process of your own, as a copy of another, to be changed with halfbat process set.",
    )
    new.add_argument("name", metavar="NAME", help="name of the new process")
    new.add_argument("--from", dest="base", metavar="PROCESS", required=True, help="preset, name or file to start from")
    new.add_argument("--to", metavar="FILE", type=Path, help="file to write; by default among your own processes")
    new.set_defaults(run=_new)
    change = verbs.add_parser(
        "set",
        help="change figures of one of your own, or put in what you read off a coupon",
        description="Change figures of a process of your own, or put in what you read off its coupon. A figure is "
        "named as halfbat process show names it.",
        epilog=_READINGS,
        formatter_class=shape,
    )
    change.add_argument("process", metavar="PROCESS", help="name or file of one of your own")
    change.add_argument("values", metavar="KEY=VALUE", nargs="+", help="figures to change, or readings")
    change.set_defaults(run=_set)


def _list(_arguments: argparse.Namespace) -> str:
    folder = shelf_folder()
    own = [f"  {named.name:<28}{_brief(named.process)}  ({path.name})" for path, named in shelved(folder)]
    presets = [f"  {process.preset:<28}{_brief(process)}" for process in PRESETS]
    mine = own or ["  none yet: see halfbat process new --help"]
    return "\n".join(["Presets:", *presets, "", f"Your own, in {folder}:", *mine, ""])


def _brief(process: Process) -> str:
    room = f"{process.usable_x_mm:g} x {process.usable_y_mm:g} x {process.usable_z_mm:g} mm"
    if isinstance(process, ResinProcess):
        return f"resin, pixels {process.pixel_x_mm:g} x {process.pixel_y_mm:g}, layer {process.layer_mm:g}, room {room}"
    return f"filament, line {process.line_width_mm:g}, layer {process.layer_mm:g}, room {room}"


def _show(arguments: argparse.Namespace) -> str:
    return process_text(find_process(arguments.process, shelf_folder())[0])


def _new(arguments: argparse.Namespace) -> str:
    check_kit_name(arguments.name, "name", "a process")
    base, _ = find_process(arguments.base, shelf_folder())
    path = arguments.to or shelf_folder() / file_name(arguments.name)
    write_process_file(NamedProcess(arguments.name, base.process), path)
    return f"{arguments.name}, {_brief(base.process)}, in {path}\n"


def _set(arguments: argparse.Namespace) -> str:
    named, path = find_process(arguments.process, shelf_folder())
    if path is None:
        raise KitError(
            "a preset cannot be changed",
            named.name,
            f'make your own with: halfbat process new NAME --from "{named.name}"',
        )
    after = with_readings(named.process, arguments.values, path.name)
    figures = changed_figures(named.process, after)
    if not figures:
        return f"{named.name}: nothing changed\n"
    write_process_file(NamedProcess(named.name, after), path, replace=True)
    effects = kit_changes(named.process, after) or ("nothing at the usual scales",)
    lines = [f"{named.name}:", *(f"  {line}" for line in figures), "In kits made with it:"]
    return "\n".join([*lines, *(f"  {line}" for line in effects), ""])
