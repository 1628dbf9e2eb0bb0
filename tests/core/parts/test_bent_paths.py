import pytest

from halfbat.errors import KitError
from halfbat.parts.bent_paths import bent_line, path_on_wall, require_seam
from halfbat.settings import CableRunRequest
from halfbat.units import parse_scale
from kit_help import settings_with

SCALE = parse_scale("1:100")
SETTINGS = settings_with(kit__scale="1:100")


def on_wall(path, at="2 m"):
    return path_on_wall(CableRunRequest("A", at, path), SETTINGS, SCALE, lambda u: 30.0 if u < 60 else 20.0, "wall A")


def test_a_path_is_read_at_model_size():
    assert on_wall("2 m, foot; 2 m, 12 courses; 7 m, 0.9 m; 7 m, TOP") == (
        (20.0, 0.0),
        (20.0, pytest.approx(9.0)),
        (70.0, pytest.approx(9.0)),
        (70.0, 20.0),
    )


def test_what_is_nearly_upright_or_level_is_so():
    corners = on_wall("2 m, foot; 2.001 m, 1 m; 4 m, 1.0015 m")
    assert corners == ((20.0, 0.0), (20.0, 10.0), (40.0, 10.0))


@pytest.mark.parametrize("path", ["", "2 m, foot; 2 m, top", "2 m, top; 2 m, 0", "2 m, 0; 2 m, 1 m; 2 m, 3 m"])
def test_straight_up_the_wall_is_no_path(path):
    assert on_wall(path) == ()


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("3 m, 0; 3 m, 2 m", "the path begins at 3 m and the run stands at 2 m"),
        ("2 m, 0; 2 x, 2 m", "'2 x' is not a length"),
    ],
)
def test_what_cannot_be_read_is_refused(path, says):
    with pytest.raises(KitError, match=says):
        on_wall(path)


@pytest.mark.parametrize(
    ("points", "says"),
    [
        (((0, 0), (0, 1)), "too short to be made .*at least 0.3 m long at this scale"),
        (((0, 0), (0, 10), (1, 2)), "turns back too sharply 0 m along the wall, 1 m up"),
        (((0, 0), (0, 10), (0.9, 10), (0.9, 20)), "too little straight before 0.09 m along the wall"),
        (((0, 0), (0, 10), (1.5, 10), (1.5, 2)), "meets itself .*at least 0.2 m apart"),
        (((0, 0), (0, 10), (9, 10), (9, 5), (-5, 5)), "meets itself"),
    ],
)
def test_a_path_no_cover_can_follow_is_refused(points, says):
    with pytest.raises(KitError, match=says):
        bent_line(points, 1.0, SCALE, "wall A")


def test_a_jog_may_be_shorter_than_a_loop():
    assert bent_line(((0, 0), (0, 10), (1.5, 10), (1.5, 20)), 1.0, SCALE, "wall A").points


@pytest.mark.parametrize(
    ("points", "says"),
    [
        (((0, 1), (0, 9), (5, 9), (5, 30)), "begins above the foot of the wall"),
        (((0, 0), (0, 9), (5, 9), (5, 29)), "ends below the top of the wall"),
        (((0, 0), (0, 9), (5, 9), (5, 4), (9, 4), (9, 30)), "leads down again 0.5 m along the wall, 0.9 m up"),
        (((0, 0), (5, 9), (5, 30)), "does not begin and end upright"),
        (((0, 0), (0, 9), (5, 30)), "does not begin and end upright"),
    ],
)
def test_a_path_no_seam_can_follow_is_refused(points, says):
    with pytest.raises(KitError, match=says) as refused:
        require_seam(points, 30.0, SCALE, "wall A")
    assert "or ask for no seam under it" in str(refused.value) or "straight up" in str(refused.value)


def test_a_path_that_slants_and_steps_upward_can_be_a_seam():
    require_seam(((0, 0), (0, 9), (5, 9), (8, 20), (8, 30)), 30.0, SCALE, "wall A")
