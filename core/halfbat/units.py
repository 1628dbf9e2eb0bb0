"""Lengths and scales as people write them, kept exact until they are used.

One foot is 304.8 mm exactly, so a scale given in millimetres to the foot is an exact fraction and stays one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from math import isfinite
from typing import Literal, NoReturn

from halfbat.errors import KitError

MM_PER_FOOT = Fraction(3048, 10)
MM_PER_INCH = Fraction(254, 10)
LARGEST_RATIO = 1000
LONGEST_TEXT = 60


@dataclass(frozen=True, slots=True)
class Scale:
    """A model scale.

    Parameters
    ----------
    name : str
        As the maker wrote it or as modellers call it, such as ``"N (British)"``.
    ratio : Fraction
        Full size over model size: 381/5 for 4 mm to the foot.
    """

    name: str
    ratio: Fraction

    @property
    def mm_per_m(self) -> float:
        """Model millimetres to one full-size metre."""
        return float(1000 / self.ratio)

    def to_mm(self, length_m: float) -> float:
        """Turn a full-size length in metres into model millimetres."""
        return length_m * self.mm_per_m


def _per_foot(name: str, mm: str) -> Scale:
    return Scale(name, MM_PER_FOOT / Fraction(mm))


def _one_to(name: str, ratio: str) -> Scale:
    return Scale(name, Fraction(ratio))


NAMED_SCALES: tuple[Scale, ...] = (
    # Millimetres to the foot: the definition is the source (2 mm finescale, the British scales, NMRA S-1.2 for HO).
    _per_foot("2 mm finescale", "2"),
    _per_foot("N (British)", "2.0625"),
    _per_foot("3 mm (British TT)", "3"),
    _per_foot("HO (NMRA)", "3.5"),
    _per_foot("OO", "4"),
    _per_foot("EM", "4"),
    _per_foot("P4", "4"),
    _per_foot("S4", "4"),
    _per_foot("O (British)", "7"),
    _per_foot("Gauge 1 (British)", "10"),
    _per_foot("1/2 inch to the foot", "12.7"),
    _per_foot("16 mm narrow gauge", "16"),
    # MOROP NEM 010, edition 2011, table 1.
    _one_to("Z (NEM)", "220"),
    _one_to("N (NEM)", "160"),
    _one_to("TT (NEM)", "120"),
    _one_to("H0 (NEM)", "87"),
    _one_to("S (NEM)", "64"),
    _one_to("0 (NEM)", "45"),
    _one_to("I (NEM)", "32"),
    _one_to("II (NEM)", "22.5"),
    _one_to("III (NEM)", "16"),
    _one_to("V (NEM)", "11"),
    _one_to("VII (NEM)", "8"),
    _one_to("X (NEM)", "5.5"),
    # NMRA S-1.2 family; S and F are from memory of that sheet.
    _one_to("Z (NMRA)", "220"),
    _one_to("N (NMRA)", "160"),
    _one_to("TT (NMRA)", "120"),
    _one_to("S (NMRA)", "64"),
    _one_to("O (NMRA)", "48"),
    _one_to("F (NMRA)", "20.3"),
    # Common practice.
    _one_to("N (Japanese)", "150"),
)
"""Published scales. Spellings of one letter (N, HO, O) differ between bodies, so their names say whose they are."""

_UNITS_MM: dict[str, Fraction] = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1000)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(10)),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1)),
    **dict.fromkeys(("ft", "foot", "feet", "'"), MM_PER_FOOT),
    **dict.fromkeys(("in", "ins", "inch", "inches", '"'), MM_PER_INCH),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), 3 * MM_PER_FOOT),
}
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_PRIMES = {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "''": '"', "⁄": "/", "×": "x"}
_NUMBER = r"\d+\s*[ -]\s*\d+/\d+|\d+/\d+|\d*[.,]\d+|\d+"
_TERM = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>[a-z]+\.?|'|\")?(?:(?<=[t'])\s*-)?\s*")
_PER_FOOT = re.compile(
    rf"(?P<number>{_NUMBER})\s*(?P<unit>mm|in|inch|inches|\")\s*(?:/|per|to the|to a|to 1|:\s*1)\s*(?:ft|foot|')\.?"
)
_RATIO = re.compile(rf"(?:1\s*[:/]\s*)?(?P<number>{_NUMBER})")


def _plain(text: str) -> str:
    """Lower case, with typographers' primes and fractions as plain characters."""
    plain = text.strip().lower()
    for mark, fraction in _VULGAR.items():
        plain = plain.replace(mark, f" {fraction}")
    for mark, ascii_mark in _PRIMES.items():
        plain = plain.replace(mark, ascii_mark)
    return plain.strip()


