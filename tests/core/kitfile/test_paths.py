"""The path of a cable run in the kit file."""

from pathlib import Path

import pytest

from halfbat.errors import KitError
from halfbat.kitfile import kit_file_from_text, write_kit_file
from halfbat.settings import CableRunRequest, SeamRequest

BOX = "[building]\nbox = [9, 5, 3]\n"
PATH = '[["4.2 m", "foot"], ["4.2 m", "12 courses"], [5, 1.25], ["5 m", "Top"]]'


def read(entry, table="cable_runs"):
    return getattr(kit_file_from_text(f'[[{table}]]\nwall = "a"\n{entry}\n{BOX}', "x.toml", Path()).settings, table)


def test_a_list_of_points_is_read_and_says_where_it_begins():
    (run,) = read(f"path = {PATH}\nseam = true")
    assert run == CableRunRequest("A", "4.2 m", "4.2 m, foot; 4.2 m, 12 courses; 5 m, 1.25 m; 5 m, top", seam=True)
    (seam,) = read(f'path = {PATH}\nhide = "cable run"', "seams")
    assert seam == SeamRequest("A", "4.2 m", "cable run", run.path)


def test_a_path_may_be_text_and_a_place_may_stand_beside_it():
    (run,) = read('at = "14 ft"\npath = "14 ft, 0; 14 ft, 3 ft"')
    assert run == CableRunRequest("A", "14 ft", "14 ft, 0; 14 ft, 3 ft")


@pytest.mark.parametrize(
    "entry", [f"path = {PATH}", 'at = "4 m"', 'at = "4 bricks"\npath = "4 m, 0; 4 m, 1 m"', 'at = "1 m"\nseam = true']
)
@pytest.mark.parametrize("table", ["cable_runs", "seams"])
def test_what_is_written_reads_back_the_same(entry, table):
    if table == "seams":
        entry = entry.replace("seam = true", "")
    text = f'[[{table}]]\nwall = "A"\n{entry}\n{BOX}'
    first = kit_file_from_text(text, "x.toml", Path())
    assert kit_file_from_text(write_kit_file(first), "x.toml", Path()) == first


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        ("path = [1, 2]", "the path is not a list of points"),
        ("path = [[1, 2, 3], [1, 2]]", "the path is not a list of points"),
        ("path = 3", "the path is not a list of points"),
        ("path = [[1, 2]]", "a path of 1 points cannot be made"),
        ('path = [["x", 2], [1, 2]]', r"'x' is not a length \(x.toml, \[\[cable_runs\]\] 1 path, point 1 place\)"),
        ('path = [[1, "y"], [1, 2]]', "point 1 height"),
        ("path = [[1, -2], [1, 2]]", "negative"),
        ('path = [["1; 2", 2], [1, 2]]', "is not a length"),
        ("path = [[true, 2], [1, 2]]", "is not a length"),
        ("", "'at' is missing or not a length"),
        ('at = "1 m"\nseam = 1', "'seam' is not true or false"),
        ('at = "1 m"\npaht = 1', "there is no key 'paht'"),
    ],
)
def test_what_cannot_be_read_is_refused(entry, says):
    with pytest.raises(KitError, match=says):
        read(entry)
