"""What checks have to say: data, which the outer layers decide how to show."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding matters, least first."""

    NOTE = "note"
    WARNING = "warning"
    FAILURE = "failure"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing worth telling the maker.

    Parameters
    ----------
    severity : Severity
        A failure means the part would not print, fit or show as meant.
    code : str
        Short stable name of the check, such as ``"gauge-adjusted"``.
    part : str
        Number of the part, ``"wall A"``, or ``""`` for the whole kit.
    text : str
        What was found, with its figure.
    remedy : str
        What the maker can do; empty where nothing need be done.
    """

    severity: Severity
    code: str
    part: str
    text: str
    remedy: str = ""
