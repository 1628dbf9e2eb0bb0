"""How the sections of a shell, lid or roof former are glued together, in words."""

from __future__ import annotations

from collections.abc import Sequence

from halfbat.parts.part import Part
from halfbat.parts.section_joints import GAP_MM


def named(numbers: Sequence[str]) -> str:
    """Join numbers to a phrase: ``"S1, S2 and S3"``."""
    return numbers[0] if len(numbers) == 1 else ", ".join(numbers[:-1]) + " and " + numbers[-1]


def bodies_in_sections(parts: Sequence[Part]) -> list[tuple[str, ...]]:
    """Numbers of the sections of each body that is made in sections, of some parts."""
    return list(dict.fromkeys(part.sections for part in parts if part.sections))


def shell_text(numbers: Sequence[str]) -> list[str]:
    """Say how the sections of a shell are glued."""
    return [
        f"The shell comes in {len(numbers)} sections: {named(numbers)}. On a flat surface with thin film over it, open "
        "side up, put them together in the order of their numbers: each goes straight down onto the ones before it, "
        "its floor over their keys and its walls outside their splices. Try it without glue; ease a tight key with a "
        "file and force nothing.",
        f"Then put a slow glue, such as epoxy, on splices, keys and ends, and lower the sections into each other "
        f"again. Between two ends is a gap of {GAP_MM:.2f} mm, which the glue fills. Hold a straight edge along the "
        "outside of each wall that is cut, press all floors flat, and let it set before a skin goes on. Scrape off "
        "what squeezes out on the outside: the skins lie flat over the joints and tie them.",
    ]


def lid_text(numbers: Sequence[str]) -> str:
    """Say how the sections of a lid are glued."""
    return (
        f"{named(numbers)} are one lid. Lay them top down on a flat surface with thin film over it, each straight down "
        "over the keys of the one beside it, with glue on keys and ribs, and press them flat until it sets. Glue them "
        "to each other only, not to the shell."
    )


def former_text(numbers: Sequence[str]) -> str:
    """Say how the sections of a roof former are glued."""
    return (
        f"{named(numbers)} are one roof former. Stand them on a flat surface with thin film over it, in the order of "
        "their numbers, each straight down over the keys of the ones before it, with glue on keys and ends. Rub down a "
        "step in the slopes when it has set, and try the former on the shell before its skins go on."
    )
