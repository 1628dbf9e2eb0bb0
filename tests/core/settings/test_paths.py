import pytest

from halfbat.errors import KitError
from halfbat.settings.paths import path_points, path_text


@pytest.mark.parametrize(
    ("text", "points"),
    [
        ("", ()),
        ("  ", ()),
        ("4.2 m, foot; 4.2 m, 12 courses", (("4.2 m", "foot"), ("4.2 m", "12 courses"))),
        ("12ft 6in, 0; 12' 6\", top;", (("12ft 6in", "0"), ("12' 6\"", "top"))),
        ("4,2 m, 1,5 m ; 4,2 m,top", (("4,2 m", "1,5 m"), ("4,2 m", "top"))),
        ("3, 0; 3, 2.5", (("3", "0"), ("3", "2.5"))),
    ],
)
def test_a_path_is_read_point_by_point(text, points):
    assert path_points(text) == points
    assert path_points(path_text(points)) == points


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("4 m, 0", "a path of 1 points cannot be made"),
        ("4 m; 5 m, 1 m", "'4 m' is not a point of a path"),
        ("4 m, 1 m, 2 m; 5 m, 1 m", "is not a point of a path"),
        ("4 m, ; 5 m, 1 m", "is not a point of a path"),
        ("1 m, 1 m; " * 61, "a path of 61 points cannot be made"),
        ("1" * 5000, "a path of 5000 letters is too long"),
    ],
)
def test_what_is_no_path_is_refused(text, says):
    with pytest.raises(KitError, match=says) as refused:
        path_points(text, "cable run 1")
    assert refused.value.where == "cable run 1" and str(refused.value).endswith(".")
