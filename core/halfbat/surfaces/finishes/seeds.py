"""Numbers that look random and are the same every time, on every machine."""

from __future__ import annotations

import zlib
from collections.abc import Iterator

_MULTIPLIER, _INCREMENT, _MODULUS = 6364136223846793005, 1442695040888963407, 1 << 64


def random_numbers(*names: object) -> Iterator[float]:
    """Yield numbers from 0 up to 1 that depend on some names, such as the letter of a wall and a seed, alone.

    A linear congruential generator with Knuth's constants (MMIX); its upper bits are good enough for stones.
    """
    state = zlib.crc32("/".join(str(name) for name in names).encode()) + 1
    for _ in range(4):
        state = (state * _MULTIPLIER + _INCREMENT) % _MODULUS
    while True:
        state = (state * _MULTIPLIER + _INCREMENT) % _MODULUS
        yield (state >> 32) / (1 << 32)
