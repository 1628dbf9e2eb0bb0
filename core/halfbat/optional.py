"""Packages that one command may use where they are installed, and that nothing else needs."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

from halfbat.errors import KitError


def optional_module(name: str, need: str, remedy: str) -> ModuleType:
    """Return a module that may be missing.

    Parameters
    ----------
    name : str
        To import.
    need : str
        What needs it, as the subject of a sentence.
    remedy : str
        How to get it, or do without.

    Raises
    ------
    KitError
        It is not installed, or does not load.
    """
    try:
        return import_module(name)
    except ImportError as error:
        raise KitError(f"{need} needs the package {name}, which is not installed here", "", remedy) from error
