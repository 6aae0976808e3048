"""``windowcast why``: every part that made a score."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from windowcast.cli.app import ConfigDir, app
from windowcast.cli.morning import AsJson, put
from windowcast.cli.now import At, now_or
from windowcast.cli.progress import progress_bar
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


@app.command(epilog="Example: windowcast why kiln 2027-01-12 --config bees")
def why(
    yard: YardKey, day: Day, config: ConfigDir = ".", at: At = None, as_json: AsJson = False
) -> None:
    """Show every hour of a yard's day with each part of its score, its grade and its source."""
    from windowcast.settings import load_settings

    settings = load_settings(Path(config))
    explain(settings, yard_of(settings, yard), day, now_or(at), as_json=as_json)


def explain(settings: Settings, yard: Yard, day: str, now: datetime, *, as_json: bool) -> None:
    """Print one yard-day with all its hours."""
    from windowcast.morning import explain_day
    from windowcast.wiring import wire
    from windowcast.wording.why import why_document_text, why_text

    with progress_bar() as bar:
        wired = wire(settings, bar)
        with wired.fetcher:
            account = explain_day(wired.desk, yard, lambda tz: day_of(day, now, tz), now)
    write = why_document_text if as_json else why_text
    put(write(account, settings.practice, settings.outfit.units))


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
