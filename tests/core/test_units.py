from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.units import NAMED_SCALES, Scale, format_length, parse_length, parse_scale


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("12ft 6in", 3.81),
        ("12 ft 6 in", 3.81),
        ("12'6\"", 3.81),
        ("12' 6\"", 3.81),
        ("12′6″", 3.81),
        ("12'-6\"", 3.81),
        ("12'6", 3.81),
        ("12 feet 6 inches", 3.81),
        ("12½ ft", 3.81),
        ("150in", 3.81),
        ("3.81 m", 3.81),
        ("3,81 m", 3.81),
        ("3.81", 3.81),
        ("3810 mm", 3.81),
        ("381cm", 3.81),
        ("3 m 81 cm", 3.81),
        ("8 5/8 in", 0.219075),
        ('8-5/8"', 0.219075),
        ("2 yd", 1.8288),
        ("0", 0.0),
        (".5 m", 0.5),
    ],
)
def test_lengths_as_people_write_them(text, metres):
    assert parse_length(text) == pytest.approx(metres, abs=1e-12)


def test_lengths_counted_in_bricks_and_courses():
    assert parse_length("55 courses", course_m=0.075) == pytest.approx(4.125)
    assert parse_length("1 course", course_m=0.075) == pytest.approx(0.075)
    assert parse_length("4.5 bricks", brick_m=0.225) == pytest.approx(1.0125)
    assert parse_length("44 bricks 10 mm", brick_m=0.225) == pytest.approx(9.91)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "wall",
        "-3 m",
        "3 m 4",
        "3 4",
        "12 furlongs",
        "nan",
        "inf",
        "1e3",
        "3..8 m",
        "m",
        "12 m - 6 m",
        "1/0 m",
        "3 m!",
    ],
)
def test_what_is_no_length_is_refused_in_one_sentence(text):
    with pytest.raises(KitError) as refusal:
        parse_length(text)
    assert "\n" not in str(refusal.value) and len(str(refusal.value)) < 200


def test_a_comma_that_may_mean_thousands_is_refused():
    with pytest.raises(KitError, match="two ways"):
        parse_length("3,810 mm")


@pytest.mark.parametrize("text", ["55 courses", "44 bricks"])
def test_bricks_are_refused_where_there_are_none(text):
    with pytest.raises(KitError, match="no brick yet"):
        parse_length(text)


@given(st.integers(0, 5_000_000), st.sampled_from(["metric", "mm"]))
def test_metric_lengths_read_back(mm, style):
    assert parse_length(format_length(mm / 1000, style)) == pytest.approx(mm / 1000, abs=1e-9)


@given(st.integers(0, 200_000))
def test_imperial_lengths_read_back(sixteenths):
    metres = sixteenths * 0.0254 / 16
    assert parse_length(format_length(metres, "imperial")) == pytest.approx(metres, abs=1e-9)


def test_imperial_text():
    assert format_length(3.81, "imperial") == "12 ft 6 in"
    assert format_length(3.6576, "imperial") == "12 ft"
    assert format_length(0.0, "imperial") == "0 in"
    assert format_length(3.65759, "imperial") == "12 ft"  # never "11 ft 12 in"


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("1:148", Fraction(148)),
        ("1 : 148", Fraction(148)),
        ("1/87", Fraction(87)),
        ("148", Fraction(148)),
        (148, Fraction(148)),
        (76.2, Fraction(381, 5)),
        ("1:76.2", Fraction(381, 5)),
        ("1:43,5", Fraction(87, 2)),
        ("4 mm/ft", Fraction(381, 5)),
        ("3.5mm/ft", Fraction(3048, 35)),
        ("2 1/16 mm to the foot", Fraction(8128, 55)),
        ("¼ in/ft", Fraction(48)),
        ("n (british)", Fraction(8128, 55)),
        ("oo", Fraction(381, 5)),
        ("TT", Fraction(120)),
        ("0 (NEM)", Fraction(45)),
    ],
)
def test_scales_as_people_write_them(text, ratio):
    assert parse_scale(text).ratio == ratio


@pytest.mark.parametrize(
    "text", ["", "abc", "1:0", "1:1001", "0.5", "0 mm/ft", "1:1/0", "-148", float("nan"), "1:" + "9" * 500]
)
def test_what_is_no_scale_is_refused(text):
    with pytest.raises(KitError):
        parse_scale(text)


@pytest.mark.parametrize("letter", ["N", "HO", "H0", "O", "0"])
def test_a_letter_with_more_than_one_ratio_must_say_whose(letter):
    with pytest.raises(KitError, match="more than one ratio"):
        parse_scale(letter)


def test_every_named_scale_is_found_by_its_name():
    assert len({scale.name.casefold() for scale in NAMED_SCALES}) == len(NAMED_SCALES)
    for scale in NAMED_SCALES:
        assert parse_scale(scale.name) == scale


def test_a_near_miss_gets_a_hint():
    with pytest.raises(KitError, match=r"did you mean N \(British\)"):
        parse_scale("N (Britsh)")


@given(st.fractions(1, 1000, max_denominator=10_000))
def test_scaling(ratio):
    scale = Scale("x", ratio)
    assert scale.to_mm(float(ratio)) == pytest.approx(1000.0, rel=1e-12)
