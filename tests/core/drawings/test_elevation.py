import re
from fractions import Fraction
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from covered_kits import kit_of_box
from halfbat.drawings.drawing import Label, text_width
from halfbat.drawings.elevation import elevation, elevation_size
from halfbat.drawings.svg import svg_bytes
from halfbat.parts.bent_line import apart_mm
from halfbat.settings import CableRunRequest, FeatureRequest
from made_kits import l_shape, long_box, wired_box

SVG = "{http://www.w3.org/2000/svg}"


def drawn(kit, index=0, size=None):
    return ET.fromstring(svg_bytes(elevation(kit, kit.plan.walls[index], size or elevation_size(kit))))


def points(path):
    """Corners of a path, y up again, mm on paper."""
    return np.array(re.findall(r"-?[\d.]+", path.get("d")), dtype=float).reshape(-1, 2) * (1, -1)


def of_style(root, style):
    return [
        points(path) for path in root.iter(f"{SVG}path") if path.get("class") in (f"hb-{style}", f"hb-{style}-fine")
    ]


@pytest.mark.parametrize("index", range(4))
def test_dimensions_say_and_measure_what_the_kit_is(index):
    kit = long_box()
    wall, root = kit.plan.walls[index], drawn(kit, index)
    found = [group for group in root.iter(f"{SVG}g") if group.get("data-model-mm")]
    told = {round(float(group.get("data-model-mm")), 3) for group in found}
    assert round(kit.scale.to_mm(wall.wall.length_m), 3) in told
    assert round(kit.scale.to_mm(wall.wall.height_m), 3) in told
    for group in found:
        a, b = points(group.find(f"{SVG}path"))[:2]
        model = float(group.get("data-model-mm"))
        assert np.hypot(*(b - a)) == pytest.approx(model * elevation_size(kit), abs=2e-3)
        assert float(group.get("data-full-m")) == pytest.approx(model / kit.scale.mm_per_m, abs=1e-4)
        texts = [text.text for text in group.iter(f"{SVG}text")]
        assert texts == [f"{model:.2f} mm", f"{float(group.get('data-full-m')):.3f} m"]


def test_one_unit_of_the_drawing_is_a_millimetre():
    root = drawn(long_box())
    _, _, wide, tall = map(float, root.get("viewBox").split())
    assert float(root.get("width").removesuffix("mm")) == pytest.approx(wide)
    assert float(root.get("height").removesuffix("mm")) == pytest.approx(tall)


def test_the_scale_bar_is_as_long_as_it_says():
    root = drawn(long_box())
    parts = [*of_style(root, "bar"), *of_style(root, "blank")]
    bars = np.concatenate([ring for ring in parts if len(ring) == 4])
    text = next(text.text for text in root.iter(f"{SVG}text") if "full size" in text.text)
    metres, model = map(float, re.fullmatch(r"([\d.]+) m full size = ([\d.]+) mm on the model", text).groups())
    assert np.ptp(bars[:, 0]) == pytest.approx(metres * 1000 / 148, abs=2e-3)
    assert model == pytest.approx(metres * 1000 / 148, abs=5e-3)


def test_panels_stand_where_the_parts_do():
    kit = long_box()
    panels = of_style(drawn(kit), "panel")
    skins = [part for part in kit.parts if part.wall == "A" and part.kind == "skin"]
    assert len(panels) == len(skins) == 2
    for outline, part in zip(panels, skins, strict=True):
        # From corner lips to the seam; the drawn face may end short of a lip by the land only.
        assert np.ptp(outline[:, 1]) == pytest.approx(part.solid.size_mm[1], abs=2e-3)
        assert np.ptp(outline[:, 0]) == pytest.approx(part.solid.size_mm[0], abs=0.35)


def test_every_number_stands_there_once_with_its_quantity():
    kit = long_box()
    for index, wall in enumerate(kit.plan.walls):
        labels = [text for text in drawn(kit, index).iter(f"{SVG}text") if text.get("data-part")]
        wanted = [part for part in kit.parts if part.wall == wall.wall.letter]
        assert sorted(text.get("data-part") for text in labels) == sorted(part.number for part in wanted)
        assert all(text.get("data-quantity") == "1" and text.text == text.get("data-part") for text in labels)


