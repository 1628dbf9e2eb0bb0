"""Usual roof lights, to begin with. Their sizes are common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from halfbat.settings.roof_lights import RoofLightRequest

_NOWHERE = ("A", "0", "0")
USUAL_ROOF_LIGHTS: Mapping[str, RoofLightRequest] = MappingProxyType(
    {
        "Cast iron roof light": RoofLightRequest(*_NOWHERE, "610 mm", "914 mm"),
        "Large cast iron roof light": RoofLightRequest(*_NOWHERE, "762 mm", "1067 mm"),
        "Patent glazing": RoofLightRequest(*_NOWHERE, "2.44 m", "1.5 m", "patent glazing"),
        "Modern roof window": RoofLightRequest(*_NOWHERE, "780 mm", "980 mm", "modern"),
        "Row of three": RoofLightRequest(*_NOWHERE, "610 mm", "914 mm", count=3, spacing="1.5 m"),
    }
)
