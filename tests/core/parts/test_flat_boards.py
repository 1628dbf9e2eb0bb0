import numpy as np
import pytest

from halfbat.settings import Settings
from kit_help import kit_of, overlaps, parts_of, placed
from solids_help import assert_printable_solid

PLAN = [(0, 0), (6, 0), (6, 4), (0, 4)]
CORNER = [(0, 0), (7, 0), (7, 3), (4, 3), (4, 6), (0, 6)]


@pytest.mark.parametrize("plan", [PLAN, CORNER])
def test_a_lid_over_the_walls_with_boards_round_it(plan):
    kit = kit_of(plan, kit__scale="1:76.2", roof__flat_overhang_mm=200.0, mark__make=False)
    boards = parts_of(kit, "fascia")
    assert len(boards) == len(plan)
    for part in [*boards, *parts_of(kit, "lid")]:
        assert_printable_solid(part.solid)
    numbers = {part.number for part in [*boards, *parts_of(kit, "lid")]}
    assert not [found for found in overlaps(kit) if numbers & set(found[:2]) and found[2] > 2e-3]
    corners = np.concatenate([placed(part) for part in boards])
    low, high = np.array(plan).min(axis=0) * 1000 / 76.2, np.array(plan).max(axis=0) * 1000 / 76.2
    np.testing.assert_allclose(corners[:, :2].min(axis=0), low - 200 / 76.2, atol=2e-3)
    np.testing.assert_allclose(corners[:, :2].max(axis=0), high + 200 / 76.2, atol=2e-3)
    # Boards end level with the roof, and walls under the lid.
    top = 3000 / 76.2
    assert corners[:, 2].max() == pytest.approx(top, abs=2e-3)
    walls = np.concatenate([placed(part) for part in parts_of(kit, "skin")])
    lid = np.concatenate([placed(part) for part in parts_of(kit, "lid")])
    assert lid[:, 2].max() == pytest.approx(top, abs=Settings().filament.layer_mm + 1e-6)
    assert walls[:, 2].max() < top - kit.settings.lid.thickness_mm


def test_without_an_overhang_the_lid_lies_behind_the_walls():
    kit = kit_of(PLAN, kit__scale="1:76.2", mark__make=False)
    assert not parts_of(kit, "fascia")
    lid = np.concatenate([placed(part) for part in parts_of(kit, "lid")])
    assert lid[:, 0].min() > 0
