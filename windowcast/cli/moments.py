"""Times gone by as people say them: on the yard's own clock, or with an offset."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from windowcast.times import YEARS, clock_instant, instant, local_date

if TYPE_CHECKING:
    from windowcast.settings import Settings
    from windowcast.store.book import Book
    from windowcast.terms.yard import Yard

_CLOCK = re.compile(r"(?:(?P<day>\S+?)(?:\s+|T))?(?P<hour>[0-9]{1,2}):(?P<minute>[0-9]{2})", re.I)
_DEGREES_PER_HOUR = 15


def moment_of(text: str, now: datetime, tz: str | None) -> datetime:
    """The instant of a time gone by: "07:40", "yesterday 16:00", "2027-01-12 07:40", or ISO 8601.

    Without an offset it is read on the clock of ``tz``. ValueError with one sentence for the rest.
    """
    words = _CLOCK.fullmatch(text.strip())
    if words is None:
        return _with_offset(text)
    if tz is None:
        raise ValueError(
            f'"{text}" is on no clock that is known yet; write the offset from UTC too, such as'
            " 2027-01-12T07:40-08:00, or a zone in yards.csv or outfit.toml"
        )
    hour, minute = int(words["hour"]), int(words["minute"])
    if hour > 23 or minute > 59:
        raise ValueError(f'"{text}" is no time of day; write one from 00:00 to 23:59')
    day = past_day(words["day"] or "today", local_date(now, tz))
    seen = clock_instant(day, time(hour, minute), tz)
    if seen > now:
        other = f'"yesterday {hour:02d}:{minute:02d}"'
        raise ValueError(f'"{text}" is still to come; write a time gone by, such as {other}')
    return seen


def past_day(text: str, today: date) -> date:
    """A day as people name it: "today", "yesterday" or a date; ValueError for another word."""
    word = text.strip().casefold()
    if word in ("today", "yesterday"):
        return today - timedelta(days=word == "yesterday")
    try:
        day = date.fromisoformat(word)
    except ValueError as error:
        raise ValueError(
            f'"{text}" is not a day; write today, yesterday or one such as {today.isoformat()}'
        ) from error
    if day.year not in YEARS:
        raise ValueError(f'"{text}" is out of reach; write a year from {YEARS[0]} to {YEARS[-1]}')
    return day


def _with_offset(text: str) -> datetime:
    try:
        return instant(text.strip())
    except ValueError as error:
        raise ValueError(
            f'"{text}" is not a time; write one such as 07:40, "yesterday 16:00",'
            ' "2027-01-12 07:40" or 2027-01-12T07:40-08:00'
        ) from error


def zone_known(settings: Settings, yard: Yard, book: Book) -> str | None:
    """The zone of a yard: of its row, of the outfit, or of the weather kept; None where none is."""
    if yard.tz or settings.outfit.tz:
        return yard.tz or settings.outfit.tz
    kept = book.outlook_of(yard.key, issued_from=instant(f"{YEARS[0]}-01-01T00:00+00:00"))
    return kept.place.tz if kept else None


def zone_for_days(settings: Settings, yard: Yard, book: Book) -> str:
    """A zone that is good enough to tell one day from the next: where none is known, by the sun."""
    known = zone_known(settings, yard, book)
    if known:
        return known
    behind = -round(yard.lon_deg / _DEGREES_PER_HOUR)  # "Etc/GMT+8" lies 8 h behind UTC
    return f"Etc/GMT{behind:+d}" if behind else "Etc/GMT"
