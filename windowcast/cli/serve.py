"""``windowcast serve``: a process of its own that runs each morning when it is due."""

from __future__ import annotations

import logging
import os
import signal
import sys
import threading
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import DONE, ConfigDir, app
from windowcast.cli.now import clock_from
from windowcast.problems import WindowcastError

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from windowcast.daily.errand import Asked

Tick = Annotated[
    float, typer.Option("--tick", metavar="SECONDS", min=1.0, help="How often it looks.")
]


@app.command(epilog="Example: windowcast serve --config bees")
def serve(config: ConfigDir = ".", tick: Tick = 30.0) -> None:
    """Stay, and run each morning at the times of run_at in outfit.toml, late rather than never.

    Edits of the configuration take effect by themselves. SIGTERM and Ctrl-C end it.
    """
    from windowcast.clock import event, tick_until

    due_there(config, clock_from(None)())  # what is wrong at the start is said and ends it
    _log_to_stderr()
    stopped = threading.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: stopped.set())
    event("serve_began", config=config, tick_s=tick)
    clock = clock_from(None)
    look = Look(config=config, clock=clock, stopped=stopped)
    tick_until(stopped, look, clock(), tick)
    event("serve_ended")
    raise typer.Exit(DONE)


@dataclass(slots=True, kw_only=True)
class Look:
    """What each tick does: see what is due, and run it in a child. Trouble is said once."""

    config: str
    clock: Callable[[], datetime]
    stopped: threading.Event
    trouble: str = field(default="")

    def __call__(self) -> None:
        """Look once; whatever is wrong is tried again at the next tick."""
        from windowcast.clock import event, run_child

        if self.stopped.is_set():
            return
        try:
            asked = due_there(self.config, self.clock())
        except WindowcastError as problem:
            self._say(str(problem))
            return
        self._say("")
        if asked is None:
            return
        slot = f"{asked.slot.day.isoformat()}T{asked.slot.at.isoformat('minutes')}"
        event("run_began", slot=slot)
        status = run_child(command_for(self.config), self.stopped)
        event("run_ended", slot=slot, status=status)

    def _say(self, trouble: str) -> None:
        from windowcast.clock import event

        if trouble and trouble != self.trouble:
            event("trouble", text=trouble)
        elif self.trouble and not trouble:
            event("trouble_over")
        self.trouble = trouble


def due_there(config: str, now: datetime) -> Asked | None:
    """The slot of an outfit that is due; its settings are read anew."""
    from windowcast.daily.choice import by_the_clock
    from windowcast.settings import load_settings
    from windowcast.wiring import book_of
    from windowcast.wiring_out import channels_of, run_times

    settings = load_settings(Path(config))
    run_at, tz = run_times(settings)
    channels_of(settings, os.environ)  # a secret that is gone would stop the child too
    with closing(book_of(settings)) as book:
        return by_the_clock(book, run_at, tz, now)


def command_for(config: str) -> list[str]:
    """The command line of the child that runs what is due."""
    return [sys.executable, "-m", "windowcast", "run", "--if-due", "--config", config]


def _log_to_stderr() -> None:
    logging.basicConfig(
        stream=sys.stderr, level=logging.WARNING, format="%(asctime)s %(message)s", force=True
    )
    logging.getLogger("windowcast").setLevel(logging.INFO)