def _number(text: str, whole: str) -> Fraction:
    """Read ``12``, ``12.5``, ``12,5``, ``5/8`` or ``8 5/8``."""
    if re.fullmatch(r"\d+,\d{3}", text):
        # 3,810 is 3810 to one reader and 3.81 to another: a wall a thousand times too small must not come of it.
        raise KitError(f"'{whole}' can be read in two ways", "", "write it without the comma or with a decimal point")
    parts = re.split(r"[ -]+(?=\d+/)", text.replace(",", ".").strip())
    try:
        return sum((Fraction(part.strip()) for part in parts), Fraction(0))
    except ZeroDivisionError:
        raise KitError(f"'{whole}' divides by zero", "", "correct the fraction") from None


def _refuse_length(text: str) -> NoReturn:
    raise KitError(
        f"'{text}' is not a length",
        "",
        "write it like 3.81 m, 3810 mm, 12ft 6in, 55 courses or 44 bricks",
    )


def parse_length(text: str, *, course_m: float | None = None, brick_m: float | None = None) -> float:
    """Read a full-size length as people write it.

    Parameters
    ----------
    text : str
        ``"12ft 6in"``, ``"12'6"``, ``"3.81 m"``, ``"3810 mm"``, ``"55 courses"``, ``"4.5 bricks"``; a bare number
        is metres. Terms add up: ``"2 courses 10 mm"``. Decimal commas are read.
    course_m : float, optional
        Height of one course with its joint, metres; without it courses are refused.
    brick_m : float, optional
        Length of one stretcher with its joint, metres; without it bricks are refused.

    Returns
    -------
    float
        Metres, zero or more.

    Raises
    ------
    KitError
        When the text is no length, is negative, or counts bricks where there are none.
    """
    plain = _plain(text)
    if len(text) > LONGEST_TEXT:
        _refuse_length(text[:LONGEST_TEXT] + "...")
    if plain.startswith(("-", "−")):
        raise KitError(f"the length '{text}' is negative", "", "write a length of zero or more")
    total_m, at, last_unit = 0.0, 0, ""
    exact_mm = Fraction(0)
    while at < len(plain):
        term = _TERM.match(plain, at)
        if term is None:
            _refuse_length(text)
        number = _number(term["number"], text)
        unit = (term["unit"] or "").rstrip(".")
        if unit in ("course", "courses", "brick", "bricks"):
            module_m = course_m if unit.startswith("course") else brick_m
            if module_m is None:
                raise KitError(f"'{text}' counts {unit} where there is no brick yet", "", "write it in metres or feet")
            total_m += float(number) * module_m
        elif unit in _UNITS_MM:
            exact_mm += number * _UNITS_MM[unit]
        elif not unit and last_unit in ("'", "ft", "foot", "feet"):
            exact_mm += number * MM_PER_INCH  # 12'6 is how many people write it
        elif not unit and at == 0 and term.end() == len(plain):
            exact_mm += number * 1000
        else:
            _refuse_length(text)
        at, last_unit = term.end(), unit
    if not last_unit and at == 0:
        _refuse_length(text)
    return total_m + float(exact_mm / 1000)


