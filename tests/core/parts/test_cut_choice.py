from itertools import combinations, pairwise

import numpy as np
import pytest

from halfbat.parts.cut_choice import Border, Places, choose_cuts


def at(*positions, cost=None):
    middle = np.array(positions, dtype=float)
    costs = np.zeros(len(middle), dtype=np.int64) if cost is None else np.array(cost, dtype=np.int64)
    return Places(middle, middle, middle, costs)


def choose(places, length, largest, least=1.0, gap=0.0, extras=(0.0, 0.0)):
    return choose_cuts(
        places,
        Border(0.0, 0.0, extras[0]),
        Border(length, length, extras[1]),
        largest_mm=largest,
        least_mm=least,
        half_gap_mm=gap / 2,
    )


def test_what_fits_is_not_cut():
    assert choose(at(5), 10, 10) == ()


def test_few_panels_come_before_little_seen():
    assert choose(at(4, 5, 8, cost=[0, 1000, 0]), 12, 7) == (1,)


def test_little_seen_comes_before_equal_panels():
    assert choose(at(4, 5, 6, cost=[3, 5, 5]), 10, 8) == (0,)


def test_of_places_that_cost_the_same_the_most_equal_is_taken():
    assert choose(at(3, 5.2, 6), 10, 8) == (1,)
    assert choose(at(2, 3.1, 4, 6.2, 7, 8.8), 9, 4) == (1, 3)


def test_a_draw_goes_to_the_left():
    assert choose(at(4, 6), 10, 8) == (0,)


def test_no_way_is_none():
    assert choose(at(), 10, 8) is None
    assert choose(at(0.5, 9.5), 10, 8) is None
    assert choose(at(5), 10, 8, least=6) is None


def test_gaps_make_room_and_overhangs_take_it():
    assert choose(at(5), 10, 4.95) is None
    assert choose(at(5), 10, 4.95, gap=0.1) == (0,)
    assert choose(at(5), 10, 4.95, gap=0.1, extras=(0.2, 0.0)) is None
    assert choose(at(5), 10, 4.95, gap=0.1, extras=(0.0, 0.2)) is None


def test_a_spread_cut_makes_both_neighbours_wider():
    wide = Places(np.array([4.0]), np.array([6.0]), np.array([5.0]), np.zeros(1, dtype=np.int64))
    assert choose(wide, 10, 6) == (0,)
    assert choose(wide, 10, 5.9) is None


@pytest.mark.parametrize("seed", range(25))
def test_it_finds_what_trying_everything_finds(seed):
    random = np.random.default_rng(seed)
    middle = np.sort(random.uniform(0.5, 19.5, 9))
    spread = random.choice([0.0, 0.3], 9)
    cost = random.integers(0, 4, 9)
    places = Places(middle - spread, middle + spread, middle, cost)
    found = choose(places, 20, 7.5, least=1.5, gap=0.1)
    best = None
    for count in range(10):
        for tried in combinations(range(9), count):
            low = [0, *places.low[list(tried)], 20]
            high = [0, *places.high[list(tried)], 20]
            ends = [0.05 if i else 0 for i in range(count + 1)] + [0]
            sizes = [high[i + 1] - low[i] - ends[i] - (0.05 if i < count else 0) for i in range(count + 1)]
            if max(sizes) > 7.5 or min(b - a for a, b in zip(high, low[1:], strict=False)) < 1.5:
                continue
            ideal = np.linspace(0, 20, count + 2)[1:-1]
            key = (count, cost[list(tried)].sum(), ((middle[list(tried)] - ideal) ** 2).sum())
            if best is None or key < best[0]:
                best = (key, tried)
    assert found == (best[1] if best else None)
    assert found is None or all(a < b for a, b in pairwise(found))