def test_covers_are_drawn_without_their_tabs():
    kit = long_box()
    covers = of_style(drawn(kit), "cover")
    assert covers
    every = np.concatenate(covers)
    assert every[:, 1].min() == pytest.approx(0.0, abs=1e-3)
    assert every[:, 1].max() <= kit.plan.height_mm + 1e-3
    middle = kit.plan.walls[0].seams.cuts[0].position_mm
    assert every[:, 0].mean() == pytest.approx(middle, abs=0.2)


def test_seams_say_what_hides_them():
    said = {text.text for text in drawn(long_box()).iter(f"{SVG}text")}
    assert "seam under the cable run" in said
    said = {text.text for text in drawn(wired_box()).iter(f"{SVG}text")}
    assert "seam under the wire" in said
    root = drawn(l_shape(), 0)
    assert any("toothed" in (text.text or "") for text in root.iter(f"{SVG}text"))
    assert of_style(root, "seam")


def test_all_walls_of_a_kit_are_drawn_at_one_round_size_that_fits_the_paper():
    for kit in (long_box(), l_shape()):
        size = elevation_size(kit)
        assert size in (Fraction(2), Fraction(1), Fraction(1, 2), Fraction(1, 4))
        for index in range(len(kit.plan.walls)):
            root = drawn(kit, index)
            assert float(root.get("width").removesuffix("mm")) <= 180


def test_bricks_are_written_by_course_not_by_brick():
    kit = long_box()
    root = drawn(kit)
    bond = next(group for group in root.iter(f"{SVG}g") if group.get("id") == "bond-A")
    laying = kit.plan.walls[0].facing.laying
    assert len(bond.findall(f"{SVG}path")) == 1 + len(set(laying.course_pattern.tolist()))
    assert len(list(bond)) == 1 + laying.courses


BENT = "2 m, foot; 2 m, 12 courses; 5 m, 12 courses; 5 m, top"


@pytest.mark.parametrize("made_as", ["printed", "wire"])
def test_a_run_that_bends_is_drawn_where_it_is_and_numbers_keep_off_it(made_as):
    runs = (CableRunRequest("A", "2 m", BENT, seam=True), CableRunRequest("A", "6 m", "6 m, 1 m; 6 m, 2 m; 7 m, 2 m"))
    kit = kit_of_box(cable_runs=runs, seam__cover_made_as=made_as)
    root, size = drawn(kit), float(elevation_size(kit))
    line = kit.plan.walls[0].seams.cuts[0].bent
    if made_as == "wire":
        wires = of_style(root, "wire")
        assert sorted(len(wire) for wire in wires) == sorted([len(line.points), 5])
    else:
        covers = np.concatenate(of_style(root, "cover"))
        assert covers[:, 0].min() == pytest.approx((20.0 - 0.9) * size, abs=0.1)
    labels = {text.text: text for text in root.iter(f"{SVG}text") if text.text in ("WA1", "WA2")}
    assert len(labels) == 2
    for text in labels.values():
        x, y = map(float, re.findall(r"-?[\d.]+", text.get("transform"))[:2])
        spot = x / size, -y / size
        assert apart_mm([spot, spot], line.points) > 3.0


def test_numbers_of_the_pieces_of_a_cover_stand_clear_of_each_other():
    kit = kit_of_box(
        cable_runs=(CableRunRequest("A", "3 m"),), features=(FeatureRequest("A", "plinth"),), mark__make=True
    )
    wall = kit.plan.walls[0]
    labels = [item for item in elevation(kit, wall, elevation_size(kit)).items if isinstance(item, Label)]
    ends = [item for item in labels if item.part.startswith("C")]
    assert len(ends) == 2
    one, other = ends
    apart = abs(one.at[0] - other.at[0]) / text_width(one.text, one.height_mm), abs(one.at[1] - other.at[1])
    assert apart[0] > 1.0 or apart[1] > one.height_mm
