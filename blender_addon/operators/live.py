"""Listening for Esc while a kit is kept up to date."""

from __future__ import annotations

from bpy.types import Context, Event, Operator, Timer

from ..live import give_up, state
from ..reporting import Result

TICK_S = 0.1


class HALFBAT_OT_watch_live(Operator):
    """Show how far the keeping up to date is, and stop it on Esc."""

    bl_idname = "halfbat.watch_live"
    bl_label = "Keep Up to Date"
    bl_description = "Show how far the keeping up to date is, and stop it on Esc"
    bl_options = {"INTERNAL"}

    _timer: Timer

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow windows."""
        return context.window is not None

    def invoke(self, context: Context, _event: Event) -> Result:
        """Listen beside whatever else is going on."""
        self._timer = context.window_manager.event_timer_add(TICK_S, window=context.window)
        context.window_manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context: Context, event: Event) -> Result:
        """Let every event through."""
        job = state().job
        if job is not None and event.type == "ESC" and event.value == "PRESS":
            give_up(by_hand=True)
            job = None
        if job is None:
            self._tidy(context)
            return {"FINISHED", "PASS_THROUGH"}
        if event.type == "TIMER":
            context.workspace.status_text_set(f"{job.share:.0%} {job.text}    Esc: stop")
        return {"PASS_THROUGH"}

    def cancel(self, context: Context) -> None:
        """Stop listening when Blender itself ends it."""
        self._tidy(context)

    def _tidy(self, context: Context) -> None:
        context.window_manager.event_timer_remove(self._timer)
        context.workspace.status_text_set(None)
