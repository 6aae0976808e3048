"""``windowcast serve``: a process of its own that runs each morning when it is due."""

from __future__ import annotations

import logging
import os
import signal
import sys
import threading
import time
from concurrent.futures import wait
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import DONE, ConfigDir, app
from windowcast.cli.now import clock_from
from windowcast.problems import StoreProblem, WindowcastError

if TYPE_CHECKING:
    from collections.abc import Callable
    from concurrent.futures import Future
    from datetime import datetime

    from windowcast.daily.errand import Asked

# Rules of this project: a look that takes longer waits for a server that is silent. Such looks end
# by themselves when it answers or its connection breaks; until then only so many are left waiting.
LOOK_S = 20.0
LEFT_WAITING = 5
_POLL_S = 0.1

Tick = Annotated[
    float, typer.Option("--tick", metavar="SECONDS", min=1.0, help="How often it looks.")
]


@app.command(epilog="Example: windowcast serve --config bees")
def serve(config: ConfigDir = ".", tick: Tick = 30.0) -> None:
    """Stay, and run each morning at the times of run_at in outfit.toml, late rather than never.

    Edits of the configuration take effect by themselves. SIGTERM and Ctrl-C end it.
    """
    from windowcast.clock import event, tick_until

    stopped = threading.Event()
    clock = clock_from(None)
    look = Look(config=config, clock=clock, stopped=stopped)
    look.due()  # what is wrong at the start is said and ends it
    _log_to_stderr()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: stopped.set())
    event("serve_began", config=config, tick_s=tick)
    tick_until(stopped, look, clock(), tick)
    event("serve_ended")
    raise typer.Exit(DONE)


@dataclass(slots=True, kw_only=True)
class Look:
    """What each tick does: see what is due, and run it in a child. Trouble is said once.

    A look at the book is left behind after ``look_s``, or as soon as somebody asks us to stop.
    """

    config: str
    clock: Callable[[], datetime]
    stopped: threading.Event
    look_s: float = LOOK_S
    trouble: str = field(default="")
    waiting: list[Future[Asked | None]] = field(default_factory=list)

    def __call__(self) -> None:
        """Look once; whatever is wrong is tried again at the next tick."""
        from windowcast.clock import event, run_child

        if self.stopped.is_set():
            return
        try:
            asked = self.due()
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

    def due(self) -> Asked | None:
        """The slot that is due, None also after a stop; StoreProblem where the book is silent."""
        from windowcast.deadline import errand

        self.waiting = [look for look in self.waiting if not look.done()]
        if len(self.waiting) >= LEFT_WAITING:
            raise StoreProblem(self._silent())
        now = self.clock()
        look = errand(lambda: due_there(self.config, now))
        ends = time.monotonic() + self.look_s
        while not look.done() and time.monotonic() < ends and not self.stopped.is_set():
            wait([look], _POLL_S)
        if look.done():
            return look.result()
        self.waiting.append(look)
        if self.stopped.is_set():
            return None
        raise StoreProblem(self._silent())

    def _silent(self) -> str:
        return (
            f"the book did not answer within {self.look_s:g} s; check that its server, or the disk"
            " that it lies on, can be reached"
        )

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
