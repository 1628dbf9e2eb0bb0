"""The one error that reaches a user."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

LONGEST_WHERE = 160
"""Of a longer place, such as a path, only the end is told."""


class KitError(Exception):
    """An expected refusal, told in one sentence: what is wrong, where, and what to do.

    Parameters
    ----------
    what : str
        What is wrong, without a full stop.
    where : str
        The file, wall, setting or part concerned; may be empty.
    remedy : str
        What the maker can do about it, without a full stop.
    """

    def __init__(self, what: str, where: str, remedy: str) -> None:
        super().__init__(what, where, remedy)
        self.what = what
        self.where = where
        self.remedy = remedy

    def __str__(self) -> str:
        where = self.where if len(self.where) <= LONGEST_WHERE else "..." + self.where[-LONGEST_WHERE:]
        place = f" ({where})" if where else ""
        return f"{self.what}{place}: {self.remedy}."


class FaultError(KitError):
    """A fault of Halfbat's own, told in a sentence like a refusal; what went wrong is its cause."""


@contextmanager
def told_as_fault(where: str) -> Iterator[None]:
    """Turn what nobody foresaw into a sentence, at the border to those who use the core; serves as a decorator too.

    Parameters
    ----------
    where : str
        What was being worked on.

    Raises
    ------
    FaultError
        In place of errors of arithmetic, look-up and value. What callers and progress reports raise passes through.
    """
    try:
        yield
    except (ArithmeticError, LookupError, ValueError, AssertionError) as error:
        said = " ".join(str(error).split())[:120]
        raise FaultError(
            f"Halfbat came upon something it did not foresee, {type(error).__name__}: {said}",
            where,
            "simplify the mesh or take back the last change, and report it with the mesh and the kit file",
        ) from error
