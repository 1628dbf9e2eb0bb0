"""The one error that reaches a user."""

from __future__ import annotations


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
        place = f" ({self.where})" if self.where else ""
        return f"{self.what}{place}: {self.remedy}."
