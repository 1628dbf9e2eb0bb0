"""Small kits made by hand, for tests of what is written and said of a kit."""

from dataclasses import dataclass, replace

import numpy as np

from halfbat.building import Building, building_from_plan
from halfbat.building.plain import structure_from_building
from halfbat.findings import Finding, Severity
from halfbat.parts.kit_plan import Plan, plan_kit
from halfbat.parts.part import Material, Part
from halfbat.settings import Settings
from halfbat.solids.solid import Solid
from halfbat.units import Scale, parse_scale

BOX_TRIANGLES = np.array(
    [
        *([0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]),
        *([0, 1, 5], [0, 5, 4], [1, 2, 6], [1, 6, 5]),
        *([2, 3, 7], [2, 7, 6], [3, 0, 4], [3, 4, 7]),
    ],
    dtype=np.int64,
)


def box_solid(x: float, y: float, z: float) -> Solid:
    """A closed box standing on z = 0, its middle at x = y = 0, mm."""
    plan = np.array([[0, 0], [x, 0], [x, y], [0, y]], dtype=float) - [x / 2, y / 2]
    low, high = np.column_stack([plan, np.zeros(4)]), np.column_stack([plan, np.full(4, z)])
    return Solid(np.concatenate([low, high]), BOX_TRIANGLES)


@dataclass(frozen=True)
class SampleKit:
    """A kit as the output sees it."""

    name: str
    scale: Scale
    settings: Settings
    building: Building
    parts: tuple[Part, ...]
    materials: tuple[Material, ...]
    findings: tuple[Finding, ...]
    checks: int = 0

    @property
    def plan(self) -> Plan:
        """Walls of the building, settled; its panels are not the parts."""
        return plan_kit(structure_from_building(self.building), self.settings, self.scale)

    def but(self, **changes):
        return replace(self, **changes)


def sample_kit() -> SampleKit:
    """A kit of four parts, wire to buy and a few findings."""
    lift = np.eye(4)
    lift[2, 3] = 1.25
    parts = (
        Part("S1", "Shell", "shell", "filament", box_solid(60.0, 30.0, 20.0), np.eye(4)),
        Part("A1", "Skin, wall A", "skin", "resin", box_solid(59.5, 1.0, 19.0), lift, 1, "A", {"stretcher": 410}),
        Part(
            "B1",
            "Skin, wall B",
            "skin",
            "resin",
            box_solid(29.5, 1.0, 19.0),
            lift,
            1,
            "B",
            {"header": 7, "half bat": 2},
        ),
        Part(
            "K1", "Cable run", "cover", "resin", box_solid(1.0, 0.6, 19.0), lift, 3, "A", notes=("Glue over the seam.",)
        ),
    )
    findings = (
        *(Finding(Severity.WARNING, "slender", part, "longer than 100 times its thickness") for part in ("A1", "B1")),
        Finding(Severity.NOTE, "gauge-adjusted", "", "gauge made 75.4 mm instead of 75 mm"),
    )
    return SampleKit(
        name="Lodge, größer",
        scale=parse_scale("4 mm/ft"),
        settings=Settings(),
        building=building_from_plan([[0, 0], [4.572, 0], [4.572, 2.286], [0, 2.286]], 0.0, 1.524),
        parts=parts,
        materials=(Material("Wire, 1.0 mm", 57.0, "mm", "A"),),
        findings=findings,
    )
