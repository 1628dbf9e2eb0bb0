"""The order of assembly, made from the parts and joints a kit really has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from halfbat.booklet.corners import Role, WallEnd, order_round, wall_ends
from halfbat.booklet.gluing_sections import bodies_in_sections, former_text, lid_text, named, shell_text
from halfbat.drawings.contents import DrawnKit
from halfbat.parts.part import Part
from halfbat.parts.seams import SeamStyle
from halfbat.parts.wall_covers import CoverPlace
from halfbat.parts.walls import WallPlan

FIRST_KINDS = ("base", "shell")
LAST_KINDS = (
    "former",
    "roof skin",
    "ridge",
    "lid",
    "fascia",
    "barge board",
    "gutter",
    "chimney",
    "pot",
    "roof light",
    "roof",
    "fitting",
)
_ROOF_TEXTS = {
    "former": (
        "The roof former",
        "Try {} on the shell: the bumps on its lip hold it, so rub them down if it is too tight. Leave it loose if the "
        "inside is to be reached later: it carries the roof skins, which lift off with it. The gaps in its lip are for "
        "a finger that pushes it up from inside.",
    ),
    "roof skin": (
        "The roof skins",
        "Glue {} to the former, eaves first: all edges must meet on ridges and hips before the glue sets. They are "
        "glued to the former only, not to the walls.",
    ),
    "fascia": (
        "Fascia boards",
        "Glue {} under the edges of the roof, close to the walls and pushed up until they touch; on a flat roof round "
        "the lid, level with its top. They are glued to the roof only, so that it still lifts off.",
    ),
    "barge board": (
        "Barge boards",
        "Glue {} under the edges of the roof skins at the gables, in front of the ends of the fascia. They meet on the "
        "ridge and are glued to the roof only.",
    ),
    "gutter": (
        "Gutters",
        "Glue {} to the fascia, the flat side against it, pushed up until they touch the roof skins, each where the "
        "exploded view shows it: outlets stand over the downpipes, lengths meet at a bracket. They are glued to the "
        "roof only, not to downpipes, so that it still lifts off.",
    ),
    "chimney": (
        "Chimneys",
        "Put {} through the roof skins into their pockets in the former, each where the exploded view shows it: the "
        "side that is cut back lower down faces the eaves. Glue them from the pocket, and paint the lead round them.",
    ),
    "pot": ("Chimney pots", "Glue {} into the sockets on top of the chimneys."),
    "roof light": (
        "Roof lights",
        "Paint {} first. Put each into the opening of the roof that its number on the exploded view shows, foot down "
        "the slope, and glue it to the ledge there, or to the lid. Open panes are glazed from behind before that: thin "
        "clear sheet, cut to lie within the frame. Paint the lead round it.",
    ),
    "ridge": (
        "Ridges and hips",
        "Glue {} over the edges where roof skins meet, each where the exploded view shows it.",
    ),
}
_OWN_STEPS = (*FIRST_KINDS, "skin", "cover", *LAST_KINDS)


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """One step.

    Parameters
    ----------
    title : str
        What is done.
    text : tuple of str
        Sentences, in the order of the work.
    uses : tuple of Part
        Parts it puts in place, each with its whole quantity; none for a step that prepares.
    there : tuple of Part
        Parts in place before it.
    """

    title: str
    text: tuple[str, ...]
    uses: tuple[Part, ...] = ()
    there: tuple[Part, ...] = ()


def assembly_steps(kit: DrawnKit) -> tuple[Step, ...]:
    """Return the steps that put a kit together; every part is put in place in exactly one of them.

    Parameters
    ----------
    kit : DrawnKit
        A made kit.
    """
    drafts = [_sort_out(kit), _dry_fit(kit)]
    drafts += [_in_sections(numbers, kit) for numbers in bodies_in_sections(_of(kit, "shell"))]
    drafts += [_body(part, kit) for kind in FIRST_KINDS for part in _of(kit, kind) if not part.sections]
    walls = order_round(kit.plan)
    drafts += [draft for place in range(len(walls)) if (draft := _skins(kit, walls, place)) is not None]
    lettered = {wall.wall.letter for wall in walls}
    drafts += [
        Step(f"Skin {part.number}", ("Glue it in its place.",), (part,))
        for part in _of(kit, "skin")
        if part.wall not in lettered
    ]
    drafts.append(_fill(kit))
    drafts += [draft for wall in walls if (draft := _covers(kit, wall)) is not None]
    left = [part for part in _of(kit, "cover") if part.wall not in lettered]
    if left:
        drafts.append(Step("Covers", ("Glue them where the exploded view shows them.",), tuple(left)))
    others = dict.fromkeys(part.kind for part in kit.parts if part.kind not in _OWN_STEPS)
    drafts += [_others(kit, kind) for kind in others]
    drafts += [_last(kit, kind) for kind in LAST_KINDS if _of(kit, kind)]
    steps: list[Step] = []
    there: tuple[Part, ...] = ()
    for draft in drafts:
        steps.append(Step(draft.title, draft.text, draft.uses, there))
        there += draft.uses
    return tuple(steps)


def _of(kit: DrawnKit, kind: str, wall: str | None = None) -> list[Part]:
    return [part for part in kit.parts if part.kind == kind and wall in (None, part.wall)]


def numbers(parts: Sequence[Part]) -> str:
    """Name parts by their numbers, with how many where it is more than one: ``"WA1, WA2 and K1 x3"``."""
    texts = [part.number if part.quantity == 1 else f"{part.number} x{part.quantity}" for part in parts]
    return named(texts)


def _sort_out(kit: DrawnKit) -> Step:
    pieces = sum(part.quantity for part in kit.parts)
    text = [
        f"Lay out all {pieces} pieces and tick them off in the parts list. Numbers are on the backs, with an arrow "
        "that points up; write a number on any part that has none before it leaves its supports.",
        "Parts that look alike are not interchangeable: courses and corners are made for one place each.",
    ]
    pairs = [f"{part.number} and {part.mirror_of}" for part in kit.parts if part.mirror_of and _left(part)]
    if pairs:
        text.append(f"Left and right hands of one form, the left named first: {'; '.join(pairs)}.")
    if any(part.process == "resin" for part in kit.parts):
        text.append(
            "Cut supports off resin parts, wash and dry them, and let them cure fully, both faces for the same time; "
            "lay "
            "skins flat under a weight. Rub down what the supports left on a back: it must lie flat on the shell."
        )
    if any(part.process == "filament" for part in kit.parts):
        text.append(
            "Scrape the squeezed-out first layer and any blob of the layer seam off the filament parts where others "
            "touch."
        )
    return Step("Sort out and clean up", tuple(text))


def _left(part: Part) -> bool:
    return any(note.startswith("The left hand") for note in part.notes)


def _dry_fit(kit: DrawnKit) -> Step:
    skins = _of(kit, "skin")
    text = ["Put the whole kit together without glue first."]
    if skins:
        text.append(
            "Hold the skins to the shell with low-tack tape, all standing on the ledge, and look at every corner and "
            "course: bed joints must run round the building at one height."
        )
    if any(wall.seams.cuts for wall in kit.plan.walls):
        text.append(
            "Panels of one wall must close with a gap no wider than a joint. Ease an edge with a fine file if not."
        )
    return Step("Dry fit", tuple(text))


def _body(part: Part, kit: DrawnKit) -> Step:
    if part.kind != "shell":
        return Step(f"Set out the {part.name.lower()}", (f"Put {part.number} on a flat surface.",), (part,))
    text = [f"Put {part.number} on a flat surface, open side up.", *_on_its_foot(kit)]
    return Step("The shell", tuple(text), (part,))


def _in_sections(numbers: Sequence[str], kit: DrawnKit) -> Step:
    parts = tuple(part for part in kit.parts if part.number in numbers)
    return Step("Glue the sections of the shell", (*shell_text(numbers), *_on_its_foot(kit)), parts)


def _on_its_foot(kit: DrawnKit) -> list[str]:
    """What carries the shell, and the skins on it."""
    shell = kit.settings.shell
    text = [
        "Its floor is its base: glue that down when the building goes on the layout."
        if shell.floor
        else "It has no floor and stands on the foot of its walls: check that it stands square before it is glued down."
    ]
    if shell.ledge_height_mm > 0:
        text.append(
            f"The ledge round its foot, {shell.ledge_height_mm:g} mm high, carries all skins and sets the height of "
            "every course: clean it along its whole length."
        )
    else:
        text.append(
            "It has no ledge: stand the skins on the same flat surface as the shell, so that courses run level."
        )
    return text


def _skins(kit: DrawnKit, walls: Sequence[WallPlan], place: int) -> Step | None:
    wall = walls[place]
    letter = wall.wall.letter
    skins = _of(kit, "skin", letter)
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


def _fill(kit: DrawnKit) -> Step:
    joint = kit.plan.joints.perpend_mm
    return Step(
        "Corners and seams",
        (
            f"When the glue is hard, look along each corner and seam. A gap up to about a joint, {joint:.2f} mm, is "
            f"lost "
            "under paint; fill a wider one with thinned filler or resin from behind, wipe it off the faces and score "
            "the joints again.",
            "This is the time to prime and paint the walls: see Finishing. Covers and the lid go on after that.",
        ),
    )


def _covers(kit: DrawnKit, wall: WallPlan) -> Step | None:
    """Glue cable runs and downpipes on, printed ones and those of wire."""
    letter = wall.wall.letter
    covers = _of(kit, "cover", letter)
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


def _others(kit: DrawnKit, kind: str) -> Step:
    parts = _of(kit, kind)
    notes = dict.fromkeys(note for part in parts for note in part.notes)
    if kind == "insert":
        text = (
            f"Paint and then fit {numbers(parts)} from inside, before anything closes the top: each belongs to the "
            f"opening "
            "that bears its number on the drawing of its wall. Glaze them first, if they are to be glazed."
        )
        return Step("Doors and windows", (text, *notes), tuple(parts))
    text = f"Fit {numbers(parts)} where the exploded view shows them, first without glue."
    return Step(f"Parts of the kind {kind}", (text, *notes), tuple(parts))


def _last(kit: DrawnKit, kind: str) -> Step:
    parts = _of(kit, kind)
    if kind in _ROOF_TEXTS:
        title, sentence = _ROOF_TEXTS[kind]
        notes = dict.fromkeys(note for part in parts for note in part.notes if not part.sections)
        glued = [former_text(own) for own in bodies_in_sections(parts)]
        return Step(title, (*glued, sentence.format(numbers(parts)), *notes), tuple(parts))
    if kind != "lid":
        return Step(kind.capitalize(), (f"Fit {numbers(parts)} where the exploded view shows them.",), tuple(parts))
    fit = kit.settings.filament.fit_mm
    text = (
        *(lid_text(own) for own in bodies_in_sections(parts)),
        f"Put {numbers(parts)} on, lip down. It lies on the shell inside the skins, and its lip has {fit:.2f} mm of "
        "play on each side, but for bumps that hold it.",
        "Leave it unglued, so that the inside, and any lamps in it, can be reached: the gaps in its lip are for a "
        "finger that pushes it up from inside. If it is tight, rub down the bumps; if it rattles, a strip of thin tape "
        "on the lip holds it.",
    )
    return Step("The lid", text, tuple(parts))
