"""A progress bar on a terminal for a morning that takes longer than a second."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock, Timer
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

PATIENCE_S = 1.0


class Bar:
    """Counts requests; shows itself only on a terminal and only after a second."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._patience_over = False
        self._alarm = Timer(PATIENCE_S, self._lose_patience)
        self._alarm.daemon = True
        self._alarm.start()
        self._total = self._finished = 0
        self._shown: tuple[Progress, TaskID] | None = None

    def expect(self, count: int) -> None:
        """So many more requests are coming."""
        with self._lock:
            self._total += count
            self._show()

    def done(self) -> None:
        """One request has ended, well or badly."""
        with self._lock:
            self._finished += 1
            self._total = max(self._total, self._finished)
            self._show()

    def close(self) -> None:
        """Clear the bar from the terminal."""
        self._alarm.cancel()
        with self._lock:
            self._patience_over = False
            if self._shown:
                self._shown[0].stop()

    def _lose_patience(self) -> None:
        """Show the bar even while a single request hangs."""
        with self._lock:
            self._patience_over = True
            self._show()

    def _show(self) -> None:
        if self._shown is None:
            if not self._patience_over or not sys.stderr.isatty():
                return
            self._shown = _bar_on_stderr()
        progress, task = self._shown
        progress.update(task, total=self._total, completed=self._finished)


def _bar_on_stderr() -> tuple[Progress, TaskID]:
    from rich.console import Console
    from rich.progress import Progress

    progress = Progress(console=Console(stderr=True), transient=True)
    progress.start()
    return progress, progress.add_task("asking the weather services", total=None)


@contextmanager
def progress_bar() -> Iterator[Bar]:
    """A bar that is cleared at the end whatever happens."""
    bar = Bar()
    try:
        yield bar
    finally:
        bar.close()
