"""Blender's properties, made so that an override of a linked object can say otherwise than the file it is linked from.

Every property of buildings, parts and things on walls comes from here and not from ``bpy.props``.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from bpy import props

ONE: Any = {"LIBRARY_OVERRIDABLE"}
MANY: Any = {"LIBRARY_OVERRIDABLE", "USE_INSERTION"}
"""Lists, to which an override may add."""

BoolProperty: Any = partial(props.BoolProperty, override=ONE)
CollectionProperty: Any = partial(props.CollectionProperty, override=MANY)
EnumProperty: Any = partial(props.EnumProperty, override=ONE)
FloatProperty: Any = partial(props.FloatProperty, override=ONE)
FloatVectorProperty: Any = partial(props.FloatVectorProperty, override=ONE)
IntProperty: Any = partial(props.IntProperty, override=ONE)
PointerProperty: Any = partial(props.PointerProperty, override=ONE)
StringProperty: Any = partial(props.StringProperty, override=ONE)
