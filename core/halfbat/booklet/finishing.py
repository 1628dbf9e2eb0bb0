"""Painting brickwork in layers, with the room that the joints of this kit leave for paint.

The film is from memory of common practice, as the making notes say (section 2): primer and two thin coats come to
0.02 to 0.05 mm.
"""

from __future__ import annotations

from halfbat.drawings.contents import DrawnKit

THIN_FILM_MM, THICK_FILM_MM = 0.02, 0.05


def finishing_layers(kit: DrawnKit) -> tuple[tuple[str, str], ...]:
    """Return the layers from the bare print outward, each with what to do."""
    joints = kit.plan.joints
    width = min(joints.perpend_mm, joints.bed_mm)
    thin, thick = max(width - 2 * THIN_FILM_MM, 0.0), max(width - 2 * THICK_FILM_MM, 0.0)
    return (
        (
            "Prime thin",
            f"Joints are {width:.2f} mm wide and {joints.depth_mm:.2f} mm deep. Primer and two coats that come to "
            f"{THIN_FILM_MM:g} mm in all leave {thin:.2f} mm of width, coats of {THICK_FILM_MM:g} mm leave "
            f"{thick:.2f} mm: "
            "two dusted passes, no more.",
        ),
        (
            "Joint colour",
            "One thin coat of the mortar's colour over all brickwork, worked into the joints. Let it dry fully.",
        ),
        (
            "Brick colour",
            "Drag a nearly dry flat brush or a firm sponge across the faces, never into the joints. Then pick out "
            "single "
            "bricks, a few at a time, in two or three tones lighter, darker and redder than the first.",
        ),
        (
            "Wash",
            "A thin wash of the joint colour, or a dirtier one, wiped off the faces with a damp cloth before it dries.",
        ),
        ("Flat coat", "One thin coat of matt varnish over everything ties the layers together and protects them."),
        (
            "Covers and lid",
            "Paint cable runs, downpipes and the lid apart, in their own colours, and leave bare what will be glued.",
        ),
    )


def inside_text(kit: DrawnKit) -> str:
    """Return what to do with the inside before the lid goes on."""
    wall = kit.settings.shell.wall_lines * kit.settings.filament.line_width_mm
    return (
        f"If the building will be lit: shell walls of {wall:.2f} mm let light through in pale filament. Print the "
        f"shell in "
        "black, or paint the inside black, before it is put together."
    )
