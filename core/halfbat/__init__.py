"""Turn the box mesh of a brick building into a numbered, print-ready kit."""

from halfbat.errors import KitError
from halfbat.findings import Finding, Severity

__all__ = ["Finding", "KitError", "Severity", "__version__"]
__version__ = "0.1.0"
