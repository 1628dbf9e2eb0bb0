"""Usual doors and windows, to begin with: sizes in half bricks and courses of 75 mm, with a joint on top of the width.

Doors follow the coordinating sizes of doorsets, 900 x 2100 and 1800 x 2100 mm (BS 4787-1); the other sizes are common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from halfbat.settings.openings import OpeningRequest

_NOWHERE = ("A", "0")
USUAL_OPENINGS: Mapping[str, OpeningRequest] = MappingProxyType(
    {
        "Door": OpeningRequest(*_NOWHERE, "0.91 m", "2.1 m", insert="panelled door"),
        "Double door": OpeningRequest(
            *_NOWHERE, "1.81 m", "2.1 m", head="soldier course", insert="boarded door", leaves=2
        ),
        "Plant door": OpeningRequest(*_NOWHERE, "1.81 m", "2.4 m", insert="louvred door", leaves=2),
        "Sash window": OpeningRequest(
            *_NOWHERE,
            "0.91 m",
            "1.5 m",
            "0.75 m",
            head="flat arch",
            sill="stone",
            insert="sash window",
            panes="2x2",
        ),
        "Casement window": OpeningRequest(
            *_NOWHERE,
            "1.135 m",
            "1.2 m",
            "0.9 m",
            head="segmental arch",
            sill="brick on edge",
            insert="casement window",
            panes="2x3",
        ),
        "Metal window": OpeningRequest(
            *_NOWHERE,
            "1.81 m",
            "1.5 m",
            "0.9 m",
            sill="tile",
            insert="metal window",
            panes="4x4",
        ),
        "Round-headed window": OpeningRequest(
            *_NOWHERE,
            "1.135 m",
            "1.8 m",
            "0.9 m",
            head="semicircular arch",
            sill="stone",
            insert="casement window",
            panes="3x4",
        ),
        "Round window": OpeningRequest(
            *_NOWHERE,
            "0.91 m",
            "0.91 m",
            "1.5 m",
            head="circular",
            insert="metal window",
            panes="2x2",
        ),
        "Vent": OpeningRequest(*_NOWHERE, "0.46 m", "0.45 m", "0.3 m", insert="vent"),
    }
)
"""By name; where each is put is for the maker to say."""
