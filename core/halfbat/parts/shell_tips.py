"""Sharp tips of a shell's walls, where one ends aslant against nothing: they are too thin to be printed."""

from __future__ import annotations

from collections.abc import Sequence

from halfbat.parts.outlines import Outline
from halfbat.parts.remains import outlines_of
from halfbat.parts.sturdy import tips_of

Rings = Sequence[Outline]
Tips = list[tuple[int | None, list[Outline]]]


def wall_tips(walls: Sequence[Rings], hollows: Sequence[Rings], tops_mm: Sequence[float], least_mm: float) -> Tips:
    """Find the tips of walls that stand side by side, height by height.

    Parameters
    ----------
    walls : sequence of sequences of ndarray (K, 2)
        What lies within the outer faces of each mass's walls, holes clockwise. Masses that touch must overlap.
    hollows : sequence of sequences of ndarray (K, 2)
        What lies within their inner faces.
    tops_mm : sequence of float
        How high the walls of each mass stand.
    least_mm : float
        Smallest wall of the printer.

    Returns
    -------
    list of (int or None, list of ndarray (3, 2))
        From the top down: tips, and the mass as high as which the wall stays there, None where nothing of it does.
    """
    found: Tips = []
    below: int | None = None
    for top in sorted(set(tops_mm)):
        high = [rings for rings, own in zip(walls, tops_mm, strict=True) if own >= top]
        tips = tips_of(outlines_of(high, hollows), least_mm)
        if tips:
            found.append((below, tips))
        below = list(tops_mm).index(top)
    return found[::-1]
