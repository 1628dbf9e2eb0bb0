"""Putting rectangles on a plate: a skyline, lowest place first.

A packing library was looked for and left out: the core may depend on numpy alone, and plates hold some dozens of
rectangles that mostly must not be turned, for which a skyline comes within a few percent of what better ones reach.
"""

from __future__ import annotations

from dataclasses import dataclass

_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class _Ledge:
    """A level stretch of the skyline."""

    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class Skyline:
    """A plate filled up to a skyline; placing returns a new one.

    Parameters
    ----------
    width, height : float
        Of the plate.
    ledges : tuple of _Ledge
        From left to right, covering the width.
    """

    width: float
    height: float
    ledges: tuple[_Ledge, ...]

    @staticmethod
    def empty(width: float, height: float) -> Skyline:
        """Return a plate with nothing on it."""
        return Skyline(width, height, (_Ledge(0.0, 0.0, width),))

    def place(self, width: float, height: float) -> tuple[float, float, Skyline] | None:
        """Find the lowest, then leftmost place for a rectangle.

        Returns
        -------
        tuple of float, float, Skyline, or None
            Its lower left corner and the plate with it; None where there is no room.
        """
        best: tuple[float, float] | None = None
        for start, ledge in enumerate(self.ledges):
            level = self._level(start, width)
            if level is None or level + height > self.height + _ROUNDING:
                continue
            if best is None or (level + height, ledge.x) < (best[1] + height, best[0]):
                best = ledge.x, level
        if best is None:
            return None
        return best[0], best[1], Skyline(self.width, self.height, self._raised(best[0], best[1] + height, width))

    def _level(self, start: int, width: float) -> float | None:
        """Height at which a rectangle standing at the left of a ledge rests."""
        left = self.ledges[start].x
        if left + width > self.width + _ROUNDING:
            return None
        level = 0.0
        for ledge in self.ledges[start:]:
            if ledge.x >= left + width - _ROUNDING:
                break
            level = max(level, ledge.y)
        return level

    def _raised(self, x: float, y: float, width: float) -> tuple[_Ledge, ...]:
        end = min(x + width, self.width)
        ledges: list[_Ledge] = []
        for ledge in self.ledges:
            right = ledge.x + ledge.width
            if ledge.x < x - _ROUNDING:
                ledges.append(_Ledge(ledge.x, ledge.y, min(right, x) - ledge.x))
            if right > end + _ROUNDING:
                ledges.append(_Ledge(max(ledge.x, end), ledge.y, right - max(ledge.x, end)))
        ledges.append(_Ledge(x, y, end - x))
        ledges.sort(key=lambda ledge: ledge.x)
        joined = [ledges[0]]
        for ledge in ledges[1:]:
            if abs(ledge.y - joined[-1].y) < _ROUNDING:
                joined[-1] = _Ledge(joined[-1].x, ledge.y, joined[-1].width + ledge.width)
            else:
                joined.append(ledge)
        return tuple(joined)
