"""What was made before, kept by what it was made from, so that only what changed is made again.

A part is made by a function from frozen data alone. The same function and the same data give the same part, so the
digest of both is its name on the shelf. Nobody has a shelf who does not bring one.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from fractions import Fraction
from typing import Any, ParamSpec, TypeVar

import numpy as np

P = ParamSpec("P")
T = TypeVar("T")
_DIGEST_BYTES = 20


class PartShelf:
    """Keeps what functions returned; what is not asked for in some rounds is thrown away.

    Parameters
    ----------
    keeping : bool
        False makes everything anew each time and keeps nothing.
    rounds : int
        How many sortings a thing stays that is not asked for, so that going back and forth makes little anew.
    """

    def __init__(self, *, keeping: bool = True, rounds: int = 8) -> None:
        self._keeping = keeping
        self._rounds = rounds
        self._round = 0
        self._kept: dict[bytes, Any] = {}
        self._asked: dict[bytes, int] = {}
        self.made = 0
        self.found = 0

    def __len__(self) -> int:
        """How many things are kept."""
        return len(self._kept)

    def call(self, make: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Return what a function makes of its arguments, from the shelf where it was made of the same before.

        Parameters
        ----------
        make : callable
            A function at the top of a module, without side effects.
        args, kwargs
            Frozen dataclasses, arrays, plain values and tuples, lists and mappings of these.

        Raises
        ------
        TypeError
            An argument is something whose digest is not known.
        """
        if not self._keeping:
            return make(*args, **kwargs)
        name = digest_of((make, args, kwargs))
        self._asked[name] = self._round
        if name in self._kept:
            self.found += 1
        else:
            self.made += 1
            self._kept[name] = make(*args, **kwargs)
        kept: T = self._kept[name]
        return kept

    def sort_out(self) -> None:
        """End a round: throw away what was not asked for in the last rounds, and count anew what is found and made."""
        self._round += 1
        self._asked = {name: last for name, last in self._asked.items() if last > self._round - 1 - self._rounds}
        self._kept = {name: self._kept[name] for name in self._asked if name in self._kept}
        self.made = self.found = 0


def digest_of(thing: object) -> bytes:
    """Return a digest of frozen data: two things have the same one only where all that is in them is the same.

    Parameters
    ----------
    thing : object
        None, a plain value, a fraction, an array, an enum's member, a function, or a tuple, list, mapping or dataclass
        of these.

    Raises
    ------
    TypeError
        For anything else.
    """
    digest = hashlib.blake2b(digest_size=_DIGEST_BYTES)
    _feed(digest.update, thing)
    return digest.digest()


def _feed(update: Callable[[bytes], None], thing: object) -> None:
    kind = type(thing)
    if isinstance(thing, np.ndarray):
        update(f"array {thing.dtype.str} {thing.shape}".encode())
        update(np.ascontiguousarray(thing).tobytes())
    elif isinstance(thing, Enum):
        update(f"{kind.__qualname__} {thing.name};".encode())
    elif thing is None or isinstance(thing, bool | int | float | str | Fraction | np.generic):
        update(f"{kind.__name__} {len(repr(thing))} {thing!r};".encode())
    elif isinstance(thing, tuple | list):
        update(f"row {len(thing)};".encode())
        for item in thing:
            _feed(update, item)
    elif isinstance(thing, Mapping):
        update(f"mapping {len(thing)};".encode())
        for key, value in thing.items():
            _feed(update, key)
            _feed(update, value)
    elif is_dataclass(thing):
        update(f"{kind.__module__}.{kind.__qualname__};".encode())
        for item in fields(thing):
            _feed(update, getattr(thing, item.name))
    elif callable(thing) and hasattr(thing, "__qualname__") and "<" not in thing.__qualname__:
        update(f"function {thing.__module__}.{thing.__qualname__};".encode())
    else:
        raise TypeError(f"no digest is known of {kind.__name__}")
