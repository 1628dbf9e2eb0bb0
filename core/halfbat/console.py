"""Words for whoever typed a command."""

from __future__ import annotations

import os
from typing import TextIO


def say(text: str, stream: TextIO) -> None:
    """Write text, with question marks for what an old terminal cannot show, also into a pipe that was closed."""
    encoding = stream.encoding or "utf-8"
    try:
        stream.write(text.encode(encoding, "replace").decode(encoding))
        stream.flush()
    except BrokenPipeError:
        # Python flushes once more at its end, and would complain then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
