"""What is glued to what, with which gap and which kind of glue.

Gaps that glues bridge, and that areas over 20 cm2 want a slow one: making notes, section 4 (bond lines of 0.05 to
0.20 mm are best for small plastic parts; cyanoacrylate bridges about 0.05 mm when thin, 0.25 mm when medium and 0.4 to
0.5 mm when thick; the area is common practice).
"""

from __future__ import annotations

from dataclasses import dataclass

from halfbat.drawings.contents import DrawnKit
from halfbat.parts.chimneys import FIT_MM
from halfbat.parts.cover_parts import made_as
from halfbat.parts.section_joints import GAP_MM

SLOW_ABOVE_CM2 = 20.0
_THIN_MM, _MEDIUM_MM, _THICK_MM = 0.05, 0.25, 0.5


@dataclass(frozen=True, slots=True)
class GlueJoint:
    """A kind of joint of the kit.

    Parameters
    ----------
    between : str
        The two things.
    materials : str
        What they are made of.
    gap : str
        Room between them, in words.
    glue : str
        What to use, and how.
    """

    between: str
    materials: str
    gap: str
    glue: str


def cyanoacrylate_for(gap_mm: float) -> str:
    """Return the grade of cyanoacrylate that bridges a gap, or what to use where none does."""
    if gap_mm <= _THIN_MM:
        return "thin cyanoacrylate"
    if gap_mm <= _MEDIUM_MM:
        return "medium cyanoacrylate"
    return "thick or gel cyanoacrylate" if gap_mm <= _THICK_MM else "epoxy"


def glue_joints(kit: DrawnKit) -> tuple[GlueJoint, ...]:
    """Return the joints a kit has, in the order they are made."""
    kinds = {part.kind for part in kit.parts}
    joints: list[GlueJoint] = []
    if any(part.sections for part in kit.parts):
        text = "epoxy of 5 to 15 minutes on splices, keys and ends, for time to line them up"
        joints.append(GlueJoint("section to section", "filament to filament", f"{GAP_MM:.2f} mm", text))
    if "skin" in kinds and "shell" in kinds:
        joints.append(_skins(kit))
    if "skin" in kinds:
        gap = kit.settings.skin.corner_gap_mm
        joints.append(
            GlueJoint(
                "skin to skin at corners",
                "resin to resin",
                f"{gap:.2f} mm",
                "none needed on the face; a touch of "
                + cyanoacrylate_for(gap)
                + " from inside, above the shell, if it gapes",
            )
        )
    if any(wall.seams.cuts or wall.seams.rows_mm for wall in kit.plan.walls):
        gap = kit.settings.seam.gap_mm
        joints.append(
            GlueJoint("panel to panel at seams", "resin to resin", f"{gap:.2f} mm", "none: the shell behind holds both")
        )
    if "roof skin" in kinds and "former" in kinds:
        gap = kit.settings.skin.glue_gap_mm
        glue = f"{cyanoacrylate_for(gap)} or epoxy of 5 to 15 minutes, spread thin"
        joints.append(GlueJoint("roof skin to former", "resin to filament", f"{gap:.2f} mm", glue))
    joints += _boards(kit, kinds)
    if "chimney" in kinds:
        text = f"{cyanoacrylate_for(FIT_MM)} in the pocket of the former; none on the bricks"
        joints.append(GlueJoint("chimney to roof", "resin to filament", f"{FIT_MM:.2f} mm on each side", text))
    if "roof light" in kinds:
        text = f"{cyanoacrylate_for(FIT_MM)} under the frame, in small drops; none on the tiles"
        joints.append(
            GlueJoint(
                "roof light to roof", "resin to resin, or filament on a lid", f"{FIT_MM:.2f} mm on each side", text
            )
        )
    if "insert" in kinds:
        fit = kit.settings.filament.fit_mm
        glue = cyanoacrylate_for(fit) + " in small drops, from inside"
        joints.append(GlueJoint("door or window to shell", "resin to filament", f"{fit:.2f} mm on each side", glue))
    if "cover" in kinds:
        text = (
            "tack with thin cyanoacrylate at saddles or sockets, from a needle or wire; too much runs into the joints"
        )
        joints.append(GlueJoint("cover to skins", "resin to resin", "none, they touch", text))
    if any(made_as(place.style, kit.settings) == "wire" for wall in kit.plan.walls for place in wall.covers):
        joints.append(
            GlueJoint(
                "wire to skins", "metal or plastic to resin", "none, they touch", "thin cyanoacrylate in small drops"
            )
        )
    if "lid" in kinds:
        fit = kit.settings.filament.fit_mm
        joints.append(
            GlueJoint("lid to shell", "filament to filament", f"{fit:.2f} mm on each side", "none: it lifts off")
        )
    return tuple(joints)


def _boards(kit: DrawnKit, kinds: set[str]) -> list[GlueJoint]:
    """Joints of what hangs under the edges of a roof."""
    gap = kit.settings.skin.corner_gap_mm / 2
    joints = []
    if kinds & {"fascia", "barge board"}:
        text = f"{cyanoacrylate_for(gap)}, along the top; none on the walls"
        joints.append(GlueJoint("fascia and barge boards to roof", "resin to resin or filament", f"{gap:.2f} mm", text))
    if "gutter" in kinds:
        text = f"{cyanoacrylate_for(gap)} on the flat side, in small drops; none on downpipes"
        joints.append(GlueJoint("gutter to fascia", "resin to resin", f"{gap:.2f} mm", text))
    return joints


def _skins(kit: DrawnKit) -> GlueJoint:
    gap = kit.settings.skin.glue_gap_mm
    areas = [float(part.solid.size_mm[0] * part.solid.size_mm[1]) / 100 for part in kit.parts if part.kind == "skin"]
    largest = max(areas)
    if largest > SLOW_ABOVE_CM2:
        glue = (
            f"the largest skin has {largest:.0f} cm² of back, so a slow glue: epoxy of 5 to 15 minutes, gel or contact "
            "adhesive, spread thin; thin cyanoacrylate only to tack the edges"
        )
    else:
        grade = cyanoacrylate_for(gap)
        glue = f"{grade}, or epoxy of 5 to 15 minutes for time to move it; spread thin, clear of the edges"
    return GlueJoint("skin to shell", "resin to filament", f"{gap:.2f} mm", glue)


GENERAL = (
    "Cure resin fully, degrease both faces and scuff them: glue holds neither shiny nor greasy plastic well.",
    "Solvent cement for polystyrene does not work on cured resin.",
    "Glue sets slower in a wide gap: leave parts taped and untouched until it is hard.",
)
