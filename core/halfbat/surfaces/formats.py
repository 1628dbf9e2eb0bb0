"""Brick formats, full size.

Sources. UK metric: BS 3921:1985, now BS EN 771-1 (215 x 102.5 x 65, four courses to 300). UK imperial: 9 x 4 1/2 x 3
in format with 3/8 in joints (BS 657, BS 3921:1965; from memory). US: BIA Technical Notes 10 and 10B, coursing from the
same tables. German: DIN 105 with the octametre of DIN 4172 (NF 12, DF 16, 2DF 8 courses to the metre, heads 10). Dutch:
waal sizes as sold, course height common practice, from memory. Australian: AS/NZS 4455.1, 86 mm courses.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from halfbat.errors import KitError

_INCH = 0.0254


@dataclass(frozen=True, slots=True)
class BrickFormat:
    """One size of brick and how it is laid, full size in metres.

    Parameters
    ----------
    key, name : str
        Key in kit files, and the name people use.
    length_m, width_m, height_m : float
        Work size of the brick laid flat.
    joint_m : float
        Width of a perpend.
    gauge_m : float
        One course with its bed joint; may differ from height plus joint where the coursing rules.
    """

    key: str
    name: str
    length_m: float
    width_m: float
    height_m: float
    joint_m: float
    gauge_m: float

    @property
    def stretcher_module_m(self) -> float:
        """A stretcher face with one joint."""
        return self.length_m + self.joint_m

    @property
    def header_module_m(self) -> float:
        """A header face with one joint."""
        return self.width_m + self.joint_m

    @property
    def bed_joint_m(self) -> float:
        """Height of a bed joint: what the gauge leaves over the brick."""
        return self.gauge_m - self.height_m

    @property
    def on_edge_gauge_m(self) -> float:
        """One course of bricks laid on edge."""
        return self.width_m + self.joint_m

    @property
    def on_edge_header_module_m(self) -> float:
        """The end of a brick laid on edge, with one joint."""
        return self.height_m + self.joint_m


def _mm(key: str, name: str, length: float, width: float, height: float, joint: float, gauge: float) -> BrickFormat:
    sizes = [size / 1000 for size in (length, width, height, joint, gauge)]
    return BrickFormat(key, name, *sizes)


def _inches(key: str, name: str, length: float, width: float, height: float, gauge: float) -> BrickFormat:
    sizes = [size * _INCH for size in (length, width, height, 3 / 8, gauge)]
    return BrickFormat(key, name, *sizes)


FORMATS: tuple[BrickFormat, ...] = (
    _mm("uk_metric", "UK metric", 215, 102.5, 65, 10, 75),
    _mm("uk_metric_73", "UK metric, 73 mm high", 215, 102.5, 73, 10, 83),
    _inches("uk_imperial", "UK imperial", 8 + 5 / 8, 4 + 1 / 8, 2 + 5 / 8, 3),
    _inches("us_modular", "US modular", 7 + 5 / 8, 3 + 5 / 8, 2 + 1 / 4, 8 / 3),
    _inches("us_engineer_modular", "US engineer modular", 7 + 5 / 8, 3 + 5 / 8, 2 + 13 / 16, 16 / 5),
    _inches("us_closure_modular", "US closure modular", 7 + 5 / 8, 3 + 5 / 8, 3 + 5 / 8, 4),
    _inches("us_standard", "US standard", 8, 3 + 5 / 8, 2 + 1 / 4, 8 / 3),
    _inches("us_engineer_standard", "US engineer standard", 8, 3 + 5 / 8, 2 + 13 / 16, 16 / 5),
    _inches("us_closure_standard", "US closure standard", 8, 3 + 5 / 8, 3 + 5 / 8, 4),
    _inches("us_roman", "US Roman", 11 + 5 / 8, 3 + 5 / 8, 1 + 5 / 8, 2),
    _inches("us_norman", "US Norman", 11 + 5 / 8, 3 + 5 / 8, 2 + 1 / 4, 8 / 3),
    _inches("us_engineer_norman", "US engineer Norman", 11 + 5 / 8, 3 + 5 / 8, 2 + 13 / 16, 16 / 5),
    _inches("us_utility", "US utility", 11 + 5 / 8, 3 + 5 / 8, 3 + 5 / 8, 4),
    _mm("german_nf", "German NF", 240, 115, 71, 10, 1000 / 12),
    _mm("german_df", "German DF", 240, 115, 52, 10, 1000 / 16),
    _mm("german_2df", "German 2DF", 240, 115, 113, 10, 1000 / 8),
    _mm("dutch_waal", "Dutch waal", 210, 100, 50, 10, 62.5),
    _mm("dutch_waaldik", "Dutch thick waal", 210, 100, 65, 10, 75),
    _mm("australian", "Australian", 230, 110, 76, 10, 86),
)


def get_format(key: str) -> BrickFormat:
    """Return a published format.

    Parameters
    ----------
    key : str
        Such as ``"uk_metric"``.

    Returns
    -------
    BrickFormat

    Raises
    ------
    KitError
        If there is no such format.
    """
    for known in FORMATS:
        if known.key == key:
            return known
    names = ", ".join(known.key for known in FORMATS)
    raise KitError(f'there is no brick format "{key}"', "brick.format", f"use one of {names}, or custom with its sizes")


def custom_format(length_m: float, width_m: float, height_m: float, joint_m: float, gauge_m: float) -> BrickFormat:
    """Return a format of the maker's own.

    Parameters
    ----------
    length_m, width_m, height_m, joint_m, gauge_m : float
        Full size, metres; see `BrickFormat`.

    Returns
    -------
    BrickFormat

    Raises
    ------
    KitError
        If a size is not a positive number, the brick is wider than long, or the gauge is less than its height.
    """
    if not all(isfinite(size) and size > 0 for size in (length_m, width_m, height_m, gauge_m)):
        raise KitError("a custom brick needs a length, width, height and gauge above zero", "brick", "give all four")
    if not (isfinite(joint_m) and 0 <= joint_m < width_m):
        raise KitError("the joint of a custom brick must be between zero and its width", "brick", "give a usual 10 mm")
    if width_m > length_m:
        raise KitError("a custom brick is wider than it is long", "brick", "swap its length and width")
    if gauge_m < height_m:
        raise KitError("the gauge of a custom brick is less than its height", "brick", "give height plus bed joint")
    return BrickFormat("custom", "Custom", length_m, width_m, height_m, joint_m, gauge_m)
