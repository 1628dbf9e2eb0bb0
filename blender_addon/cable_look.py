"""How cable runs look: a modifier of geometry nodes bevels the line and sets saddles along it.

The modifier stays on the curve as the maker leaves it: it is made once, and its figures are written again only when
the settings they come from change. Taken off, it stays off.
"""

from __future__ import annotations

import json
from typing import Any

import bpy
from bpy.types import Curve, Material, Modifier, NodeTree, Object

from halfbat.sites.shapes import CableLook

from .placed_properties import placed_data

GROUP = "Halfbat cable run"
MODIFIER = "Cable Run"
CHORDS = 3
"""Points that round a bend; the printed run has as many at a right angle."""
AROUND = 8
_INPUTS = (
    ("Thickness", "NodeSocketFloat", "Width of the run"),
    ("Bend Radius", "NodeSocketFloat", "Radius of the middle of its bends"),
    ("Saddle Spacing", "NodeSocketFloat", "From saddle to saddle along the run"),
    ("Saddle Size", "NodeSocketVector", "Across the run, out of the wall and along the run"),
    ("Material", "NodeSocketMaterial", "Of run and saddles"),
)


def show_cable(item: Object, look: CableLook | None, unit_m: float) -> None:
    """Give a cable run its modifier, or its figures where the settings changed; without a look, hide it.

    Parameters
    ----------
    item : Object
        A curve on a wall.
    look : CableLook, optional
        From the core, metres; None for what is no cable run.
    unit_m : float
        Length of a Blender unit in metres.
    """
    data = placed_data(item)
    modifier = cable_modifier(item)
    if look is None:
        if modifier is not None and data.look:
            modifier.show_viewport = modifier.show_render = False
            data.look = ""
        return
    values = {
        "Thickness": look.thick_m / unit_m,
        "Bend Radius": look.bend_m / unit_m,
        "Saddle Spacing": look.spacing_m / unit_m,
        "Saddle Size": tuple(size / unit_m for size in look.saddle_m),
    }
    words = json.dumps(values)
    if data.look == words:
        return
    if modifier is None:
        if data.furnished:
            return  # the maker took it off
        modifier = item.modifiers.new(MODIFIER, "NODES")
        modifier.node_group = _node_group()  # type: ignore[attr-defined]
    for name, value in values.items():
        set_input(modifier, name, value)
    modifier.show_viewport = modifier.show_render = True
    data.look, data.furnished = words, True
    if isinstance(item.data, Curve):
        item.data.bevel_depth = 0.0  # the modifier bevels it; nodes get a bevelled curve as a mesh
    item.update_tag()


def colour_cable(item: Object, material: Material) -> None:
    """Give run and saddles a material."""
    modifier = cable_modifier(item)
    if modifier is not None and get_input(modifier, "Material") != material:
        set_input(modifier, "Material", material)
        item.update_tag()


def cable_modifier(item: Object) -> Modifier | None:
    """Return the modifier that shows an object as a cable run, whatever the maker called it."""
    for modifier in item.modifiers:
        group = getattr(modifier, "node_group", None)
        if modifier.type == "NODES" and group is not None and group.name.startswith(GROUP):
            return modifier
    return None


def get_input(modifier: Any, name: str) -> Any:  # noqa: ANN401 - a modifier of nodes has no public type of its values
    """Return the value of one of the modifier's inputs."""
    return modifier[_key(modifier, name)] if not _typed(modifier) else _typed_input(modifier, name).value


def set_input(modifier: Any, name: str, value: Any) -> None:  # noqa: ANN401
    """Set one of the modifier's inputs."""
    if _typed(modifier):
        _typed_input(modifier, name).value = value
    else:
        modifier[_key(modifier, name)] = value


def _typed(modifier: Any) -> bool:  # noqa: ANN401
    """Tell whether inputs are properties of their own, as from Blender 5.2 on, and not custom properties."""
    return hasattr(modifier, "properties")


def _typed_input(modifier: Any, name: str) -> Any:  # noqa: ANN401
    return getattr(modifier.properties.inputs, _key(modifier, name))


def _key(modifier: Any, name: str) -> str:  # noqa: ANN401
    sockets = modifier.node_group.interface.items_tree
    found: str = next(one.identifier for one in sockets if one.name == name and one.in_out == "INPUT")
    return found


