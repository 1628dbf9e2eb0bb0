"""Run the command as ``python -m halfbat``."""

import sys

from halfbat.cli import main

if __name__ == "__main__":
    sys.exit(main())
