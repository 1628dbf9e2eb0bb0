"""A lid is lifted past the covers of walls that stand on it."""

from functools import cache

from halfbat.building.erect import structure_from_mesh
from halfbat.kit import make_kit
from halfbat.parts.cover_blocks import cover_blocks
from halfbat.parts.lid import lid_top_mm
from kit_help import lift_fouls, overlaps, parts_of, settings_with
from roof_solids import block, gabled, mesh_of_solid


@cache
def kit():
    solid = gabled(0, 0, 7, 5, 5.0, 1.8) + block(6.99, 0.5, 10.0, 4.0, 2.5)
    structure = structure_from_mesh(mesh_of_solid(solid), smallest_face_m=0.5)
    # Panels so small that the gable over the lid has a seam.
    settings = settings_with(kit__scale="1:76.2", seam__panel_limit_mm=40.0, mark__make=False)
    return make_kit(structure, settings, checked=False)


def on_the_lid():
    made = kit()
    (mass,) = [mass for mass in made.plan.masses if not mass.slopes]
    return cover_blocks(made.plan.walls, lid_top_mm(mass, made.settings), made.settings, made.scale)


def test_only_covers_over_the_lid_count():
    covers = sum(len(wall.covers) for wall in kit().plan.walls)
    assert 0 < len(on_the_lid()) < covers


def test_the_lid_lifts_past_them():
    assert len(parts_of(kit(), "lid")) >= 1
    assert [found for found in (*lift_fouls(kit()), *overlaps(kit())) if found[0][0] == "L" and found[2] > 5e-3] == []
