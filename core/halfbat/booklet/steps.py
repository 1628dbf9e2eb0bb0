"""The order of assembly, made from the parts and joints a kit really has."""

from __future__ import annotations

from collections.abc import Sequence

from halfbat.booklet.corners import order_round
from halfbat.booklet.gluing_sections import bodies_in_sections, shell_text
from halfbat.booklet.roof_steps import LAST_KINDS, roof_step
from halfbat.booklet.step import Step, numbers, parts_of
from halfbat.booklet.wall_steps import covers_step, skins_step
from halfbat.drawings.contents import DrawnKit
from halfbat.parts.part import SET_IN_FRONT, Part

FIRST_KINDS = ("base", "shell")
_OWN_STEPS = (*FIRST_KINDS, "skin", "cover", *LAST_KINDS)


def assembly_steps(kit: DrawnKit) -> tuple[Step, ...]:
    """Return the steps that put a kit together; every part is put in place in exactly one of them.

    Parameters
    ----------
    kit : DrawnKit
        A made kit.
    """
    drafts = [_sort_out(kit), _dry_fit(kit)]
    drafts += [_in_sections(numbers, kit) for numbers in bodies_in_sections(parts_of(kit, "shell"))]
    drafts += [_body(part, kit) for kind in FIRST_KINDS for part in parts_of(kit, kind) if not part.sections]
    walls = order_round(kit.plan)
    drafts += [draft for place in range(len(walls)) if (draft := skins_step(kit, walls, place)) is not None]
    lettered = {wall.wall.letter for wall in walls}
    drafts += [
        Step(f"Skin {part.number}", ("Glue it in its place.",), (part,))
        for part in parts_of(kit, "skin")
        if part.wall not in lettered
    ]
    drafts.append(_fill(kit))
    drafts += [draft for wall in walls if (draft := covers_step(kit, wall)) is not None]
    left = [part for part in parts_of(kit, "cover") if part.wall not in lettered]
    if left:
        drafts.append(Step("Covers", ("Glue them where the exploded view shows them.",), tuple(left)))
    others = dict.fromkeys(part.kind for part in kit.parts if part.kind not in _OWN_STEPS)
    drafts += [_others(kit, kind) for kind in others]
    drafts += [roof_step(kit, kind) for kind in LAST_KINDS if parts_of(kit, kind)]
    steps: list[Step] = []
    there: tuple[Part, ...] = ()
    for draft in drafts:
        steps.append(Step(draft.title, draft.text, draft.uses, there))
        there += draft.uses
    return tuple(steps)


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
    skins = parts_of(kit, "skin")
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


def _others(kit: DrawnKit, kind: str) -> Step:
    parts = parts_of(kit, kind)
    notes = dict.fromkeys(note for part in parts for note in part.notes)
    if kind == "insert":
        return Step("Doors and windows", (*_insert_text(parts), *notes), tuple(parts))
    text = f"Fit {numbers(parts)} where the exploded view shows them, first without glue."
    return Step(f"Parts of the kind {kind}", (text, *notes), tuple(parts))


def _insert_text(parts: Sequence[Part]) -> list[str]:
    """How doors and windows are fitted: from inside, or from the front where it is solid behind them."""
    front = [part for part in parts if SET_IN_FRONT in part.notes]
    inside = [part for part in parts if part not in front]
    text = []
    if inside:
        text.append(
            f"Paint and then fit {numbers(inside)} from inside, before anything closes the top: each belongs to the "
            "opening that bears its number on the drawing of its wall. Glaze them first, if they are to be glazed."
        )
    if front:
        text.append(
            f"Fit {numbers(front)} from the front once the skins are on: behind {'it' if len(front) == 1 else 'them'} "
            "the shell or the roof is solid. Paint what shows through their panes black, and then glue them in."
        )
    return text
