"""What of a kit is drawn: what the output sees, and how the walls were settled."""

from __future__ import annotations

from typing import Protocol

from halfbat.output.contents import KitContents
from halfbat.parts.kit_plan import Plan


class DrawnKit(KitContents, Protocol):
    """A made kit with the plan of its walls."""

    @property
    def plan(self) -> Plan:
        """Bricks, seams, panels, thicknesses and corners of its walls."""