def _node_group() -> NodeTree:
    """Return the nodes of cable runs, made on first use."""
    for group in bpy.data.node_groups:
        if group.name == GROUP and group.library is None:
            return group
    group = bpy.data.node_groups.new(GROUP, "GeometryNodeTree")  # type: ignore[arg-type]
    face: Any = group.interface
    face.new_socket("Geometry", in_out="INPUT", socket_type="NodeSocketGeometry")
    for name, kind, description in _INPUTS:
        socket = face.new_socket(name, in_out="INPUT", socket_type=kind)
        socket.description = description
        if kind != "NodeSocketMaterial":
            socket.subtype = "DISTANCE" if kind == "NodeSocketFloat" else "XYZ"
    face.new_socket("Geometry", in_out="OUTPUT", socket_type="NodeSocketGeometry")
    _wire(group)
    return group


def _wire(group: NodeTree) -> None:
    """Bevel the rounded line, set boxes along it, and give both the material."""

    def node(kind: str, at: tuple[float, float]) -> Any:  # noqa: ANN401 - nodes have no types in Blender's stubs
        made = group.nodes.new(kind)
        made.location = (200 * at[0], 180 * at[1])
        return made

    def link(start: Any, end: Any) -> None:  # noqa: ANN401
        group.links.new(start, end)

    given, done = node("NodeGroupInput", (0, 0)), node("NodeGroupOutput", (6, 0))
    line, tube, ring = (
        node(f"GeometryNode{kind}", at)
        for kind, at in (("FilletCurve", (1, 0)), ("CurveToMesh", (3, 0)), ("CurvePrimitiveCircle", (2, -1)))
    )
    half = node("ShaderNodeMath", (1, -1))
    half.operation, half.inputs[1].default_value = "MULTIPLY", 0.5
    places, box, turn = (
        node("GeometryNodeCurveToPoints", (2, 1)),
        node("GeometryNodeMeshCube", (2, 2)),
        node("FunctionNodeAxesToRotation", (3, 2)),
    )
    saddles, real, both, paint = (
        node(f"GeometryNode{kind}", at)
        for kind, at in (
            ("InstanceOnPoints", (4, 1)),
            ("RealizeInstances", (5, 1)),
            ("JoinGeometry", (5, 0)),
            ("SetMaterial", (5, -1)),
        )
    )
    _set_mode(line, "POLY", "Poly")
    _set_mode(places, "LENGTH", "Length")
    line.inputs["Count"].default_value, line.inputs["Limit Radius"].default_value = CHORDS, True
    ring.inputs["Resolution"].default_value, tube.inputs["Fill Caps"].default_value = AROUND, True
    turn.primary_axis, turn.secondary_axis = "Z", "Y"
    turn.inputs["Secondary Axis"].default_value = (0.0, 1.0, 0.0)
    for start, end in (
        (given.outputs["Geometry"], line.inputs["Curve"]),
        (given.outputs["Bend Radius"], line.inputs["Radius"]),
        (given.outputs["Thickness"], half.inputs[0]),
        (half.outputs[0], ring.inputs["Radius"]),
        (line.outputs[0], tube.inputs["Curve"]),
        (ring.outputs[0], tube.inputs["Profile Curve"]),
        (line.outputs[0], places.inputs["Curve"]),
        (given.outputs["Saddle Spacing"], places.inputs["Length"]),
        (given.outputs["Saddle Size"], box.inputs["Size"]),
        (places.outputs["Tangent"], turn.inputs["Primary Axis"]),
        (places.outputs["Points"], saddles.inputs["Points"]),
        (box.outputs["Mesh"], saddles.inputs["Instance"]),
        (turn.outputs[0], saddles.inputs["Rotation"]),
        (saddles.outputs[0], real.inputs[0]),
        (tube.outputs[0], both.inputs[0]),
        (real.outputs[0], both.inputs[0]),
        (both.outputs[0], paint.inputs[0]),
        (given.outputs["Material"], paint.inputs["Material"]),
        (paint.outputs[0], done.inputs[0]),
    ):
        link(start, end)


def _set_mode(node: Any, before: str, now: str) -> None:  # noqa: ANN401
    """Choose what a node does: a property of its own in Blender 4, a socket later."""
    if hasattr(node, "mode"):
        node.mode = before
    else:
        node.inputs["Mode"].default_value = now
