import re
from collections import Counter
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise

import html5lib
import pytest

from halfbat.booklet.page import booklet_html
from halfbat.findings import Finding, Place, Severity
from halfbat.printing.plates import plates_for
from halfbat.settings import with_value
from made_kits import doubled, l_shape, long_box, wired_box
from sample_kits import sample_kit


@cache
def sample():
    return sample_kit()


KITS = [long_box, wired_box, l_shape, sample]
LOADING = {"src", "href", "xlink:href", "srcset", "poster", "data", "action", "background"}


@cache
def plain(kit):
    """The page of a kit, made once."""
    return booklet_html(kit)


@cache
def page(kit):
    """The page, read by a parser that refuses what is not HTML."""
    return parsed(plain(kit))


def parsed(data):
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(data, transport_encoding="utf-8")


def text_of(element):
    return " ".join("".join(element.itertext()).split())


def section(root, key):
    (found,) = [element for element in root.iter("section") if element.get("id") == key]
    return found


def tag(element):
    """Name without a namespace; comments have none."""
    return element.tag.rpartition("}")[2] if isinstance(element.tag, str) else ""


def named(element):
    """How many of each part an element names."""
    counts = Counter()
    for one in element.iter():
        if one.get("data-part"):
            counts[one.get("data-part")] += int(one.get("data-quantity"))
    return counts


@pytest.mark.parametrize("kit", KITS)
def test_it_is_html_and_its_links_lead_somewhere(kit):
    root = page(kit())
    ids = Counter(element.get("id") for element in root.iter() if element.get("id"))
    assert set(ids.values()) == {1}
    for element in root.iter():
        for link in (element.get("href"), element.get("{http://www.w3.org/1999/xlink}href")):
            if link:
                assert link.startswith("#") and link[1:] in ids
        clip = re.fullmatch(r"url\(#(.+)\)", element.get("clip-path") or "")
        assert clip is None or clip[1] in ids


@pytest.mark.parametrize("kit", KITS)
def test_nothing_is_asked_of_any_network(kit):
    data = plain(kit()).decode()
    assert not re.search(r"(https?:)?//(?!www\.w3\.org)", data.replace("</", "<"))
    assert "<script" not in data and "@import" not in data and "url(" not in data.split("</style>")[0]

    class Reader(HTMLParser):
        def handle_starttag(self, tag, attrs):
            for name, value in attrs:
                assert name not in LOADING or value.startswith(("#", "data:")), (tag, name, value[:40])
                assert not name.startswith("on")

    Reader().feed(data)


def test_headings_are_in_order_and_the_page_has_a_language_and_a_title():
    root = page(long_box())
    levels = [int(tag(element)[1]) for element in root.iter() if re.fullmatch("h[1-6]", tag(element))]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert root.get("lang") == "en-GB"
    assert text_of(next(root.iter("title"))).startswith("Long & plain")


def test_every_picture_says_what_it_shows():
    root = page(long_box())
    pictures = [element for element in root.iter() if tag(element) == "svg" and element.get("aria-hidden") != "true"]
    assert len(pictures) > 20
    assert all(picture.get("role") == "img" and len(picture.get("aria-label")) > 8 for picture in pictures)
    assert all(any(tag(child) == "title" and child.text for child in picture) for picture in pictures)


@pytest.mark.parametrize("kit", [long_box(), wired_box(), l_shape(), doubled(long_box(), "CA1")])
def test_every_number_stands_in_list_drawing_plates_and_steps_as_often_as_it_is_wanted(kit):
    root = page(kit)
    wanted = Counter({part.number: part.quantity for part in kit.parts})
    assert named(section(root, "parts")) == wanted
    assert named(section(root, "exploded")) == wanted
    assert named(section(root, "plates")) == wanted
    on_walls = Counter({part.number: part.quantity for part in kit.parts if part.wall})
    assert named(section(root, "drawings")) == on_walls
    lists = [element for element in section(root, "assembly").iter("ul") if element.get("class") == "uses"]
    used = Counter()
    for one in lists:
        used += named(one)
    assert used == wanted


def test_the_pictures_of_the_steps_show_the_numbers_they_use():
    root = page(long_box())
    for step in section(root, "assembly").iter("div"):
        if step.get("class") != "step":
            continue
        (uses,) = [one for one in step.iter("ul") if one.get("class") == "uses"]
        (figure,) = step.iter("figure")
        assert named(figure) == named(uses)


