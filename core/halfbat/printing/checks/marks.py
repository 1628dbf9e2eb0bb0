"""Numbers engraved on parts: readable, the right way round, well placed."""

from __future__ import annotations

import numpy as np

from halfbat.findings import Finding, Place, Severity
from halfbat.parts.glyphs import LEAST_HEIGHT, UP_ARROW, text_size, text_strokes
from halfbat.parts.marks import LEFT_UNDER_MM, PLATE_STROKE_MM, PLATE_STROKES_WIDE, RIM_MM
from halfbat.parts.part import CUT_TAB_OFF
from halfbat.printing.checks.cavity import Cavity
from halfbat.printing.checks.subject import Subject
from halfbat.printing.rasters import ACROSS_PX, Grid, Mask, enclosed, eroded, fine_pitch_mm, pieces, raster, thin_places
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.trapezoids import decompose

LEAST_LIKENESS = 0.7
SURE_LIKENESS = 0.9
GLUE_FACE_MM = 1.5
_PER_STROKE_PX = 6
_ROUNDING_MM = 0.06


def likeness(cavity: Cavity, number: str, stroke_mm: float, *, mirrored: bool) -> float:
    """Return how like a number a mark looks from its open side, from 0 to 1: shared area over all area."""
    pitch = stroke_mm / _PER_STROKE_PX
    seen = _cropped(cavity.strokes(pitch))
    if cavity.from_below != mirrored:
        seen = seen[:, ::-1]
    best = 0.0
    # The arrow may be left out, and the whole be turned a quarter so that it reads upward, or downward on a tab.
    for turned in (seen, np.rot90(seen, 1), np.rot90(seen, -1)):
        for text in (UP_ARROW + number, number):
            for stroke in sorted({stroke_mm, max(PLATE_STROKE_MM, PLATE_STROKES_WIDE * stroke_mm)}):
                best = max(best, _shared(turned, text, stroke, pitch))
            if best > SURE_LIKENESS:
                return best
    return best


def _cropped(mask: Mask) -> Mask:
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return mask[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1] if rows.size else mask[:1, :1]


def _shared(seen: Mask, text: str, stroke_mm: float, pitch_mm: float) -> float:
    high, wide = (size * pitch_mm for size in seen.shape)
    least = LEAST_HEIGHT * stroke_mm
    low, more = text_size(text, least, stroke_mm), text_size(text, 2 * least, stroke_mm)
    height = least * (1 + max(0.0, (high - low[1]) / (more[1] - low[1])))
    drawn_wide, drawn_high = text_size(text, height, stroke_mm)
    if abs(drawn_wide - wide) > 0.1 * wide + stroke_mm or abs(drawn_high - high) > 0.1 * high + stroke_mm:
        return 0.0
    drawn = _drawing(text, height, stroke_mm, Grid((0, 0), (seen.shape[1], seen.shape[0]), (pitch_mm, pitch_mm)))
    return float((seen & drawn).sum() / max(1, int((seen | drawn).sum())))


def _drawing(text: str, height_mm: float, stroke_mm: float, grid: Grid) -> Mask:
    rings = text_strokes(text, height_mm, stroke_mm)
    cut = decompose(Figure((Layer.patches(rings, 0),)))
    low, high = cut.y0 / 1e4, cut.y1 / 1e4
    left = np.stack([cut.left1 / 1e4, high, cut.left0 / 1e4, low], axis=1)
    right = np.stack([cut.right0 / 1e4, low, cut.right1 / 1e4, high], axis=1)
    return raster(np.concatenate([left, right]), grid)


def _own(subject: Subject) -> Cavity | None:
    """Return the one of a part's cavities that is most like its number, in whichever way round."""
    if len(subject.cavities) < 2:
        return subject.cavities[0] if subject.cavities else None
    number, stroke = subject.part.number, subject.process.min_stroke_mm
    return max(
        subject.cavities,
        key=lambda cavity: max(likeness(cavity, number, stroke, mirrored=mirrored) for mirrored in (False, True)),
    )


