"""What the command refuses: one clear sentence each, exit code 2, and nothing written."""

import math
import os
import subprocess
import sys
from pathlib import Path

import pytest

import halfbat
from halfbat import cli

BOX = 'box = ["9.9 m", "5.4 m", "3.0 m"]'
HOURGLASS = [(0, 0), (6, 4), (6, 0), (0, 4)]


def kit_text(building=BOX, more="", name="Lodge", scale="1:148"):
    return f'[kit]\nname = "{name}"\nscale = "{scale}"\n[building]\n{building}\n{more}\n'


def prism(plan, height=3.0):
    count = len(plan)
    lines = [f"v {x} {y} {z}" for z in (0.0, height) for x, y in plan]
    for i in range(count):
        j = (i + 1) % count
        lines.append(f"f {i + 1} {j + 1} {j + 1 + count} {i + 1 + count}")
    lines.append("f " + " ".join(str(i + 1 + count) for i in range(count)))
    return "\n".join(lines) + "\n"


def sphere(rings=8, around=12):
    lines = [
        f"v {3 * math.sin(math.pi * r / rings) * math.cos(2 * math.pi * k / around):.6f} "
        f"{3 * math.sin(math.pi * r / rings) * math.sin(2 * math.pi * k / around):.6f} "
        f"{3 * math.cos(math.pi * r / rings):.6f}"
        for r in range(rings + 1)
        for k in range(around)
    ]
    for r in range(rings):
        for k in range(around):
            a, b = r * around + k + 1, r * around + (k + 1) % around + 1
            lines.append(f"f {a} {a + around} {b + around} {b}")
    return "\n".join(lines) + "\n"


MESHES = {
    "empty": "",
    "points only": "v 0 0 0\nv 1 0 0\nv 1 1 0\n",
    "a plane": "v 0 0 0\nv 5 0 0\nv 5 4 0\nv 0 4 0\nf 1 2 3 4\n",
    "an upright plane": "v 0 0 0\nv 5 0 0\nv 5 0 3\nv 0 0 3\nf 1 2 3 4\n",
    "a sphere": sphere(),
    "a plan that crosses itself": prism(HOURGLASS),
    "walls lower than a course": prism([(0, 0), (6, 0), (6, 4), (0, 4)], 0.05),
    "not a number": prism([(0, 0), (6, 0), (6, 4), (0, 4)]).replace("v 6 4 3.0", "v nan 4 3.0"),
    "infinity": prism([(0, 0), (6, 0), (6, 4), (0, 4)]).replace("v 6 4 3.0", "v inf 4 3.0"),
    "a corner that is not there": "v 0 0 0\nv 1 0 0\nv 1 1 0\nf 1 2 9\n",
    "words": "this is no mesh at all\n",
    "a needle": prism([(0, 0), (8, 0), (8, 0.02), (0, 0.02)]),
    "a dwarf": prism([(0, 0), (0.3, 0), (0.3, 0.3), (0, 0.3)], 0.3),
    "a giant": prism([(0, 0), (900, 0), (900, 400), (0, 400)], 30.0),
}

KITS = {
    "an unknown bond": kit_text(more='[brick]\nbond = "herringbone"'),
    "an unknown brick": kit_text(more='[brick]\nformat = "lego"'),
    "an unknown table": kit_text(more="[chimney]\nmake = true"),
    "an unknown key": kit_text(more="[shell]\ncolour = 3"),
    "a printer smaller than a brick": kit_text(more="[resin]\nusable_x_mm = 1.2"),
    "a printer lower than a course": kit_text(more="[resin]\nusable_y_mm = 1.0"),
    "a seam off the wall": kit_text(more='[[seams]]\nwall = "A"\nat = "40 m"'),
    "a seam before the wall": kit_text(more='[[seams]]\nwall = "A"\nat = "-1 m"'),
    "a seam of no wall": kit_text(more='[[seams]]\nwall = "Z"\nat = "4 m"'),
    "a seam at no length": kit_text(more='[[seams]]\nwall = "A"\nat = "soon"'),
    "a box of no length": kit_text('box = ["0 m", "5.4 m", "3.0 m"]'),
    "a box of less than nothing": kit_text('box = ["-9.9 m", "5.4 m", "3.0 m"]'),
    "a box of two sides": kit_text('box = ["9.9 m", "5.4 m"]'),
    "a negative scale": kit_text(scale="-148"),
    "a scale of nothing": kit_text(scale="1:0"),
    "a scale of a house": kit_text(scale="1:1"),
    "a name that leads away": kit_text(name="../x"),
    "no name": kit_text(name=""),
    "a wrong type": kit_text(more='[shell]\nwall_lines = "four"'),
    "a number out of range": kit_text(more="[shell]\nwall_lines = 400"),
    "walls that fill the house": kit_text('box = ["1.9 m", "1.9 m", "3.0 m"]', more="[shell]\nwall_lines = 12"),
    "not a kit file": "[kit\nname =",
    "no building": '[kit]\nname = "Lodge"\n',
    "a mesh that is not there": kit_text('mesh = "nowhere.obj"'),
}


