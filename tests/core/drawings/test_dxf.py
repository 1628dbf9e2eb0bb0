import io
import subprocess
import sys
from pathlib import Path

import pytest

import halfbat
from halfbat.drawings.catalogue import named_drawing
from halfbat.drawings.dxf import dxf_bytes
from halfbat.errors import KitError
from made_kits import long_box


def test_walls_at_model_size_on_layers():
    ezdxf = pytest.importorskip("ezdxf")
    kit = long_box()
    document = ezdxf.read(io.StringIO(dxf_bytes(named_drawing(kit, "elevation-A")).decode()))
    assert not document.audit().errors
    assert document.units == 4
    (outline,) = document.modelspace().query('LWPOLYLINE[layer=="OUTLINE"]')
    xs = [point[0] for point in outline.get_points()]
    assert max(xs) - min(xs) == pytest.approx(kit.scale.to_mm(13.3), abs=1e-6)
    measured = sorted(dimension.get_measurement() for dimension in document.modelspace().query("DIMENSION"))
    assert measured[-1] == pytest.approx(kit.scale.to_mm(13.3), abs=1e-6)
    assert {text.dxf.text for text in document.modelspace().query("TEXT")} >= {"WA1", "WA2", "CA1"}
    assert len(document.modelspace().query('LINE[layer=="BRICKS"]')) > 1000


def test_the_same_bytes_in_every_run(tmp_path):
    pytest.importorskip("ezdxf")
    root = Path(halfbat.__file__).parents[1]
    program = (
        "import sys; sys.path[:0] = sys.argv[1:3]\n"
        "from made_kits import wired_box\nfrom halfbat.drawings.catalogue import named_drawing\n"
        "from halfbat.drawings.dxf import dxf_bytes\n"
        "sys.stdout.buffer.write(dxf_bytes(named_drawing(wired_box(), 'elevation-B')))"
    )
    command = [sys.executable, "-c", program, str(root), str(Path(__file__).parents[2])]
    first, second = (subprocess.run(command, capture_output=True, check=True, timeout=120).stdout for _ in range(2))
    assert first == second and len(first) > 1000


def test_a_picture_is_no_dxf():
    with pytest.raises(KitError, match="not to scale"):
        dxf_bytes(named_drawing(long_box(), "exploded"))


def test_without_the_package_one_sentence_says_so(monkeypatch):
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    with pytest.raises(KitError, match="needs the package ezdxf") as refused:
        dxf_bytes(named_drawing(long_box(), "elevation-A"))
    assert "pip install" in str(refused.value)
