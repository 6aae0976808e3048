"""The one place where the clock is read."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Annotated

import typer

from windowcast.times import instant

At = Annotated[
    str | None,
    typer.Option(
        "--at",
        metavar="TIME",
        help="Set the clock: ISO 8601 with an offset, such as 2027-01-12T06:00-08:00.",
    ),
]


def clock_from(at: str | None) -> Callable[[], datetime]:
    """A clock that runs on from what ``now_or`` gives: the machine's own without ``--at``."""
    if at is None:
        return lambda: datetime.now(UTC)
    set_to, began = now_or(at), time.monotonic()
    return lambda: set_to + timedelta(seconds=time.monotonic() - began)


def now_or(at: str | None) -> datetime:
    """The instant that ``--at`` names, else the machine's; wrong use for text that is neither."""
    if at is None:
        return datetime.now(UTC)
    try:
        return instant(at)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--at") from error
