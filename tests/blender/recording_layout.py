"""A layout that writes down what a panel draws, since the bpy wheel has no window to draw in."""

from types import SimpleNamespace

import bpy


class RecordingLayout:
    """Takes every call a panel makes of a layout and keeps properties, operators and labels."""

    def __init__(self, record: dict[str, list] | None = None) -> None:
        self.record = record if record is not None else {"props": [], "operators": [], "labels": [], "lists": []}

    def _inner(self, *_args: object, **_kwargs: object) -> "RecordingLayout":
        return RecordingLayout(self.record)

    row = column = split = box = grid_flow = column_flow = _inner

    def prop(self, data: object, name: str, **_kwargs: object) -> None:
        getattr(data, name)  # as Blender does, which complains in red where there is no such property
        self.record["props"].append((type(data).__name__, name))

    def operator(self, name: str, **_kwargs: object) -> SimpleNamespace:
        category, _, verb = name.partition(".")
        assert verb in dir(getattr(bpy.ops, category)), name
        self.record["operators"].append(name)
        return SimpleNamespace()

    def operator_menu_enum(self, name: str, prop: str, **kwargs: object) -> SimpleNamespace:
        return self.operator(name, **kwargs)

    def label(self, text: str = "", **_kwargs: object) -> None:
        self.record["labels"].append(text)

    def template_list(self, kind: str, _id: str, data: object, name: str, active: object, index: str, **_kw: object):
        assert hasattr(bpy.types, kind), kind
        getattr(data, name), getattr(active, index)
        self.record["lists"].append(name)

    def separator(self, *_args: object, **_kwargs: object) -> None:
        pass

    popover = menu = separator


class StandIn:
    """Stands in for a panel that Blender has not opened: its own members, and a layout that writes down."""

    def __init__(self, panel: type) -> None:
        self.layout = RecordingLayout()
        self._panel = panel

    def __getattr__(self, name: str) -> object:
        for owner in self._panel.__mro__:
            if name in vars(owner) and owner is not bpy.types.Panel:
                return vars(owner)[name].__get__(self) if callable(vars(owner)[name]) else vars(owner)[name]
        raise AttributeError(name)


def context_for_drawing() -> SimpleNamespace:
    """What panels ask of a context, with the region and the preferences of a window."""
    context = bpy.context
    return SimpleNamespace(
        active_object=context.active_object,
        scene=context.scene,
        mode=context.mode,
        region=SimpleNamespace(width=320),
        preferences=SimpleNamespace(system=SimpleNamespace(ui_scale=1.0)),
        view_layer=context.view_layer,
        evaluated_depsgraph_get=context.evaluated_depsgraph_get,
    )


def panels_of_tab(registration: object) -> list[type]:
    """Return the panels that stand in the tab, without the menus of presets in their heads."""
    return [cls for cls in registration.PANELS if getattr(cls, "bl_category", "") == "Halfbat"]


def drawn_panels(registration: object) -> dict[str, dict[str, list]]:
    """Draw every panel that shows now; return what each drew, in the order of the tab."""
    context = context_for_drawing()
    panels = panels_of_tab(registration)
    shown: dict[str, dict[str, list]] = {}
    for panel in panels:
        if not panel.poll(context):
            continue
        stand_in = StandIn(panel)
        panel.draw(stand_in, context)
        shown[panel.__name__] = stand_in.layout.record
    return shown
