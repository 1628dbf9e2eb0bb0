"""``halfbat coupon``: small printed pieces that tell what a printer really does."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from halfbat.output.coupon_files import GUIDE, coupon_files
from halfbat.output.folder import write_new_folder
from halfbat.printing.coupon import make_coupon
from halfbat.printing.process_shelf import find_process, shelf_folder
from halfbat.units import parse_scale

_DESCRIPTION = "Make a coupon: a small piece to print that shows what a printer and its material can do."
_EXAMPLES = f"""\
examples:
  halfbat coupon --process "resin 0.05 mm" --to coupon
  halfbat coupon --process bench-printer.toml --scale 1:76.2 --to coupon

Print it, read it as {GUIDE} says, and put the readings into a process of your own:
  halfbat process set "Bench printer" groove=0.12 bar_x=99.4/100
"""


def add_coupon_command(commands: Any, shape: Any) -> None:  # noqa: ANN401 - argparse's own types are private
    """Add the command to a parser's subcommands."""
    parser = commands.add_parser(
        "coupon",
        help="make a test piece for a printer",
        description=_DESCRIPTION,
        epilog=_EXAMPLES,
        formatter_class=shape,
    )
    parser.add_argument(
        "--process", metavar="PROCESS", required=True, help="name of a preset or of your own, or a file"
    )
    parser.add_argument("--to", metavar="DIR", type=Path, required=True, help="new folder for it")
    parser.add_argument("--scale", metavar="SCALE", default="1:148", help="scale of the strips of brick")
    parser.set_defaults(run=_coupon)


def _coupon(arguments: argparse.Namespace) -> str:
    named, _ = find_process(arguments.process, shelf_folder())
    coupon = make_coupon(named.process, parse_scale(arguments.scale))
    write_new_folder(arguments.to, coupon_files(coupon))
    numbers = ", ".join(part.number for part in coupon.parts)
    return f"Coupon of {named.name}, in {arguments.to}: {numbers}\n\n{coupon.guide}"
