"""One step of the assembly, and the naming of its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from halfbat.booklet.gluing_sections import named
from halfbat.drawings.contents import DrawnKit
from halfbat.parts.part import Part


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


def parts_of(kit: DrawnKit, kind: str, wall: str | None = None) -> list[Part]:
    """Parts of a kind, of one wall or of all."""
    return [part for part in kit.parts if part.kind == kind and wall in (None, part.wall)]


def numbers(parts: Sequence[Part]) -> str:
    """Name parts by their numbers, with how many where it is more than one: ``"WA1, WA2 and K1 x3"``."""
    texts = [part.number if part.quantity == 1 else f"{part.number} x{part.quantity}" for part in parts]
    return named(texts)
