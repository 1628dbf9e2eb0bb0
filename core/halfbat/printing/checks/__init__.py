"""Checks of finished parts against their printers: each has a code, a limit and a remedy."""

from halfbat.printing.checks.run import CheckReport, check_kit, check_part, check_together, gathered

__all__ = ["CheckReport", "check_kit", "check_part", "check_together", "gathered"]
