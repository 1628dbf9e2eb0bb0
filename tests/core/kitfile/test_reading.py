from pathlib import Path

import pytest

from halfbat.errors import KitError
from halfbat.kitfile import kit_file_from_text, read_kit_file
from halfbat.printing.processes import preset_process
from halfbat.settings import CableRunRequest, CoverRequest, NoSeam, SeamRequest, Settings

BOX = '[building]\nbox = ["9.89 m", "5.39 m", "3.0 m"]\n'


def read(text):
    return kit_file_from_text(text, "lodge.toml", Path("kits"))


def test_the_smallest_kit_file():
    kit_file = read('[kit]\nname = "Lodge"\nscale = "1:148"\n\n[building]\nmesh = "lodge.obj"  # metres, z up\n')
    assert kit_file.settings.kit.name == "Lodge"
    assert kit_file.mesh == Path("kits/lodge.obj")
    assert kit_file.box_m is None
    assert kit_file.settings.brick == Settings().brick


def test_a_box_in_feet_bricks_and_metres():
    text = '[brick]\nformat = "german_nf"\n[building]\nbox = ["44 bricks", "17ft 8in", 3]\n'
    assert read(text).box_m == pytest.approx((44 * 0.25, 5.3848, 3.0))
    courses = '[brick]\nbond = "english"\n[building]\nbox = [9, 5, "55 courses"]\n'
    assert read(courses).box_m[2] == pytest.approx(4.125)


def test_lengths_in_the_unit_of_their_key_or_as_written():
    text = BOX + (
        '[skin]\nglue_gap_mm = 0.15\n[brick]\njoint_width_mm = "0.2 mm"\ncustom_length_mm = "9 in"\n'
        '[seam]\nsaddle_spacing_m = "3ft"\ngap_mm = "0.12"\n'
    )
    settings = read(text).settings
    assert settings.skin.glue_gap_mm == 0.15
    assert settings.brick.joint_width_mm == pytest.approx(0.2)
    assert settings.brick.custom_length_mm == pytest.approx(228.6)
    assert settings.seam.saddle_spacing_m == pytest.approx(0.9144)
    assert settings.seam.gap_mm == pytest.approx(0.12)


def test_a_preset_fills_in_and_single_keys_override():
    resin = read(BOX + '[resin]\nlayer_mm = 0.02\npreset = "resin 0.022 mm"\n').settings.resin
    usual = preset_process("resin 0.022 mm")
    assert (resin.pixel_x_mm, resin.usable_x_mm, resin.layer_mm) == (0.022, usual.usable_x_mm, 0.02)


def test_seams():
    text = BOX + (
        '[[seams]]\nwall = "a"\nat = 4.2\n[[seams]]\nwall = "C"\nat = "44 bricks"\nhide = "toothed"\n'
        '[[no_seams]]\nwall = "A"\nstart = 0\nend = "6ft"\n'
    )
    settings = read(text).settings
    assert settings.seams == (SeamRequest("A", "4.2 m"), SeamRequest("C", "44 bricks", "toothed"))
    assert settings.no_seams == (NoSeam("A", "0 m", "6ft"),)


