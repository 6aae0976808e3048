"""``windowcast run``: the morning that keeps the weather and goes out to people."""

from __future__ import annotations

import os
import signal
import socket
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import DONE, NO_FORECAST, SOMETHING_MISSING, TAKEN, ConfigDir, app, say
from windowcast.cli.morning import AsJson, show
from windowcast.cli.now import At, clock_from
from windowcast.cli.progress import progress_bar

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from windowcast.daily.errand import Asked, Outcome
    from windowcast.ports import Ledger
    from windowcast.settings import Settings
    from windowcast.terms.kept import Holder

IfDue = Annotated[
    bool, typer.Option("--if-due", help="Only if a time of run_at is due: for a timer or cron.")
]
Again = Annotated[
    bool, typer.Option("--again", help="Send it to everybody anew, also to those who have it.")
]


@app.command(epilog="Example: windowcast run --config bees")
def run(
    config: ConfigDir = ".",
    at: At = None,
    if_due: IfDue = False,
    again: Again = False,
    as_json: AsJson = False,
) -> None:
    """Work out the morning, keep its weather, and send it to those who lack it."""
    from windowcast.settings import load_settings
    from windowcast.wiring import book_of

    if if_due and again:
        raise typer.BadParameter("it cannot go with --if-due", param_hint="--again")
    settings, clock = load_settings(Path(config)), clock_from(at)
    with closing(book_of(settings)) as book:
        asked = _asked(settings, book, clock(), if_due=if_due, again=again)
        if asked is None:
            say("Nothing is due.")
            raise typer.Exit(DONE)
        outcome = _ran(settings, book, clock, asked)
    raise typer.Exit(_told(settings, outcome, if_due=if_due, as_json=as_json))


def _asked(
    settings: Settings, book: Ledger, now: datetime, *, if_due: bool, again: bool
) -> Asked | None:
    from windowcast.daily.choice import by_hand, by_the_clock
    from windowcast.wiring_out import run_times, zone_of

    if if_due:
        run_at, tz = run_times(settings)
        return by_the_clock(book, run_at, tz, now)
    return by_hand(book, settings.outfit.run_at, zone_of(settings, book), now, again=again)


def _ran(settings: Settings, book: Ledger, clock: Callable[[], datetime], asked: Asked) -> Outcome:
    from windowcast.daily.run import run_slot
    from windowcast.wiring import wire
    from windowcast.wiring_out import errand_of

    with progress_bar() as bar, until_sigterm() as stopping:
        wired = wire(settings, bar, book)
        errand = errand_of(settings, wired.desk, book, here(), clock)
        with wired.fetcher:
            return run_slot(replace(errand, stopping=stopping), asked)


@contextmanager
def until_sigterm() -> Iterator[Callable[[], bool]]:
    """Whether SIGTERM came; it breaks nothing off, so that a letter in hand is finished."""
    came = threading.Event()
    before = signal.signal(signal.SIGTERM, lambda *_: came.set())
    try:
        yield came.is_set
    finally:
        signal.signal(signal.SIGTERM, before)


def here() -> Holder:
    """Who holds a slot, as the book names it: the process on its machine."""
    from windowcast.terms.kept import Holder

    return Holder(host=socket.gethostname().strip() or "localhost", pid=os.getpid())


def _told(settings: Settings, outcome: Outcome, *, if_due: bool, as_json: bool) -> int:
    """Print the notice and say what became of the letters; the exit status."""
    from windowcast.wording.delivery import delivered, taken, told_of_none

    if outcome.taken is not None:
        say(taken(outcome.taken))
        return DONE if if_due else TAKEN
    if outcome.morning is None:
        say(str(outcome.no_forecast))
        for sentence in told_of_none(outcome.sent, outcome.unsent):
            say(sentence)
        return NO_FORECAST
    show(outcome.morning, settings.outfit.units, as_json=as_json, html=None)
    for sentence in delivered(outcome.sent, outcome.had, outcome.unsent):
        say(sentence)
    return SOMETHING_MISSING if outcome.unsent or outcome.morning.blind else DONE
