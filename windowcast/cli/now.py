"""The one place where the clock is read."""

from __future__ import annotations

from datetime import UTC, datetime
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


def now_or(at: str | None) -> datetime:
    """The instant that ``--at`` names, else the machine's; wrong use for text that is neither."""
    if at is None:
        return datetime.now(UTC)
    try:
        return instant(at)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--at") from error
