import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from halfbat.drawings.catalogue import drawing_names, named_drawing
from halfbat.drawings.svg import svg_bytes
from halfbat.errors import KitError
from made_kits import doubled, l_shape, long_box, wired_box
from sample_kits import sample_kit

SVG = "{http://www.w3.org/2000/svg}"


def test_every_drawing_can_be_drawn_and_is_complete_in_itself():
    for kit in (long_box(), wired_box(), l_shape(), sample_kit()):
        for name in drawing_names(kit):
            data = svg_bytes(named_drawing(kit, name))
            root = ET.fromstring(data)
            assert root.find(f"{SVG}title").text and root.find(f"{SVG}desc").text
            assert root.get("role") == "img" and root.get("aria-label")
            ids = {element.get("id") for element in root.iter() if element.get("id")}
            used = {element.get("href") for element in root.iter() if element.get("href")}
            used |= {f"#{name}" for name in re.findall(r"url\(#([^)]+)\)", data.decode())}
            assert used <= {f"#{name}" for name in ids}
            assert "nan" not in data.decode().split("</style>")[1].lower().replace("nance", "")


def test_the_same_kit_gives_the_same_bytes():
    kit = l_shape()
    for name in ("elevations", "exploded", "plan"):
        assert svg_bytes(named_drawing(kit, name)) == svg_bytes(named_drawing(kit, name))


def test_a_drawing_that_is_none_is_refused_with_the_names_there_are():
    with pytest.raises(KitError, match="elevation-A, elevation-B"):
        named_drawing(long_box(), "elevation-Z")


def numbers(kit, name):
    root = ET.fromstring(svg_bytes(named_drawing(kit, name)))
    return [
        (text.get("data-part"), text.get("data-quantity"), text.text) for text in root.iter() if text.get("data-part")
    ]


def test_the_exploded_view_names_every_part_once_with_its_quantity():
    kit = doubled(long_box(), "CA1")
    found = numbers(kit, "exploded")
    assert sorted(found) == sorted(
        (part.number, str(part.quantity), "CA1 x2" if part.number == "CA1" else part.number) for part in kit.parts
    )


def test_names_are_text_whatever_they_hold():
    name = "A <b>&\"' works"
    kit = replace(long_box(), name=name)
    root = ET.fromstring(svg_bytes(named_drawing(kit, "assembled")))
    assert root.find(f"{SVG}title").text == name
