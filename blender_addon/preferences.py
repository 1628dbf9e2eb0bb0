"""What a maker chooses for all files: the colours in which finishes are shown.

Annotations are not postponed in this file: Blender reads the properties out of them.
"""

from types import MappingProxyType
from typing import Any

import bpy
from bpy.props import FloatVectorProperty
from bpy.types import AddonPreferences, Context

from halfbat.settings.features import FINISH_CHOICES

Colour = tuple[float, float, float, float]

STRENGTH = 0.6
"""How much of the colour lies over the face, so that edges, selection and shading stay seen."""
USUAL_COLOURS = MappingProxyType(
    {
        "coursed rubble": (0.902, 0.624, 0.0),
        "random rubble": (0.835, 0.369, 0.0),
        "ashlar": (0.941, 0.894, 0.259),
        "concrete block": (0.0, 0.0, 0.0),
        "render": (0.337, 0.706, 0.914),
        "weatherboard": (0.0, 0.620, 0.451),
        "corrugated sheet": (0.0, 0.447, 0.698),
        "box-profile sheet": (0.8, 0.475, 0.655),
    }
)
"""Told apart with any kind of colour vision: the palette of Okabe and Ito, "Color Universal Design" (2008)."""


def colour_name(kind: str) -> str:
    """Return the name of the property that holds the colour of a finish."""
    return kind.replace(" ", "_").replace("-", "_")


class HALFBAT_AP_preferences(AddonPreferences):
    """Colours of finishes."""

    bl_idname = __package__

    def draw(self, context: Context) -> None:
        """Draw the colours."""
        column = self.layout.column()
        column.use_property_split = True
        column.label(text="Finishes over the 3D view")
        for kind in FINISH_CHOICES:
            column.prop(self, colour_name(kind))


for _kind, _label in FINISH_CHOICES.items():
    HALFBAT_AP_preferences.__annotations__[colour_name(_kind)] = FloatVectorProperty(
        name=_label,
        description=f"Colour in which {_label.lower()} is shown on buildings, and how much it covers",
        size=4,
        min=0.0,
        max=1.0,
        subtype="COLOR_GAMMA",
        default=(*USUAL_COLOURS[_kind], STRENGTH),
    )


def preferences() -> AddonPreferences | None:
    """Return the preferences; None while the extension is being switched on or off."""
    addon: Any = bpy.context.preferences.addons.get(__package__)
    return None if addon is None else addon.preferences


def colour_of(kind: str) -> Colour:
    """Return the colour of a finish: red, green, blue as screens have them, and how much it covers, 0 to 1."""
    chosen = getattr(preferences(), colour_name(kind), None)
    return (*USUAL_COLOURS[kind], STRENGTH) if chosen is None else (chosen[0], chosen[1], chosen[2], chosen[3])