def test_the_same_kit_gives_the_same_bytes():
    assert booklet_html(l_shape()) == plain(l_shape())
    assert not re.search(rb"\b20\d\d-\d\d-\d\d\b", plain(l_shape()))


def test_whatever_a_kit_is_called_is_text():
    name = "A <script>alert(1)</script> & \"b\" 'c' works"
    finding = Finding(Severity.WARNING, "odd", "<i>", 'text with <img src="http://x/y"> in it', "use & keep")
    kit = replace(long_box(), name=name, findings=(finding,))
    root = page(kit)
    assert text_of(next(root.iter("h1"))) == name
    assert not list(root.iter("script")) and not list(root.iter("img"))
    assert 'text with <img src="http://x/y"> in it' in text_of(section(root, "findings"))


def test_sizes_are_those_of_the_kit():
    cover = text_of(next(page(long_box()).iter("header")))
    assert "89.86 mm" in cover and "13.3 m" in cover and "43 ft" in cover
    assert "1:148" in cover and "English garden wall" in cover


def test_plates_are_named_in_the_parts_list():
    kit = long_box()
    names = {placed.part.number: plate.name for plate in plates_for(kit).plates for placed in plate.placements}
    for row in section(page(kit), "parts").iter("tr"):
        if row.get("data-part"):
            assert names[row.get("data-part")] in text_of(row)


def test_wire_is_to_be_bought():
    kit = wired_box()
    total = sum(item.quantity for item in kit.materials)
    assert f"Wire, 1 mm thick: {round(total, 1):g} mm in all" in text_of(section(page(kit), "parts"))


def test_findings_remain_worst_first():
    kit = replace(
        long_box(),
        findings=(
            Finding(Severity.NOTE, "a", "", "gauge adjusted"),
            Finding(Severity.FAILURE, "b", "WA1", "does not fit", "turn it"),
        ),
    )
    told = text_of(section(page(kit), "findings"))
    assert told.index("WA1: does not fit. Turn it.") < told.index("Gauge adjusted.")
    assert "found nothing" in text_of(section(page(replace(kit, findings=())), "findings"))


def test_findings_say_where_and_are_marked_on_the_elevations():
    kit = long_box()
    skin = next(part for part in kit.parts if part.kind == "skin")
    middle = Place(skin.number, (-1.0, -1.0, 0.0), (1.0, 1.0, 1.0))
    placed = (
        Finding(Severity.NOTE, "a", "wall B", "off course", "", Place.on_wall("wall B", 3.0, 4.0, 9.0, 4.0)),
        Finding(Severity.WARNING, "b", skin.number, "narrow", "widen it", middle),
        Finding(Severity.WARNING, "c", "S1", "leans out", "", Place("S1", (0.0, 0.0, 0.0), (1.0, 1.0, 1.0))),
    )
    root = page(replace(kit, findings=placed))
    told = text_of(section(root, "findings"))
    assert f"{skin.number}: narrow. Widen it. On the drawings: 1." in told
    assert "wall B: off course. On the drawings: 2." in told
    assert "S1: leans out. It is on S1 " in told
    boxes = [one for one in section(root, "drawings").iter() if one.get("class") == "hb-finding"]
    assert len(boxes) == 2 * 2  # a box and a ring each
    assert "rings" in text_of(section(root, "drawings")) and "rings" not in text_of(section(page(kit), "drawings"))


def test_coupon_readings_are_told():
    kit = long_box()
    assert "no correction is set" in text_of(section(page(kit), "settings"))
    corrected = replace(kit, settings=with_value(kit.settings, "resin", "scale_x", 1.006))
    assert "1.0060 times as large along X" in text_of(section(page(corrected), "settings"))


def test_cautions_and_who_decides():
    told = text_of(section(page(long_box()), "cautions"))
    for word in (
        "safety data sheets",
        "gloves",
        "Isopropanol",
        "blade",
        "Dust",
        "Low voltage",
        "children",
        "local rules",
    ):
        assert word in told


def test_rendered_pictures_take_the_place_of_drawn_ones():
    jpeg = b"\xff\xd8\xff\xe0 picture"
    rendered = {"assembled": jpeg, "WA1": jpeg, "WB1": b"not a picture"}
    root = parsed(booklet_html(long_box(), rendered=rendered))
    images = list(root.iter("img"))
    assert len(images) == 2
    assert all(image.get("src").startswith("data:image/jpeg;base64,") and image.get("alt") for image in images)
