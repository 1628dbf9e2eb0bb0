"""What is done in the window, run by Blender's own Python."""

import json
import sys
import traceback
from pathlib import Path

import bpy
import look
import whole_job

LONG_WAIT_S = 8.0


def play(name: str, folder: str) -> None:
    """Do a scene; what goes wrong is written down as its result."""
    try:
        SCENES[name](Path(folder))
    except BaseException:
        tell(Path(folder), {"error": traceback.format_exc()})
        raise


def tell(folder: Path, result: dict[str, object]) -> None:
    """Write down how a scene came out."""
    (folder / "result.json").write_text(json.dumps(result), encoding="utf-8")
    sys.stdout.flush()


def whole(folder: Path) -> None:
    """The whole job, then a look at the kit with the sidebar open."""

    def do() -> None:
        try:
            whole_job.whole_job(folder)
        except BaseException:
            tell(folder, {"error": traceback.format_exc()})
            raise
        look.show_tab()
        look.later(look.frame_all)
        tell(folder, {"parts": len(bpy.data.objects["Substation"].halfbat.collection.objects)})

    look.later(do)  # so that the time it takes is the picture's to wait for


def start_modal(sides: tuple[float, float, float]) -> bpy.types.Object:
    """Make a kit of the default cube as the button does it."""
    cube = bpy.data.objects["Cube"]
    cube.scale = [side / 2 for side in sides]
    with whole_job.as_maker():
        bpy.context.view_layer.update()
        bpy.ops.halfbat.use_as_building()
        assert bpy.ops.halfbat.make_kit("INVOKE_DEFAULT") == {"RUNNING_MODAL"}
    return cube


def modal(folder: Path) -> None:
    """A kit made while the window stays alive."""
    look.show_tab()
    cube = start_modal((8.0, 5.0, 3.0))
    tell(folder, {"parts": -1})

    def done() -> float | None:
        if cube.halfbat.collection is None:
            return 0.2
        tell(folder, {"parts": len(cube.halfbat.collection.objects)})
        look.frame_all()
        return None

    look.later(done)


def escape(folder: Path) -> None:
    """A kit of very many bricks, given up by the Esc key that the test presses."""
    cube = start_modal((90.0, 60.0, 30.0))
    window = look.view3d()[0]
    before = [operator.bl_idname for operator in window.modal_operators]

    def still() -> None:
        after = [operator.bl_idname for operator in window.modal_operators]
        made = cube.halfbat.collection is not None
        tell(folder, {"running before": before, "running after": after, "made": made, "objects": len(bpy.data.objects)})

    look.later(still, LONG_WAIT_S)


SCENES = {"whole": whole, "modal": modal, "escape": escape}
