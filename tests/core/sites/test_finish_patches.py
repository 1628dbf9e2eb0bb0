import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.building.erect import structure_from_mesh
from halfbat.building.obj import read_obj
from halfbat.settings import FinishRequest, OpeningRequest, Settings
from halfbat.sites.finish_patches import finishes_seen
from halfbat.sites.walls import sites_of
from site_samples import box_sites

SITES = box_sites(base_m=0.5)


def area_m2(patches) -> float:
    return sum(float(np.linalg.norm(np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0]), axis=1).sum() / 2) for t in patches)


def areas(seen) -> dict[tuple[str, str], float]:
    return {(patch.wall, patch.kind): area_m2([patch.triangles_m]) for patch in seen.patches}


def test_a_whole_wall_is_coloured_in_its_own_plane_and_faces_outward() -> None:
    (patch,) = finishes_seen(SITES, [FinishRequest("A", "render")]).patches
    assert area_m2([patch.triangles_m]) == pytest.approx(8 * 3)
    assert np.allclose(patch.triangles_m[..., 1], 0.0)
    assert patch.triangles_m[..., 2].min() == pytest.approx(0.5)
    a, b, c = patch.triangles_m.transpose(1, 0, 2)
    assert (np.cross(b - a, c - a)[:, 1] < 0).all()


def test_a_band_ends_on_the_bed_joints_where_the_kit_ends_it() -> None:
    seen = finishes_seen(SITES, [FinishRequest("B", "ashlar", top="1 m")])
    _, tops = SITES.wall("B").masonry.courses
    high = tops[np.argmin(np.abs(tops / SITES.scale.mm_per_m - 1.0))] / SITES.scale.mm_per_m
    assert areas(seen) == {("B", "ashlar"): pytest.approx(5 * high, rel=1e-4)}


def test_the_later_of_two_lies_over_the_earlier() -> None:
    asked = [FinishRequest("all", "render"), FinishRequest("C", "ashlar")]
    found = areas(finishes_seen(SITES, asked))
    assert found == {
        ("A", "render"): pytest.approx(24),
        ("B", "render"): pytest.approx(15),
        ("C", "ashlar"): pytest.approx(24),
        ("D", "render"): pytest.approx(15),
    }


def test_openings_are_left_out_and_those_that_cannot_be_made_are_passed_over() -> None:
    window = OpeningRequest("A", "2 m", width="1 m", height="1.2 m", sill_height="0.9 m")
    lost = OpeningRequest("Z", "2 m", width="1 m", height="1.2 m")
    bare = areas(finishes_seen(SITES, [FinishRequest("A", "render")]))
    cut = areas(finishes_seen(SITES, [FinishRequest("A", "render")], [window, lost]))
    assert bare["A", "render"] - cut["A", "render"] == pytest.approx(1.2, abs=0.15)


def test_openings_and_gables_of_a_mesh_are_followed() -> None:
    mesh = read_obj("examples/pump_house/pump_house.obj")
    structure = structure_from_mesh(mesh, smallest_face_m=0.3)
    sites = sites_of(structure, Settings())
    for site in sites.walls:
        found = areas(finishes_seen(sites, [FinishRequest(site.letter, "render")]))
        rings = [site.wall.outline_m, *(own.ring_m for own in site.wall.openings)]
        shoelace = [abs(np.sum(r[:, 0] * np.roll(r[:, 1], -1) - r[:, 1] * np.roll(r[:, 0], -1))) / 2 for r in rings]
        assert found[site.letter, "render"] == pytest.approx(shoelace[0] - sum(shoelace[1:]), rel=1e-3)


def test_what_cannot_be_made_is_told_and_the_rest_is_shown() -> None:
    asked = [FinishRequest("Z", "render"), FinishRequest("A", "render", bottom="9 m"), FinishRequest("B", "render")]
    seen = finishes_seen(SITES, asked)
    assert [patch.wall for patch in seen.patches] == ["B"]
    assert "no wall 'Z'" in str(seen.troubles[0])
    assert "begins above this wall" in str(seen.troubles[1])


@given(st.lists(st.tuples(st.sampled_from("ABCD"), st.integers(0, 20), st.integers(1, 20)), max_size=5))
def test_no_place_is_coloured_twice_and_none_beyond_its_wall(bands) -> None:
    asked = [
        FinishRequest(wall, ("render", "ashlar")[turn % 2], bottom=f"{low} courses", top=f"{low + high} courses")
        for turn, (wall, low, high) in enumerate(bands)
    ]
    seen = finishes_seen(SITES, asked)
    for site in SITES.walls:
        own = [patch.triangles_m for patch in seen.patches if patch.wall == site.letter]
        covered = {row for wall, low, high in bands if wall == site.letter for row in range(low, min(low + high, 40))}
        assert area_m2(own) == pytest.approx(site.wall.length_m * 0.075 * len(covered), abs=site.wall.length_m * 0.1)
        for triangles in own:
            assert triangles[..., 2].min() >= 0.5 - 1e-6 and triangles[..., 2].max() <= 3.5 + 1e-6