def test_covers_without_a_seam():
    text = BOX + (
        '[downpipe]\nshape = "square"\nsize_mm = 65\nspacing_m = "6ft"\n'
        '[[downpipes]]\nwall = "a"\nat = "12 bricks"\n[[cable_runs]]\nwall = "B"\nat = 2\n'
    )
    settings = read(text).settings
    assert (settings.downpipe.shape, settings.downpipe.size_mm) == ("square", 65.0)
    assert settings.downpipe.spacing_m == pytest.approx(1.8288)
    assert settings.downpipes == (CoverRequest("A", "12 bricks"),)
    assert settings.cable_runs == (CableRunRequest("B", "2 m"),)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[brik]\n", "there is no table [brik] (lodge.toml): did you mean 'brick'?"),
        ("[brick]\nbnd = 'english'\n", "there is no key 'bnd' (lodge.toml, [brick]): did you mean 'bond'?"),
        ("[brick]\nbond = 'englsh'\n", "(lodge.toml, [brick] bond): did you mean 'english'? give one of 'stretcher'"),
        ("[brick]\nbond = 3\n", "(lodge.toml, [brick] bond): give one of"),
        ("[shell]\nwall_lines = 4.5\n", "(lodge.toml, [shell] wall_lines): give a whole number from 2 to 12"),
        ("[shell]\nfloor = 1\n", "(lodge.toml, [shell] floor): give true or false"),
        (
            "[skin]\nglue_gap_mm = -1\n",
            "-1 is out of range (lodge.toml, [skin] glue_gap_mm): give a number from 0 to 1",
        ),
        ("[skin]\nglue_gap_mm = nan\n", "(lodge.toml, [skin] glue_gap_mm): give a number from 0 to 1 (mm)"),
        ("[skin]\nglue_gap_mm = 'wide'\n", "'wide' is not a length (lodge.toml, [skin] glue_gap_mm)"),
        ("[skin]\nglue_gap_mm = '2 courses'\n", "no brick yet (lodge.toml, [skin] glue_gap_mm)"),
        ("[kit]\nscale = 'big'\n", "'big' is not a scale (lodge.toml, [kit] scale)"),
        ("[kit]\nscale = 148\n", "(lodge.toml, [kit] scale): give text in quotes"),
        ("[kit]\nname = '../x'\n", "'../x' cannot be the name of a kit (lodge.toml, [kit] name)"),
        ("[resin]\npreset = 'filament 0.4 mm'\n", "(lodge.toml, [resin] preset)"),
        ("name = 'Lodge'\n", "there is no table [name] (lodge.toml)"),
        ("kit = 'Lodge'\n", "'kit' must be a table (lodge.toml): write [kit]"),
        ("[seams]\nwall = 'A'\n", "'seams' must be a list of tables (lodge.toml): write [[seams]]"),
        ("[[seams]]\nat = '3 m'\n", "the wall is missing or not a letter (lodge.toml, [[seams]] 1 wall)"),
        ("[[seams]]\nwall = 'A'\n", "'at' is missing or not a length (lodge.toml, [[seams]] 1 at)"),
        ("[[seams]]\nwall = 'A'\nat = -1\n", "is negative (lodge.toml, [[seams]] 1 at)"),
        ("[[seams]]\nwall = 'A'\nat = nan\n", "is not a length (lodge.toml, [[seams]] 1 at)"),
        ("[[seams]]\nwall = 'A'\nat = 3\nhide = 'paint'\n", "(lodge.toml, [[seams]] 1 hide): give one of 'cable run'"),
        ("[[downpipes]]\nat = 1\n", "the wall is missing or not a letter (lodge.toml, [[downpipes]] 1 wall)"),
        ("[[cable_runs]]\nwall = 'A'\n", "'at' is missing or not a length (lodge.toml, [[cable_runs]] 1 at)"),
        ("[[downpipes]]\nwall = 'A'\nat = 1\nhide = 'x'\n", "there is no key 'hide' (lodge.toml, [[downpipes]] 1)"),
        ("[downpipe]\ntop = 'swan'\n", "(lodge.toml, [downpipe] top): did you mean 'swan neck'?"),
        ("[[no_seams]]\nwall = 'A'\nstart = 0\n", "'end' is missing or not a length (lodge.toml, [[no_seams]] 1 end)"),
        ("[kit\n", "this is not TOML"),
        ("[kit]\nname = 1" + "0" * 5000 + "\n", "this is not TOML"),
    ],
)
def test_what_is_wrong_is_said_in_one_sentence(text, says):
    with pytest.raises(KitError) as refusal:
        read(text + "\n" + BOX if text.startswith("[") else text + BOX)
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "there is no building (lodge.toml, [building])"),
        ("[building]\n", "there is no building"),
        ("[building]\nmesh = 'a.obj'\nbox = [1, 2, 3]\n", "there is both a mesh and a box"),
        ("[building]\nmsh = 'a.obj'\n", "there is no key 'msh' (lodge.toml, [building]): did you mean 'mesh'?"),
        ("[building]\nmesh = 3\n", "the mesh is not a file name"),
        ("[building]\nmesh = ''\n", "the mesh is not a file name"),
        ("[building]\nbox = [1, 2]\n", "a box has three sizes"),
        ("[building]\nbox = [1, 2, true]\n", "True is not a length"),
        ("[building]\nbox = [1, 2, 'x']\n", "'x' is not a length (lodge.toml, [building] box)"),
        ("[building]\nbox = [1, 2, 0]\n", "a box cannot be 0"),
        ("[building]\nbox = [1, 2, -3.5]\n", "a box cannot be -3.5"),
        ("[building]\nbox = [1, 2, nan]\n", "a box cannot be nan"),
        ("[building]\nbox = [1, 2, inf]\n", "a box cannot be inf"),
        ("[building]\nbox = [1, 2, 1" + "0" * 400 + "]\n", "a box cannot be 1000"),
    ],
)
def test_buildings_that_are_none(text, says):
    with pytest.raises(KitError) as refusal:
        read(text)
    assert says in str(refusal.value)


def test_files_that_cannot_be_kit_files(tmp_path):
    with pytest.raises(KitError, match="there is no such kit file"):
        read_kit_file(tmp_path / "lodge.toml")
    with pytest.raises(KitError, match="this is a folder"):
        read_kit_file(tmp_path)
    (tmp_path / "binary.toml").write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(KitError, match="not text in UTF-8"):
        read_kit_file(tmp_path / "binary.toml")
    with (tmp_path / "huge.toml").open("wb") as file:
        file.truncate(2**30)
    with pytest.raises(KitError, match="too large"):
        read_kit_file(tmp_path / "huge.toml")


def test_a_mesh_is_found_from_the_kit_file_and_other_systems_line_ends_are_read(tmp_path):
    path = tmp_path / "lodge.toml"
    path.write_bytes(b'\xef\xbb\xbf[building]\r\nmesh = "meshes/lodge.obj"\r\n')
    assert read_kit_file(path).mesh == tmp_path / "meshes" / "lodge.obj"
