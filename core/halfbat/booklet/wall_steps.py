"""Steps that put the skins and covers of a wall in place."""

from __future__ import annotations

from collections.abc import Sequence

from halfbat.booklet.corners import Role, WallEnd, wall_ends
from halfbat.booklet.step import Step, numbers, parts_of
from halfbat.drawings.contents import DrawnKit
from halfbat.parts.seams import SeamStyle
from halfbat.parts.wall_covers import CoverPlace
from halfbat.parts.walls import WallPlan


def skins_step(kit: DrawnKit, walls: Sequence[WallPlan], place: int) -> Step | None:
    """Glue the skins of a wall on, given the walls in the order of the work; None where it has none."""
    wall = walls[place]
    letter = wall.wall.letter
    skins = parts_of(kit, "skin", letter)
    if not skins:
        return None
    text = []
    if place == 0:
        text.append("Skins go on one wall at a time and round the building to the right, seen from outside.")
    first = "Glue" if len(skins) == 1 else "From the left, and the lowest row first, glue"
    stand = ", standing on the ledge" if kit.settings.shell.ledge_height_mm > 0 else ""
    text.append(f"{first} {numbers(skins)} to the shell{stand}, bricks outward.")
    there = {id(other) for other in walls[:place]}
    text += [_end_text(end, id(end.other) in there) for end in wall_ends(kit.plan, wall)]
    if len(skins) > 1:
        text.append(_seam_text(wall, kit))
    each = "it" if len(skins) == 1 else "each"
    text.append(f"Press {each} flat from the middle outward and wipe off at once what squeezes out.")
    return Step(f"Skins of wall {letter}", tuple(text), tuple(skins))


def _end_text(end: WallEnd, there: bool) -> str:
    """Say what to mind at an end, by whether the wall round the corner is there already."""
    name, other = f"The {end.side} end", f"wall {end.other.wall.letter}"
    now, later = {
        Role.KEEPS: (
            f"{name} closes on {other}: its lip goes over the end of that wall and keeps the arris.",
            f"{name} keeps the arris with a thin lip, behind which {other} will stop: do not chip it.",
        ),
        Role.STOPS: (
            f"{name} stops behind the lip of {other}, which keeps the arris: push it up to that lip.",
            f"{name} will stop behind the lip of {other}, which goes on later and keeps the arris.",
        ),
        Role.MITRED: (
            f"{name} meets the mitre of {other} on the arris.",
            f"{name} is mitred for {other}: keep glue off the mitre.",
        ),
        Role.RUNS_ON: (
            f"{name} runs on behind {other}: slide it in from above.",
            f"{name} runs on into the inner corner, where {other} will cover it.",
        ),
        Role.BUTTS: (
            f"{name} butts against the brick face of {other} in the inner corner.",
            f"{name} will butt against the brick face of {other} in the inner corner.",
        ),
        Role.SQUARE: (
            f"{name} meets {other} edge to edge.",
            f"{name} is square; {other} goes on from it.",
        ),
    }[end.role]
    return now if there else later


def _seam_text(wall: WallPlan, kit: DrawnKit) -> str:
    gap = kit.settings.seam.gap_mm
    styles = {cut.style for cut in wall.seams.cuts}
    text = f"Its panels stand {gap:.2f} mm apart; leave no glue in between."
    if SeamStyle.TOOTHED in styles:
        text += " Teeth follow the bond: slide the panels together sideways, not from the front."
    return text


def covers_step(kit: DrawnKit, wall: WallPlan) -> Step | None:
    """Glue cable runs and downpipes on, printed ones and those of wire."""
    letter = wall.wall.letter
    covers = parts_of(kit, "cover", letter)
    wires = [item for item in kit.materials if item.wall == letter]
    text = []
    for style in dict.fromkeys(place.style for place in wall.covers):
        own = [part for part in covers if part.name.lower().startswith(style)]
        if own:
            where = _where([place for place in wall.covers if place.style is style], letter)
            text.append(f"Glue {numbers(own)} {where}, foot down.")
            if len(own) > sum(place.style is style for place in wall.covers):
                text.append("What comes in pieces goes on from the foot up; their fronts are level.")
    if covers and not text:
        text.append(f"Glue {numbers(covers)} where the drawing of wall {letter} shows, foot down.")
    for item in wires:
        text.append(f"Cut {item.name.lower()} and straighten it: {' '.join(item.notes)}")
    if not text:
        return None
    notes = dict.fromkeys(note for part in covers for note in part.notes)
    title = f"Covers of wall {letter}" if covers else f"Wire on wall {letter}"
    return Step(title, (*text, *notes), tuple(covers))


def _where(places: Sequence[CoverPlace], letter: str) -> str:
    over = sum(place.over_seam for place in places)
    seams = f"over the seam{'s' if over > 1 else ''}"
    drawn = f"where the drawing of wall {letter} shows {'it' if len(places) == 1 else 'them'}"
    if over == len(places):
        return f"{seams} of wall {letter}"
    return f"{seams} and {drawn}" if over else drawn
