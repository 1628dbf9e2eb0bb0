"""How refusals and findings are told in Blender: one sentence in the status bar, never a traceback."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from bpy.types import Operator

from halfbat.errors import KitError
from halfbat.findings import Finding, Severity

Result = set[Literal["RUNNING_MODAL", "CANCELLED", "FINISHED", "PASS_THROUGH", "INTERFACE"]]
"""What an operator answers to Blender."""

SEVERITY_ICONS = {Severity.NOTE: "INFO", Severity.WARNING: "ERROR", Severity.FAILURE: "CANCEL"}


def capital(text: str) -> str:
    """Return a text with its first letter large."""
    return text[:1].upper() + text[1:]


def refuse(operator: Operator, error: KitError) -> Result:
    """Report an expected refusal and return what makes Blender undo nothing."""
    operator.report({"ERROR"}, capital(str(error)))
    return {"CANCELLED"}


def count_findings(findings: Iterable[Finding]) -> str:
    """Return how many findings there are of each severity worth a look, such as ``", 2 warnings"``."""
    told = list(findings)
    words = []
    for severity in (Severity.FAILURE, Severity.WARNING):
        count = sum(finding.severity == severity for finding in told)
        if count:
            words.append(f", {count} {severity}" + ("" if count == 1 else "s"))
    return "".join(words)
