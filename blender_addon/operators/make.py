"""Making and removing kits."""

from __future__ import annotations

from bpy.types import Context, Event, Object, Operator, Timer

from halfbat.errors import KitError
from halfbat.kit import Kit

from ..following import follow_letters
from ..live import give_up, shelf_of
from ..looking import Looks
from ..making import Cancelled, KitJob, Order, show, take_order
from ..reporting import Result, count_findings, refuse
from ..scene_out import remove_kit
from ..target import poll_building, poll_kit, required_building

TICK_S = 0.05
LOOKING = {"MIDDLEMOUSE", "WHEELUPMOUSE", "WHEELDOWNMOUSE", "TRACKPADPAN", "TRACKPADZOOM", "MOUSEROTATE"}
"""Events that only turn or move the view, let through while a kit is being made."""


class HALFBAT_OT_make_kit(Operator):
    """Make the parts of the kit, or make them again with the settings as they are now."""

    bl_idname = "halfbat.make_kit"
    bl_label = "Make Kit"
    bl_description = "Make the parts of the kit, or make them again with the settings as they are now. Esc stops it"
    bl_options = {"REGISTER", "UNDO"}

    _job: KitJob
    _timer: Timer
    _building: Object
    _order: Order

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings."""
        return poll_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Make the kit and come back when it is done."""
        building = required_building(context)
        manager = context.window_manager
        manager.progress_begin(0.0, 1.0)
        try:
            self._follow_walls(building, context)
            order = take_order(building, context)
            give_up()
            kit = order.make(lambda share, _text: manager.progress_update(share), shelf_of(building))
        except KitError as error:
            return refuse(self, error)
        finally:
            manager.progress_end()
        return self._show(context, building, order, kit)

    def invoke(self, context: Context, _event: Event) -> Result:
        """Make the kit aside, so that the view stays alive and Esc is heard."""
        if context.window is None:
            return self.execute(context)
        self._building = required_building(context)
        try:
            self._follow_walls(self._building, context)
            order = take_order(self._building, context)
        except KitError as error:
            return refuse(self, error)
        self._order = order
        give_up()
        self._job = KitJob(order, shelf_of(self._building))
        self._job.start()
        context.window_manager.progress_begin(0.0, 1.0)
        self._timer = context.window_manager.event_timer_add(TICK_S, window=context.window)
        context.window_manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context: Context, event: Event) -> Result:
        """Show how far it is until it is done or given up."""
        if event.type == "ESC":
            self._job.stop()
            context.workspace.status_text_set("Stopping")
        elif event.type == "TIMER" and self._job.running and not self._job.stopping:
            context.window_manager.progress_update(self._job.share)
            context.workspace.status_text_set(f"{self._job.share:.0%} {self._job.text}    Esc: stop")
        if self._job.running:
            return {"PASS_THROUGH"} if event.type in LOOKING else {"RUNNING_MODAL"}
        self._tidy(context)
        try:
            kit = self._job.result()
            return self._show(context, self._building, self._order, kit, self._job.looks)
        except Cancelled:
            self.report({"INFO"}, "Stopped; nothing was changed")
            return {"CANCELLED"}
        except KitError as error:
            return refuse(self, error)

    def cancel(self, context: Context) -> None:
        """Stop when Blender itself ends the operator, such as on loading a file."""
        self._job.stop()
        self._job.wait()
        self._tidy(context)

    def _follow_walls(self, building: Object, context: Context) -> None:
        """Let what names walls follow them where the mesh was changed, and say so."""
        word = follow_letters(building, context.evaluated_depsgraph_get(), context.scene)
        if word:
            self.report({"WARNING"}, f"The mesh was changed: {word}")

    def _tidy(self, context: Context) -> None:
        context.window_manager.event_timer_remove(self._timer)
        context.window_manager.progress_end()
        context.workspace.status_text_set(None)

    def _show(self, context: Context, building: Object, order: Order, kit: Kit, looks: Looks | None = None) -> Result:
        show(building, context, order, kit, looks)
        pieces = sum(part.quantity for part in kit.parts)
        self.report({"INFO"}, f"{kit.name}: {pieces} parts{count_findings(kit.findings)}")
        return {"FINISHED"}


class HALFBAT_OT_remove_kit(Operator):
    """Take the parts of this building's kit out of the scene."""

    bl_idname = "halfbat.remove_kit"
    bl_label = "Remove Kit"
    bl_description = "Take the parts of this building's kit out of the scene. The building and its settings stay"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings with a kit."""
        return poll_kit(cls, context)

    def execute(self, context: Context) -> Result:
        """Remove the kit and go back to the building."""
        building = required_building(context)
        count = remove_kit(building)
        if building.name in context.view_layer.objects:
            context.view_layer.objects.active = building
        self.report({"INFO"}, f"Removed {count} parts")
        return {"FINISHED"}
