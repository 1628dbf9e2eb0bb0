from pathlib import Path

from halfbat.findings import Finding, Severity
from halfbat.parts.part import Material
from halfbat.summary import findings_texts, kit_summary
from sample_kits import sample_kit


def test_a_summary_counts_parts_and_bricks():
    text = kit_summary(sample_kit(), Path("out/lodge"))
    assert text.startswith(f"Lodge, größer, 4 mm/ft, in {Path('out/lodge')}\n")
    assert "6 parts: 1 shell, 2 skins, 3 covers\n" in text
    assert "419 facing bricks\n" in text
    assert "to buy: Wire, 1.0 mm, 57 mm\n" in text


def test_what_is_to_buy_is_told_as_a_total():
    wires = (Material("Wire", 57.04, "mm", "A"), Material("Wire", 20.0, "mm", "C"), Material("Clip", 4.0, "pieces"))
    text = kit_summary(sample_kit().but(materials=wires), Path("x"))
    assert [line.strip() for line in text.splitlines() if "to buy" in line] == [
        "to buy: Wire, 77 mm",
        "to buy: Clip, 4 pieces",
    ]


def test_a_summary_ends_with_the_cautions():
    cautions = kit_summary(sample_kit(), Path("x")).strip().split("\n\n")[-1].lower()
    assert all(word in cautions for word in ("gloves", "aired", "safety data sheet", "uncured resin"))
    assert len(cautions.splitlines()) <= 3


def test_findings_are_told_worst_first_and_together():
    findings = (
        Finding(Severity.NOTE, "gauge", "", "gauge made 75.4 mm"),
        *(Finding(Severity.WARNING, "slender", f"A{n}", "too slender", "split it") for n in range(1, 10)),
        Finding(Severity.FAILURE, "open", "B2", "not closed"),
    )
    assert findings_texts(findings) == (
        "Failures (1):\n  B2: not closed\n",
        "Warnings (9):\n  A1, A2, A3, A4, A5, A6 and 3 more: too slender; split it\n",
        "Notes (1):\n  gauge made 75.4 mm\n",
    )


def test_many_different_texts_of_one_kind_are_cut_short():
    findings = [
        Finding(Severity.NOTE, "perpend", f"wall {letter}", f"opened {i} mm") for i, letter in enumerate("ABCDE")
    ]
    (text,) = findings_texts(findings)
    assert text.splitlines() == [
        "Notes (5):",
        "  wall A: opened 0 mm",
        "  wall B: opened 1 mm",
        "  wall C: opened 2 mm",
        "  ... and 2 more like this, all in kit.json",
    ]


def test_nothing_to_tell():
    assert findings_texts(()) == ()
