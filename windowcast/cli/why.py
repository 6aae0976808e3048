"""``windowcast why``: every part that made a score."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from windowcast.cli.app import ConfigDir, app
from windowcast.cli.given import Day, YardKey, day_of, yard_of
from windowcast.cli.morning import AsJson, memory, put
from windowcast.cli.now import At, now_or
from windowcast.cli.progress import progress_bar

if TYPE_CHECKING:
    from datetime import datetime

    from windowcast.settings import Settings
    from windowcast.terms.yard import Yard


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

    with progress_bar() as bar, memory(settings) as book:
        wired = wire(settings, bar, book)
        with wired.fetcher:
            account = explain_day(wired.desk, yard, lambda tz: day_of(day, now, tz), now)
    write = why_document_text if as_json else why_text
    put(write(account, settings.practice, settings.outfit.units))
