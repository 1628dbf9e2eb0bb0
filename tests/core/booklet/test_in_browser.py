"""The booklet as a browser shows and prints it."""

import re
import shutil
import subprocess
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from PIL import Image

from halfbat.booklet.page import booklet_html
from made_kits import l_shape, long_box

BROWSER = next(
    (path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), None
)
PAPER_PT = {"A4": (595, 842), "Letter": (612, 792)}
pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason="needs Chromium"),
    pytest.mark.skipif(shutil.which("pdfinfo") is None, reason="needs poppler's pdfinfo and pdftoppm"),
]
FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars"),
)


def browse(path, *flags):
    with TemporaryDirectory() as profile:
        command = [BROWSER, *FLAGS, f"--user-data-dir={profile}", *flags, path.as_uri()]
        subprocess.run(command, capture_output=True, check=True, timeout=240)


def written(folder, kit, paper=None):
    """The page in a folder, with a paper asked for as a print dialogue would."""
    data = booklet_html(kit)
    if paper:
        data = data.replace(b"@page{margin:", f"@page{{size:{paper};margin:".encode(), 1)
    path = folder / "booklet.html"
    path.write_bytes(data)
    return path


def tool(*command):
    return subprocess.run(
        [str(part) for part in command], capture_output=True, check=True, text=True, timeout=120
    ).stdout


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_true_to_size_on_whole_pages(tmp_path, paper):
    kit = long_box()
    pdf = tmp_path / "booklet.pdf"
    browse(written(tmp_path, kit, paper), f"--print-to-pdf={pdf}", "--no-pdf-header-footer")
    told = tool("pdfinfo", pdf)
    pages = int(re.search(r"Pages:\s+(\d+)", told)[1])
    size = tuple(round(float(value)) for value in re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", told).groups())
    assert size == PAPER_PT[paper]
    texts = tool("pdftotext", "-layout", pdf, "-").split("\f")[:pages]
    assert 12 <= pages <= 22
    # No page is all but empty, and each has its number.
    for index, text in enumerate(texts, start=1):
        assert f"{index} / {pages}" in text
        assert len(text.split()) > 12
    whole = " ".join(" ".join(texts).split())
    assert all(part.number in whole for part in kit.parts)
    # The check bar: full black along its middle, tens black and white.
    place = next(index for index, text in enumerate(texts, start=1) if "Measure this bar" in text)
    tool("pdftoppm", "-r", "254", "-f", place, "-l", place, "-gray", "-png", "-singlefile", pdf, tmp_path / "page")
    grey = np.asarray(Image.open(tmp_path / "page.png").convert("L"))
    assert bar_mm(grey) == pytest.approx(100.0, abs=0.4)


def bar_mm(grey):
    """Length of the first row of five black and five white boxes of one width, at ten pixels to a millimetre."""
    for row in grey:
        dark = (row < 100).astype(int)
        edges = np.flatnonzero(np.diff(dark, prepend=0, append=0))
        starts, ends = edges[::2], edges[1::2]
        wide = ends - starts
        boxes = (wide > 90) & (wide < 115)
        if boxes.sum() == 5 and np.ptp(np.diff(starts[boxes])) <= 3:
            return (starts[boxes][-1] - starts[boxes][0]) * 10 / 8 / 10
    raise AssertionError("there is no bar")


def test_a_narrow_screen_needs_no_sideways_scrolling(tmp_path):
    path = written(tmp_path, l_shape())
    script = b"<script>document.title=document.documentElement.scrollWidth+'/'+innerWidth</script></body>"
    path.write_bytes(path.read_bytes().replace(b"</body>", script))
    with TemporaryDirectory() as profile:
        command = [BROWSER, *FLAGS, f"--user-data-dir={profile}", "--window-size=520,900", "--dump-dom", path.as_uri()]
        dom = subprocess.run(command, capture_output=True, check=True, text=True, timeout=240).stdout
    wide, room = map(int, re.search(r"<title>(\d+)/(\d+)</title>", dom).groups())
    assert wide <= room


def test_a_screen_shows_it_dark_on_white(tmp_path):
    shot = tmp_path / "page.png"
    browse(written(tmp_path, long_box()), f"--screenshot={shot}", "--window-size=900,1200")
    grey = np.asarray(Image.open(shot).convert("L"))
    assert (grey > 250).mean() > 0.5
    assert 0.001 < (grey < 80).mean() < 0.3
