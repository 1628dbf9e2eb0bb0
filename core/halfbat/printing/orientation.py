"""How parts lie on their plates: by rule, or as the maker says for each kind.

Parts are made as the rule wants them: skins and covers flat with the relief away from the plate, a shell standing on
its foot, a lid on its top. Small parts carry a tab.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import Finding, Severity
from halfbat.parts.part import Part
from halfbat.parts.placing import as_printed
from halfbat.settings import Settings, settings_of
from halfbat.settings.construction import OrientationSettings
from halfbat.solids.solid import Solid

BY_RULE = "by rule"
# Columns are where X, Y and Z go. A part stands on the edge that was lowest in Y, or leftmost in X.
_ABOUT_X = ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0))
_ABOUT_Y = ((0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
_OVER = ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))
_KINDS = frozenset(record.key for record in settings_of(OrientationSettings))
_ALONG_X: Mapping[str, tuple[tuple[float, ...], ...]] = MappingProxyType(
    {"upside down": _OVER, "on long edge": _ABOUT_X, "on short edge": _ABOUT_Y}
)
_ALONG_Y: Mapping[str, tuple[tuple[float, ...], ...]] = MappingProxyType(
    {"upside down": _OVER, "on long edge": _ABOUT_Y, "on short edge": _ABOUT_X}
)


def oriented(part: Part, settings: Settings) -> tuple[Part, tuple[Finding, ...]]:
    """Turn a part as the maker asks.

    Parameters
    ----------
    part : Part
        As the rule has it.
    settings : Settings
        Orientations by kind of part.

    Returns
    -------
    Part, tuple of Finding
        The same part in another print frame, in the same place in the building; and what that spoils.
    """
    asked = getattr(settings.orientation, part.kind) if part.kind in _KINDS else BY_RULE
    if asked == BY_RULE or part.process == "bought":
        return part, ()
    long_in_x = part.solid.size_mm[0] >= part.solid.size_mm[1]
    turn: NDArray[np.float64] = np.array((_ALONG_X if long_in_x else _ALONG_Y)[asked])
    back = np.eye(4)
    back[:3, :3] = turn.T
    solid, place = as_printed(Solid(part.solid.vertices @ turn.T, part.solid.triangles), part.place @ back)
    findings: tuple[Finding, ...] = ()
    if part.kind == "skin":
        text = f"is printed {asked}, but its joints were made whole pixels and layers for lying flat"
        remedy = "let it lie by rule, or look at its joints in the slicer"
        findings = (Finding(Severity.WARNING, "orientation", part.number, text, remedy),)
    return replace(part, solid=solid, place=place), findings