def snapshot(folder):
    return {path: path.read_bytes() if path.is_file() else None for path in sorted(folder.rglob("*"))}


def refused(capsys, folder, kit, to):
    """Make a kit that must be refused, and return the sentence."""
    before = snapshot(folder)
    assert cli.main(["make", str(kit), "--to", str(to)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1 and err.startswith("halfbat: ") and err.endswith(".\n")
    assert "Traceback" not in err and "Error" not in err
    assert snapshot(folder) == before
    return err


@pytest.mark.parametrize("what", sorted(MESHES))
def test_meshes(what, tmp_path, capsys):
    (tmp_path / "mesh.obj").write_text(MESHES[what])
    (tmp_path / "kit.toml").write_text(kit_text('mesh = "mesh.obj"'))
    assert refused(capsys, tmp_path, tmp_path / "kit.toml", tmp_path / "out")


@pytest.mark.parametrize("what", sorted(KITS))
def test_kit_files(what, tmp_path, capsys):
    (tmp_path / "kit.toml").write_text(KITS[what])
    assert refused(capsys, tmp_path, tmp_path / "kit.toml", tmp_path / "out")


def test_a_mesh_of_a_gigabyte_is_refused_at_once(tmp_path, capsys):
    with (tmp_path / "mesh.obj").open("wb") as file:
        file.truncate(1_000_000_000)  # takes no room on the disk
    (tmp_path / "kit.toml").write_text(kit_text('mesh = "mesh.obj"'))
    before = sorted(path.name for path in tmp_path.iterdir())
    assert cli.main(["make", str(tmp_path / "kit.toml"), "--to", str(tmp_path / "out")]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == before


@pytest.mark.skipif(
    sys.platform == "win32" or getattr(os, "geteuid", lambda: 0)() == 0, reason="root may write anywhere"
)
def test_a_folder_that_may_not_be_written(tmp_path, capsys):
    (tmp_path / "kit.toml").write_text(kit_text())
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    assert "cannot be written" in refused(capsys, tmp_path, tmp_path / "kit.toml", locked / "out")


def test_a_full_disk(tmp_path, capsys, monkeypatch):
    (tmp_path / "kit.toml").write_text(kit_text('box = ["4 m", "3 m", "2.4 m"]'))
    write = Path.write_bytes

    def full(path, data):
        if path.suffix == ".stl" and path.name.startswith("W"):
            write(path, data[: len(data) // 2])
            raise OSError(28, "No space left on device")
        return write(path, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    assert "disk is full" in refused(capsys, tmp_path, tmp_path / "kit.toml", tmp_path / "out")


def test_a_process_of_its_own_says_one_line_and_no_traceback(tmp_path):
    (tmp_path / "kit.toml").write_text(KITS["a seam off the wall"])
    environment = {**os.environ, "PYTHONPATH": str(Path(halfbat.__file__).parents[1])}
    done = subprocess.run(
        [sys.executable, "-m", "halfbat", "make", "kit.toml", "--to", "out"],
        cwd=tmp_path,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("halfbat: the seam at 270.27 mm is off the wall") and done.stderr.count("\n") == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["kit.toml"]