def check_reading(subject: Subject) -> tuple[Finding, ...]:
    """The number that is seen is the part's own, and not its mirror image."""
    cavity = _own(subject)
    if cavity is None:
        return ()
    number, stroke = subject.part.number, subject.process.min_stroke_mm
    right = likeness(cavity, number, stroke, mirrored=False)
    wrong = 0.0 if right > SURE_LIKENESS else likeness(cavity, number, stroke, mirrored=True)
    if right >= LEAST_LIKENESS and right >= wrong:
        return ()
    place = _where(subject, cavity)
    if wrong >= LEAST_LIKENESS:
        text, remedy = "its number reads mirrored", "mirror the mark"
        return (subject.finding(Severity.FAILURE, "mark-mirrored", text, remedy, place),)
    text = f"what is engraved does not read {number}"
    return (subject.finding(Severity.FAILURE, "mark-unreadable", text, "engrave its own number", place),)


def _where(subject: Subject, cavity: Cavity) -> Place | None:
    """Return where all strokes of a mark are."""
    rows, columns = np.flatnonzero(cavity.mask.any(axis=1)), np.flatnonzero(cavity.mask.any(axis=0))
    # Filled between its strokes, for a place is that of one piece.
    whole = np.zeros_like(cavity.mask)
    whole[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1] = True
    return subject.place(whole, cavity.grid, cavity.band.low_mm, cavity.band.high_mm)


def check_strokes(subject: Subject) -> tuple[Finding, ...]:
    """Strokes and what stands between them are as wide as the process prints."""
    cavity = _own(subject)
    if cavity is None:
        return ()
    found = []
    process = subject.process
    for limit, code, what in (
        (process.min_stroke_mm, "mark-thin", "strokes"),
        (process.min_gap_mm, "mark-close", "walls between strokes"),
    ):
        looked_at = cavity.strokes(fine_pitch_mm(limit))
        if code == "mark-close":
            looked_at = ~looked_at
        thin = pieces(thin_places(looked_at))
        # Where two strokes meet at an angle the wedge between them is thin too, but small.
        if thin.count and thin.sizes_px.max() > ACROSS_PX * ACROSS_PX // 2:
            text = f"{what} of its number are under {limit:g} mm and will not print"
            place, remedy = _where(subject, cavity), "make the marks higher or their strokes wider"
            found.append(subject.finding(Severity.FAILURE, code, text, remedy, place))
    return tuple(found)


def check_place(subject: Subject) -> tuple[Finding, ...]:
    """A mark keeps off the rim and off faces that are glued, and leaves enough material under it."""
    cavity = _own(subject)
    if cavity is None:
        return ()
    found = []
    pitch = cavity.grid.pitch_mm[0]
    whole = cavity.around | enclosed(cavity.around)
    kind = "tabbed" if CUT_TAB_OFF in subject.part.notes else subject.part.kind
    place = _where(subject, cavity)
    if kind == "shell" and (cavity.mask & ~eroded(whole, GLUE_FACE_MM / pitch)).any():
        text = "its number is cut into the wall that the skins are glued to"
        found.append(subject.finding(Severity.FAILURE, "mark-on-glue-face", text, "move it into the room", place))
    elif kind == "skin" and (cavity.mask & ~eroded(whole, (RIM_MM - _ROUNDING_MM) / pitch)).any():
        text = f"its number comes nearer than {RIM_MM:g} mm to the rim, where it is glued"
        found.append(subject.finding(Severity.FAILURE, "mark-on-glue-face", text, "move it inward", place))
    left = _left_under_mm(subject, cavity)
    if left < LEFT_UNDER_MM - _ROUNDING_MM:
        text = f"only {left:.2f} mm are left under its number, and {LEFT_UNDER_MM:g} mm are needed"
        found.append(subject.finding(Severity.FAILURE, "mark-deep", text, "make the part thicker", place))
    return tuple(found)


def _left_under_mm(subject: Subject, cavity: Cavity) -> float:
    """Least material behind the strokes, counted in whole bands."""
    left = np.zeros_like(cavity.mask, dtype=np.float64)
    for band in subject.bands:
        if (band.low_mm >= cavity.band.high_mm) if cavity.from_below else (band.high_mm <= cavity.band.low_mm):
            left += band.height_mm * raster(band.segments, cavity.grid)
    return float(np.quantile(left[cavity.mask], 0.05))
