from dataclasses import replace
from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from halfbat.building import building_from_mesh, mesh_from_box
from halfbat.kit import make_kit
from halfbat.parts.part import Part
from halfbat.printing.compensation import written_solid
from halfbat.printing.plates import amount_of, plates_for, plates_of
from halfbat.settings import Settings
from printed_parts import settings
from sample_kits import box_solid, sample_kit


def skins(*sizes, wall="A", kind="skin", process="resin", quantity=1):
    return [
        Part(f"{kind[0].upper()}{wall}{i}", "Sample", kind, process, box_solid(x, y, 1.2), np.eye(4), quantity, wall)
        for i, (x, y) in enumerate(sizes, start=1)
    ]


def rectangles(plate):
    return np.array(
        [
            (one.x_mm - one.size_mm[0] / 2, one.y_mm - one.size_mm[1] / 2, one.x_mm + one.size_mm[0] / 2,
             one.y_mm + one.size_mm[1] / 2)
            for one in plate.placements
        ]
    )  # fmt: skip


def assert_sound(plates):
    """Spacing, margins and pixels are kept on every plate."""
    for plate in plates.plates:
        process = plate.process
        boxes = rectangles(plate)
        pitch = (process.pixel_x_mm, process.pixel_y_mm) if plate.kind == "resin" else (0.0, 0.0)
        for axis, usable in ((0, process.usable_x_mm), (1, process.usable_y_mm)):
            # A part is moved to the next pixel, and may so come nearer to the edge by less than one.
            assert boxes[:, axis].min() >= process.margin_mm - pitch[axis] - 1e-5
            assert boxes[:, axis + 2].max() <= usable - process.margin_mm + pitch[axis] + 1e-5
        for i, a in enumerate(boxes):
            for b in boxes[i + 1 :]:
                apart = max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3])
                assert apart >= process.spacing_mm - 1e-5
        for one in plate.placements:
            assert not (one.turned and one.part.kind == "skin")
            if plate.kind == "resin":
                pixels = np.array([one.x_mm / process.pixel_x_mm, one.y_mm / process.pixel_y_mm])
                assert np.abs(pixels - np.round(pixels)).max() < 1e-3


def test_panels_of_one_wall_lie_together():
    parts = [*skins((50, 20), (50, 20), wall="A"), *skins((60, 25), (40, 25), wall="B"), *skins((50, 12), wall="C")]
    plates = plates_of(parts, Settings())
    walls = [{one.part.wall for one in plate.placements} for plate in plates.plates]
    for wall in "ABC":
        assert sum(wall in on for on in walls) == 1
    assert plates.findings == plates.left_out == ()
    assert_sound(plates)


def test_a_wall_too_large_for_one_plate_is_told():
    plates = plates_of(skins((100, 40), (100, 40)), Settings())
    assert [len(plate.placements) for plate in plates.plates] == [1, 1]
    assert [finding.code for finding in plates.findings] == ["wall-on-plates"]


def test_a_part_that_fills_the_plate_fits_and_one_larger_is_left_out():
    plates = plates_of(skins((115, 65), (115.2, 20)), Settings())
    assert [one.part.number for plate in plates.plates for one in plate.placements] == ["SA1"]
    assert plates.left_out == ("SA2",)


def test_thin_parts_are_turned_but_not_where_pixels_differ():
    chosen = settings(resin={"usable_x_mm": 40.0, "usable_y_mm": 65.0})
    cover = skins((60, 1), kind="cover")
    (plate,) = plates_of(cover, chosen).plates
    assert plate.placements[0].turned
    assert plate.placements[0].matrix[:2, :2].tolist() == [[0, -1], [1, 0]]
    uneven = settings(resin={"usable_x_mm": 40.0, "usable_y_mm": 65.0, "pixel_y_mm": 0.04})
    assert plates_of(cover, uneven).left_out == ("CA1",)
    assert plates_of(skins((60, 20)), chosen).left_out == ("SA1",)


def test_each_printer_has_its_plates_and_every_piece_is_there():
    kit = sample_kit()
    plates = plates_for(kit)
    assert [plate.name for plate in plates.plates] == ["resin-1", "filament-1"]
    numbers = [one.part.number for plate in plates.plates for one in plate.placements]
    assert sorted(numbers) == ["A1", "B1", "K1", "K1", "K1", "S1"]
    assert_sound(plates)


def test_estimates():
    kit = sample_kit()
    resin, filament = (amount_of(plate) for plate in plates_for(kit).plates)
    assert resin.resin_ml == pytest.approx((59.5 * 19 + 29.5 * 19 + 3 * 0.6 * 19) / 1000, rel=1e-9)
    assert filament.filament_g == pytest.approx(36.0 * 1.24)
    assert filament.filament_m == pytest.approx(36_000 / (pi * 1.75**2 / 4) / 1000)
    whole = plates_for(kit).amount
    assert (whole.resin_ml, whole.filament_g) == (resin.resin_ml, filament.filament_g)


def test_corrected_parts_take_corrected_room():
    chosen = settings(resin={"scale_x": 1.02, "scale_y": 1.01, "scale_z": 1.03})
    parts = skins((50, 20), (50, 20))
    plates = plates_of(parts, chosen)
    assert_sound(plates)
    assert plates.plates[0].placements[0].size_mm == pytest.approx((51.0, 20.2))
    volume = sum(written_solid(part, chosen).volume_mm3 for part in parts)
    assert plates.plates[0].volume_mm3 == pytest.approx(volume)
    assert plates_of(skins((113, 20)), chosen).left_out == ("SA1",)


@hypothesis_settings(max_examples=40)
@given(
    st.lists(st.tuples(st.floats(1, 120), st.floats(1, 70), st.sampled_from("ABC"), st.booleans()), max_size=14),
    st.floats(0, 8),
    st.floats(0, 6),
)
def test_any_parts_are_laid_out_soundly(sizes, spacing, margin):
    chosen = settings(
        resin={"spacing_mm": spacing, "margin_mm": margin}, filament={"spacing_mm": spacing, "margin_mm": margin}
    )
    parts = [
        Part(f"P{i}", "Sample", "skin" if skin else "cover", "resin", box_solid(x, y, 1.0), np.eye(4), 1, wall)
        for i, (x, y, wall, skin) in enumerate(sizes)
    ]
    plates = plates_of(parts, chosen)
    assert_sound(plates)
    laid = [one.part.number for plate in plates.plates for one in plate.placements]
    assert sorted([*laid, *plates.left_out]) == sorted(part.number for part in parts)


def test_plates_of_a_real_kit():
    chosen = replace(Settings(), seam=replace(Settings().seam, panel_limit_mm=40.0))
    kit = make_kit(building_from_mesh(mesh_from_box(8.0, 4.0, 2.4), smallest_face_m=0.1), chosen, checked=False)
    plates = plates_for(kit)
    assert plates.left_out == ()
    assert_sound(plates)
    assert len({one.part.number for plate in plates.plates for one in plate.placements}) == len(kit.parts)
