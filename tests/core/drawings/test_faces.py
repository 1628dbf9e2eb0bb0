from dataclasses import replace

import numpy as np
import pytest
import trimesh

from covered_kits import kit_of_box
from halfbat.drawings.faces import above, kit_faces, solid_faces, without_tab
from halfbat.drawings.panels import skin_panels
from halfbat.kit import make_kit
from halfbat.settings import CoverRequest, FeatureRequest, OpeningRequest
from halfbat.solids.solid import Solid
from kit_help import building_of, settings_with
from made_kits import l_shape, long_box
from sample_kits import box_solid


def area(ring):
    return float(np.linalg.norm(np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)) / 2)


def volume(faces):
    """Volume that faces enclose, by the divergence theorem."""
    total = 0.0
    for face in faces:
        for ring in face.rings:
            total += float(ring[0] @ np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)) / 6
    return total


def test_a_box_has_six_faces():
    faces = solid_faces(box_solid(4.0, 2.0, 3.0))
    assert sorted(area(face.rings[0]) for face in faces) == pytest.approx([6, 6, 8, 8, 12, 12])
    assert volume(faces) == pytest.approx(24.0)


@pytest.mark.parametrize("number", ["S1", "L1", "CA1"])
def test_joined_faces_enclose_what_the_solid_does(number):
    part = next(part for part in long_box().parts if part.number == number)
    # Triangles count as one face where a corner stands off it by no more than 0.02 mm.
    assert volume(solid_faces(part.solid)) == pytest.approx(part.solid.volume_mm3, rel=1e-4)


@pytest.mark.parametrize("kit", [long_box, l_shape])
def test_drawn_skins_are_closed_and_as_large_as_the_parts(kit):
    made = kit()
    faces = kit_faces(made)
    for number, panel in skin_panels(made).items():
        drawn = volume(faces[number])
        # Joints are drawn as lines: the solid has less by what they take, and never more.
        joint_share = made.plan.joints.depth_mm / panel.wall.facing.depth_mm
        assert panel.part.solid.volume_mm3 <= drawn * 1.001
        assert panel.part.solid.volume_mm3 >= drawn * (1 - joint_share)
        sides = sum(face.normal * area(face.rings[0]) for face in faces[number])
        assert np.abs(sides).max() < 1e-6 * drawn + 1e-6


def test_openings_cut_by_the_maker_are_seen():
    kit = long_box()
    part = next(part for part in kit.parts if part.number == "WA1")
    box = trimesh.creation.box((8, 6, 9))
    box.apply_translation((10.0, 2.0, 0.0))
    solid = trimesh.Trimesh(part.solid.vertices, part.solid.triangles, process=False)
    cut = trimesh.boolean.difference([solid, box], engine="manifold")
    changed = replace(part, solid=Solid(np.asarray(cut.vertices, dtype=float), np.asarray(cut.faces, dtype=np.int64)))
    kit = replace(kit, parts=tuple(changed if one is part else one for one in kit.parts))
    (hole,) = skin_panels(kit)["WA1"].holes_mm
    assert np.ptp(hole, axis=0) == pytest.approx([8, 6], abs=1e-3)
    front = kit_faces(kit)["WA1"][0]
    assert len(front.rings) == 2 and len(front.bricks.clips) == 2
    assert skin_panels(long_box())["WA1"].holes_mm == ()


def test_what_hangs_below_a_level_is_cut_off():
    faces = above(solid_faces(box_solid(2.0, 2.0, 4.0)), 1.0)
    lowest = min(ring[:, 2].min() for face in faces for ring in face.rings)
    assert lowest == pytest.approx(1.0)
    assert len(faces) == 5


def test_a_tab_beside_a_piece_of_a_cover_is_left_out():
    kit = kit_of_box(downpipes=(CoverRequest("A", "3 m"),), features=(FeatureRequest("A", "plinth"),), mark__make=True)
    upper = next(part for part in kit.parts if part.tab_mm)
    wall = kit.plan.walls[0]
    faces = tuple(face.turned(upper.place) for face in solid_faces(upper.solid))
    kept = without_tab(faces, upper, wall)

    def reach(some):
        fronts = [ring[:, 0].max() for face in some for ring in face.rings if face.normal[1] < -0.5]
        return max(fronts) - wall.covers[0].position_mm

    assert reach(faces) > 4.0 and reach(kept) < 1.5
    lower = next(part for part in kit.parts if part.kind == "cover" and part.tab_mm is None)
    assert without_tab(faces, lower, wall) is faces


def test_the_face_of_a_louvred_door_is_not_broken_by_the_rounding_of_its_louvres():
    opening = OpeningRequest("A", "1.5 m", "1.2 m", "2.2 m", head="semicircular arch", insert="louvred door", leaves=2)
    settings = replace(settings_with(kit__scale="1:76.2"), openings=(opening,))
    kit = make_kit(building_of([[0, 0], [6, 0], [6, 4], [0, 4]]), settings, checked=False)
    (door,) = (part for part in kit.parts if part.kind == "insert")
    # Louvres lean by more than 5 degrees; what lies flat is the flange, the frame, the groove and the two leaves.
    flat = [face for face in solid_faces(door.solid) if face.normal[2] > np.cos(np.radians(5.0))]
    assert sum(sum(area(ring) for ring in face.rings) > 1.0 for face in flat) == 5
