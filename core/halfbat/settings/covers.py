"""Settings of what runs down walls: downpipes, and covers that the maker places where no seam is."""

from __future__ import annotations

from dataclasses import dataclass

from halfbat.settings.construction import COVER_CHOICES
from halfbat.settings.openings import needed
from halfbat.settings.setting import setting

SHAPE_CHOICES = {"round": "Round", "square": "Square"}
PIPE_TOP_CHOICES = {"swan neck": "Swan neck", "hopper head": "Hopper head", "plain": "Plain"}
PIPE_FOOT_CHOICES = {"shoe": "Shoe over a gully", "into the ground": "Into the ground"}


@dataclass(frozen=True, slots=True)
class DownpipeSettings:
    """Downpipes, over seams and elsewhere."""

    shape: str = setting("round", "Shape", "Section of the pipe.", choices=SHAPE_CHOICES)
    size_mm: float = setting(
        68.0,
        "Pipe size",
        "Width of the pipe, full size, mm. Usual: 68 round, 65 square, 75 to 100 cast iron. A model pipe is at least "
        "0.8 mm wide.",
        minimum=40.0,
        maximum=300.0,
        unit="mm",
    )
    stand_off_mm: float = setting(
        30.0,
        "Stand-off",
        "Gap between wall and pipe, full size, mm. It is filled, so that the pipe prints flat on its back. Usual: 20 "
        "to 40.",
        minimum=0.0,
        maximum=300.0,
        unit="mm",
    )
    spacing_m: float = setting(
        1.8,
        "Bracket spacing",
        "Largest distance between the sockets that hold the pipe, full size, m. Usual: 1.8.",
        minimum=0.3,
        maximum=10.0,
        unit="m",
    )
    top: str = setting(
        "swan neck",
        "Top",
        "A swan neck reaches out under the eaves, where the roof has any; a hopper head catches the water of an "
        "outlet; a plain pipe just ends.",
        choices=PIPE_TOP_CHOICES,
    )
    foot: str = setting(
        "shoe",
        "Foot",
        "A shoe ends over the kerb of a gully; else the pipe goes straight down.",
        choices=PIPE_FOOT_CHOICES,
    )
    made_as: str = setting(
        "printed",
        "Made as",
        "Printed makes the downpipe a numbered part; Wire lists the wire to buy instead.",
        choices=COVER_CHOICES,
    )


@dataclass(frozen=True, slots=True)
class CoverRequest:
    """A downpipe where no seam is; lengths are full size, as written, and may count bricks."""

    wall: str = needed("Wall", "Letter of the wall.")
    at: str = needed("At", "Its middle, from the wall's left end seen from outside: 4.2 m, 13 ft 9 in or 44 bricks.")


@dataclass(frozen=True, slots=True)
class CableRunRequest:
    """A cable run, straight up the wall or along a path; lengths are full size, as written, and may count bricks."""

    wall: str = needed("Wall", "Letter of the wall.")
    at: str = needed("At", "Its middle, from the wall's left end seen from outside: 4.2 m, 13 ft 9 in or 44 bricks.")
    path: str = setting(
        "",
        "Path",
        "Its corners, each a place along the wall and a height: 4.2 m, foot; 4.2 m, 12 courses; 5 m, 12 courses; "
        "5 m, top. Empty goes straight up.",
    )
    seam: bool = setting(False, "Seam under It", "Splits the wall under it, so that it hides the seam.")
