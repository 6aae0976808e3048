"""Yards and days as people name them on the command line."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.times import local_date

if TYPE_CHECKING:
    from windowcast.settings import Settings
    from windowcast.terms.yard import Yard

YardKey = Annotated[
    str, typer.Argument(metavar="YARD", help="Key or name of the yard in yards.csv.")
]
Day = Annotated[
    str, typer.Argument(metavar="DAY", help="Date such as 2027-01-12, or today, tomorrow, sat.")
]


def yard_of(settings: Settings, key: str) -> Yard:
    """The yard of that key or name; wrong use, with the nearest key named, without one."""
    from difflib import get_close_matches

    wanted = key.strip().casefold()
    for words in ("key", "name"):
        found = [y for y in settings.yards if getattr(y, words).casefold() == wanted]
        if len(found) == 1:
            return found[0]
    near = get_close_matches(key, [yard.key for yard in settings.yards], 1)
    hint = f'; did you mean "{near[0]}"?' if near else ""
    raise typer.BadParameter(f'no yard has the key "{key}"{hint}', param_hint="YARD")


def day_of(text: str, now: datetime, tz: str) -> date:
    """The local day that a person named."""
    today = local_date(now, tz)
    word = text.strip().lower()
    if word in ("today", "tomorrow"):
        return today + timedelta(days=word == "tomorrow")
    if len(word) >= 3 and word.isalpha():
        coming = [today + timedelta(days=ahead) for ahead in range(7)]
        named = [day for day in coming if f"{day:%A}".lower().startswith(word)]
        if named:
            return named[0]
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise typer.BadParameter(
            f'"{text}" is not a day; write one such as {today.isoformat()}', param_hint="DAY"
        ) from error
