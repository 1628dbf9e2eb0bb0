"""Where the number of a shell stands: on its floor, or on a pad at its foot."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from halfbat.parts.marks import RIM_MM, Mark, Room, fitted_mark
from halfbat.parts.masses import MassStack
from halfbat.parts.outlines import Outline
from halfbat.parts.rooms import largest_room
from halfbat.parts.section import Section
from halfbat.settings import Settings

PAD_MM = (16.0, 8.0)
PAD_AT = (0.5, 0.25, 0.75, 0.12, 0.88)


def pad_for_number(
    masses: Sequence[MassStack], gap: float, wall_mm: float, section: Section | None
) -> tuple[list[MassStack], Outline] | None:
    """A plate at the foot of the longest wall, reaching under the wall so that the two are one; and whose wall it is.

    In a section it stands at the longest wall that has room for it there; None where none has.
    """
    found = []
    for mass in masses if section is not None else masses[:1]:
        ring = mass.rings[0]
        steps = np.roll(ring.corners_mm, -1, axis=0) - ring.corners_mm
        lengths = np.linalg.norm(steps, axis=1)
        for i in np.argsort(-lengths * ring.walled, kind="stable")[: None if section is not None else 1].tolist():
            along = steps[i] / lengths[i]
            inward = np.array([-along[1], along[0]])
            half = min(PAD_MM[0], lengths[i] * 0.8) / 2
            corners = [(-half, -wall_mm / 2), (half, -wall_mm / 2), (half, PAD_MM[1]), (-half, PAD_MM[1])]
            for share in PAD_AT if section is not None and ring.walled[i] else PAD_AT[:1]:
                middle = ring.corners_mm[i] + steps[i] * share + inward * (ring.skin_mm[i] + gap + wall_mm)
                pad = np.array([middle + x * along + y * inward for x, y in corners])
                if section is None or section.leaves_free(pad):
                    found.append((float(lengths[i]), [mass], pad))
                    break
    best = max(found, key=lambda one: one[0], default=None)
    return None if best is None else best[1:]


def mark_of(
    number: str,
    masses: Sequence[MassStack],
    settings: Settings,
    floor_mm: float,
    pad: Outline | None,
    centre: Outline,
    section: Section | None,
) -> Mark | None:
    """The number of a shell on its pad, or else in the largest room of its floor; None where there is none."""
    wall = settings.skin.glue_gap_mm + settings.shell.wall_lines * settings.filament.line_width_mm
    taken = [] if section is None else section.taken
    if pad is None:
        rooms = []
        # A section may have none of the first mass.
        for mass in masses[: None if taken else 1]:
            free = [ring - centre for ring in mass.behind(0.0, wall)]
            rooms.append(largest_room([*free, *taken], margin_mm=RIM_MM))
        room = max((one for one in rooms if one is not None), key=_area, default=None)
    else:
        inside = [ring - centre for ring in masses[0].behind(0.0, wall + RIM_MM)]
        room = largest_room([pad, *inside, *taken], margin_mm=RIM_MM / 2, within=2)
    if room is None:
        return None
    height = settings.mark.filament_height_mm
    return fitted_mark(number, room, height, settings.filament, on_plate=False, thickness_mm=floor_mm)


def _area(room: Room) -> float:
    return (room.high[0] - room.low[0]) * (room.high[1] - room.low[1])
