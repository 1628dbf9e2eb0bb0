"""Steps that put the roof and what belongs to it in place."""

from __future__ import annotations

from halfbat.booklet.gluing_sections import bodies_in_sections, former_text, lid_text
from halfbat.booklet.step import Step, numbers, parts_of
from halfbat.drawings.contents import DrawnKit

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


def roof_step(kit: DrawnKit, kind: str) -> Step:
    """Put all parts of one kind of the roof in place."""
    parts = parts_of(kit, kind)
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
