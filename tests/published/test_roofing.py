"""Roof coverings against published figures; the source stands beside each."""

import pytest

from halfbat.surfaces.roofing import SLATES, count_per_m2, get_covering, head_lap_m, largest_gauge_m, slate
from halfbat.surfaces.roofing.ridges import LEAST_COVER_M, angle_for_deg
from halfbat.units import parse_scale
from roof_samples import laid

PLAIN = get_covering("plain tile")


def test_gauge_of_plain_tiles():
    # BS 5534 and BS 8000-6: 265 x 165 mm, gauge at most 100 at a head lap of 65; BS 402 as sizes.
    assert (PLAIN.length_m, PLAIN.cover_m) == (0.265, 0.165)
    assert head_lap_m(PLAIN, 40) == pytest.approx(0.065)
    assert largest_gauge_m(PLAIN, 0.065) == pytest.approx(0.100)
    # Makers' data for walls: gauge at most 115 at a lap of 35 to 38.
    assert largest_gauge_m(PLAIN, head_lap_m(PLAIN, 90)) == pytest.approx(0.115)


def test_plain_tiles_per_square_metre():
    # A trade article says 60; exactly 60.6 from gauge and width.
    assert count_per_m2(PLAIN, 0.065) == pytest.approx(60.6, abs=0.05)


@pytest.mark.parametrize(
    ("size", "lap_mm", "count"),
    # Supplier's table citing BS 8000-6:1990, and exact values of its formula 10^6 / ((w + 5) x gauge).
    [
        ("600 x 300", 75, 12.49),
        ("500 x 250", 75, 18.45),
        ("500 x 250", 100, 19.61),
        ("400 x 250", 75, 24.13),
        ("400 x 200", 75, 30.02),
        ("300 x 200", 75, 43.36),
    ],
)
def test_slates_per_square_metre(size, lap_mm, count):
    assert count_per_m2(slate(size), lap_mm / 1000) == pytest.approx(count, abs=0.005)


@pytest.mark.parametrize(("pitch", "lap_mm"), [(25, 100), (27.5, 85), (30, 80), (35, 70), (40, 60), (45, 55)])
def test_head_lap_of_slates_by_pitch(pitch, lap_mm):
    # Suppliers' tables by the method of BS 5534, 500 x 250, moderate exposure (95 to 100 at 25 degrees).
    assert head_lap_m(slate("500 x 250"), pitch) * 1000 == pytest.approx(lap_mm)


@pytest.mark.parametrize(("inches", "exposure"), [(12, 4.5), (16, 6.5), (20, 8.5), (24, 10.5)])
def test_exposure_of_us_slates(inches, exposure):
    # US Simplified Practice R14-28: (length - 3 in) / 2.
    covering = slate(next(size for size in SLATES if size.startswith(f"us {inches} ")))
    assert covering.length_m == pytest.approx(inches * 0.0254)
    assert largest_gauge_m(covering, head_lap_m(covering, 35)) / 0.0254 == pytest.approx(exposure)


@pytest.mark.parametrize(
    ("name", "length", "width"),
    # Slate manuals, inches.
    [
        ("princess", 24, 14), ("duchess", 24, 12), ("small duchess", 22, 12), ("marchioness", 22, 11),
        ("wide countess", 20, 12), ("countess", 20, 10), ("wide viscountess", 18, 10), ("viscountess", 18, 9),
        ("wide lady", 16, 10), ("lady", 16, 8),
    ],
)  # fmt: skip
def test_imperial_slates(name, length, width):
    assert SLATES[name] == pytest.approx((length * 25.4, width * 25.4))


@pytest.mark.parametrize(("lap", "gauge", "count"), [(0.075, 0.345, 9.66), (0.100, 0.320, 10.42)])
@pytest.mark.parametrize("key", ["interlocking tile", "flat interlocking tile"])
def test_interlocking_tiles(key, lap, gauge, count):
    # BS EN 490 and makers' data: 420 long, cover 300, gauge 345 at a lap of 75 and 320 at 100.
    covering = get_covering(key)
    assert largest_gauge_m(covering, lap) == pytest.approx(gauge)
    assert count_per_m2(covering, lap) == pytest.approx(count, abs=0.005)


def test_pantiles_per_square_metre():
    # From memory: about 340 x 240, gauge about 260, about 16 to the square metre.
    covering = get_covering("pantile")
    assert largest_gauge_m(covering, head_lap_m(covering, 35)) == pytest.approx(0.260)
    assert count_per_m2(covering, 0.080) == pytest.approx(16, abs=0.1)


@pytest.mark.parametrize("pitch", [40, 45])
def test_biberschwanz_per_square_metre(pitch):
    # From memory of DIN EN 1304 and trade rules: 180 x 380, about 34 to 36 laid in double lap.
    covering = get_covering("biberschwanz")
    assert 34 <= count_per_m2(covering, head_lap_m(covering, pitch)) <= 36


@pytest.mark.parametrize(
    ("key", "least"),
    # Plain tile 35, interlocking 17.5 and fibre cement 5 and 10: published; pantile and Biberschwanz 30: from memory;
    # standing seam 3: published zinc pages.
    [
        ("plain tile", 35), ("interlocking tile", 17.5), ("pantile", 30), ("biberschwanz", 30),
        ("fibre cement profile 6", 5), ("fibre cement profile 3", 10), ("standing seam", 3),
    ],
)  # fmt: skip
def test_least_pitch_is_told(key, least):
    def codes(pitch):
        return [finding.code for finding in laid(get_covering(key), pitch=pitch).findings]

    assert "roof-pitch" in codes(least - 1)
    assert "roof-pitch" not in codes(least)


@pytest.mark.parametrize(
    ("key", "pitch_mm", "depth_mm"),
    # Corrugated steel: BS 3083 from memory for 76.2, depth 17.5 in a published code of practice. Fibre cement profile 6
    # 146.5 and profile 3 about 73 by 19: from memory of BS EN 494.
    [("corrugated steel", 76.2, 17.5), ("fibre cement profile 3", 73, 19), ("fibre cement profile 6", 146.5, 48)],
)
def test_corrugations(key, pitch_mm, depth_mm):
    covering = get_covering(key)
    assert covering.cover_m / covering.waves * 1000 == pytest.approx(pitch_mm)
    assert covering.depth_m * 1000 == pytest.approx(depth_mm, abs=1.6)


def test_cover_of_profile_6():
    # From memory: cover 1016 to 1025 mm.
    assert 1.016 <= get_covering("fibre cement profile 6").cover_m <= 1.0256


def test_standing_seams():
    # Published zinc pages: bays of 530 mm, seams 25 mm high.
    covering = get_covering("standing seam")
    assert (covering.cover_m, covering.depth_m) == (0.530, 0.025)
    scale = parse_scale("1:148")
    bays = laid(covering).joints_mm[0]
    assert (bays[1:] - bays[:-1]).max() <= scale.to_mm(0.530) + 1e-9


def test_ridge_tiles_cover_the_top_course():
    # Published trade pages: at least 75 mm over the top course; a maker's rule for angle ridges.
    assert LEAST_COVER_M == 0.075
    assert angle_for_deg((35, 35)) == 110
    assert angle_for_deg((35, 35), 5) == 120