LengthStyle = Literal["metric", "mm", "imperial"]


def format_length(metres: float, style: LengthStyle = "metric") -> str:
    """Write a full-size length for people to read.

    Parameters
    ----------
    metres : float
        Zero or more.
    style : {"metric", "mm", "imperial"}
        ``3.81 m``, ``3810 mm`` or ``12 ft 6 in``, to the nearest millimetre or 1/16 inch.
    """
    if style == "mm":
        return f"{round(metres * 1000)} mm"
    if style == "metric":
        return f"{metres:.3f}".rstrip("0").rstrip(".") + " m"
    sixteenths = round(Fraction(metres) * 1000 * 16 / MM_PER_INCH)
    feet, rest = divmod(sixteenths, 12 * 16)
    inches, part = divmod(rest, 16)
    inch_text = " ".join(str(piece) for piece in (inches, Fraction(part, 16)) if piece) or "0"
    words = ([f"{feet} ft"] if feet else []) + ([f"{inch_text} in"] if rest or not feet else [])
    return " ".join(words)


def _check_ratio(ratio: Fraction, text: str) -> Fraction:
    if not 1 <= ratio <= LARGEST_RATIO:
        raise KitError(f"the scale '{text}' is out of range", "", f"choose one from 1:1 to 1:{LARGEST_RATIO}")
    return ratio


def _named(text: str) -> Scale:
    """Find a published scale by its name, or by its bare letter where only one ratio goes by it."""
    wanted = text.casefold()
    exact = [scale for scale in NAMED_SCALES if scale.name.casefold() == wanted]
    if exact:
        return exact[0]
    same = [
        scale
        for scale in NAMED_SCALES
        if scale.name.casefold().split(" (")[0].replace("0", "o") == wanted.replace("0", "o")
    ]
    if len({scale.ratio for scale in same}) == 1:
        return same[0]
    if same:
        names = ", ".join(scale.name for scale in same)
        raise KitError(f"the scale '{text}' has more than one ratio", "", f"say which: {names}")
    near = get_close_matches(text, [scale.name for scale in NAMED_SCALES], n=1, cutoff=0.5)
    hint = f" (did you mean {near[0]}?)" if near else ""
    raise KitError(f"'{text}' is not a scale", "", f"write it like 1:148, 4 mm/ft or N (British){hint}")


def parse_scale(text: str | int | float) -> Scale:
    """Read a scale as people write it.

    Parameters
    ----------
    text : str or int or float
        ``"1:148"``, ``"1:76.2"``, ``"4 mm/ft"``, ``"1/4 in to the foot"``, a name from ``NAMED_SCALES`` or a bare
        ratio. ``"1:76.2"`` is exactly 381/5.

    Raises
    ------
    KitError
        When it is no scale, is a name with more than one ratio, or is outside 1:1 to 1:1000.
    """
    shown = str(text).strip()
    if len(shown) > LONGEST_TEXT or (isinstance(text, float) and not isfinite(text)):
        raise KitError(f"'{shown[:LONGEST_TEXT]}' is not a scale", "", "write it like 1:148, 4 mm/ft or N (British)")
    plain = _plain(shown)
    ratio = _RATIO.fullmatch(plain)
    if ratio is not None and plain != "0":  # 0 is also what a gauge is called
        value = _number(ratio["number"], shown)
        return Scale(f"1:{ratio['number']}", _check_ratio(value, shown))
    per_foot = _PER_FOOT.fullmatch(plain)
    if per_foot is not None:
        number = _number(per_foot["number"], shown)
        unit_mm = Fraction(1) if per_foot["unit"] == "mm" else MM_PER_INCH
        if number == 0:
            raise KitError(f"the scale '{shown}' is out of range", "", f"choose one from 1:1 to 1:{LARGEST_RATIO}")
        return Scale(shown, _check_ratio(MM_PER_FOOT / (number * unit_mm), shown))
    return _named(shown)
