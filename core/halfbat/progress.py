"""A progress bar for terminals."""

from __future__ import annotations

from typing import TextIO

WIDTH = 24


class ProgressBar:
    """A bar on one line that is wiped when the work ends; nothing at all where nobody watches.

    Calling it with a share of the work and a few words is what `halfbat.kit.make_kit` asks of its ``progress``.

    Parameters
    ----------
    stream : TextIO
        Usually standard error.
    shown : bool
        False keeps it silent; so does a stream that is not a terminal.
    """

    def __init__(self, stream: TextIO, *, shown: bool = True) -> None:
        self._stream = stream
        self._shown = shown and stream.isatty()
        self._line = ""

    def __call__(self, share: float, text: str) -> None:
        """Show how far the work is.

        Parameters
        ----------
        share : float
            0 at the start, 1 at the end; anything outside is shown as the nearer.
        text : str
            What is being done.
        """
        share = min(max(share, 0.0), 1.0)
        full = round(share * WIDTH)
        self._show(f"[{'#' * full}{'.' * (WIDTH - full)}] {share:4.0%} {text}"[:78])

    def close(self) -> None:
        """Wipe the bar."""
        self._show("")

    def _show(self, line: str) -> None:
        if not self._shown or line == self._line:
            return
        self._stream.write("\r" + line.ljust(len(self._line)) + ("" if line else "\r"))
        self._stream.flush()
        self._line = line
