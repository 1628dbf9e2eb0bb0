"""What of a kit is written: the side of a kit that the output sees."""

from __future__ import annotations

from typing import Protocol

from halfbat.building import Building
from halfbat.building.structure import Structure
from halfbat.findings import Finding
from halfbat.parts.part import Material, Part
from halfbat.settings import Settings
from halfbat.units import Scale


class KitContents(Protocol):
    """A made kit."""

    @property
    def name(self) -> str:
        """Name of the kit."""

    @property
    def scale(self) -> Scale:
        """Scale of the model."""

    @property
    def settings(self) -> Settings:
        """Settings it was made with."""

    @property
    def building(self) -> Building | Structure:
        """Building it was made from."""

    @property
    def parts(self) -> tuple[Part, ...]:
        """Parts, in the order of the parts list."""

    @property
    def materials(self) -> tuple[Material, ...]:
        """Things to buy."""

    @property
    def checks(self) -> int:
        """How many checks were made of its parts."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What there is to tell."""
