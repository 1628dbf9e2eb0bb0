"""Model scales against the bodies that publish them."""

from fractions import Fraction

import pytest

from halfbat.units import MM_PER_FOOT, parse_scale

# MOROP NEM 010, edition 2011, table 1 (standard text seen; its S is 1:64, a copy that says 1:60 is a misprint).
NEM_010 = {
    "Z": "220",
    "N": "160",
    "TT": "120",
    "H0": "87",
    "S": "64",
    "0": "45",
    "I": "32",
    "II": "22.5",
    "III": "16",
    "V": "11",
    "VII": "8",
    "X": "5.5",
}

# Definitions in millimetres to the foot; one foot is 304.8 mm exactly, so each ratio is an exact fraction.
MM_TO_THE_FOOT = {
    "2 mm finescale": ("2", Fraction(762, 5)),
    "N (British)": ("2 1/16", Fraction(8128, 55)),
    "3 mm (British TT)": ("3", Fraction(508, 5)),
    "HO (NMRA)": ("3.5", Fraction(3048, 35)),
    "OO": ("4", Fraction(381, 5)),
    "EM": ("4", Fraction(381, 5)),
    "P4": ("4", Fraction(381, 5)),
    "S4": ("4", Fraction(381, 5)),
    "O (British)": ("7", Fraction(1524, 35)),
    "Gauge 1 (British)": ("10", Fraction(762, 25)),
    "1/2 inch to the foot": ("12.7", Fraction(24)),
    "16 mm narrow gauge": ("16", Fraction(381, 20)),
}

# NMRA S-1.2 family: O, HO, TT, N, Z seen in secondary pages; S and F from memory. HO is printed as 1:87.1.
NMRA = {"O": "48", "S": "64", "HO": "87.1", "TT": "120", "N": "160", "Z": "220", "F": "20.3"}


def test_a_foot():
    assert Fraction("304.8") == MM_PER_FOOT


@pytest.mark.parametrize(("letter", "ratio"), NEM_010.items())
def test_nem_010(letter, ratio):
    assert parse_scale(f"{letter} (NEM)").ratio == Fraction(ratio)


@pytest.mark.parametrize(("name", "definition"), MM_TO_THE_FOOT.items())
def test_millimetres_to_the_foot(name, definition):
    mm, ratio = definition
    assert parse_scale(name).ratio == ratio
    assert parse_scale(f"{mm} mm/ft").ratio == ratio


@pytest.mark.parametrize(("letter", "printed"), NMRA.items())
def test_nmra(letter, printed):
    ratio = parse_scale(f"{letter} (NMRA)").ratio
    assert round(float(ratio), len(printed.partition(".")[2])) == float(printed)


def test_scales_given_in_inches_to_the_foot():
    # 1/4 in to the foot is 1:48 and 3/16 in is 1:64; 0.1 in is 1:120.
    assert parse_scale("1/4 in/ft").ratio == 48
    assert parse_scale("3/16 in/ft").ratio == 64
    assert parse_scale("0.1 in/ft").ratio == 120


def test_a_brick_face_at_the_usual_scales():
    # True brick faces at scale, full-size 215 mm over the ratio: 1.453 at 1:148, 2.822 at 1:76.2, 4.938 at 1:43.54.
    assert parse_scale("1:148").to_mm(0.215) == pytest.approx(1.453, abs=5e-4)
    assert parse_scale("OO").to_mm(0.215) == pytest.approx(2.822, abs=5e-4)
    assert parse_scale("O (British)").to_mm(0.215) == pytest.approx(4.938, abs=5e-4)
