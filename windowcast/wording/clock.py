"""Days, hours and zones as people write them, always on a named clock."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, datetime, time, timedelta

from windowcast.terms.yard import Crew
from windowcast.times import local, local_day_bounds, zone

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip


def day_words(day: date) -> str:
    """A day without its year: "Wed 21 Feb"."""
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"


def day_and_year(day: date) -> str:
    """A day with its year: "Wed 21 Feb 2024"."""
    return f"{day_words(day)} {day.year}"


def abbreviation(moment: datetime, tz: str) -> str:
    """Short name of a zone at an instant: "MST", or "UTC-03" where the zone has only a number."""
    name = local(moment, tz).tzname() or "UTC"
    return f"UTC{name}" if name[0] in "+-" else name


def at(moment: datetime, tz: str) -> str:
    """Clock time: "08:00"; with the zone where the clock shows that time twice."""
    here = local(moment, tz)
    twice = here.replace(fold=0).utcoffset() != here.replace(fold=1).utcoffset()
    return f"{here:%H:%M} {abbreviation(moment, tz)}" if twice else f"{here:%H:%M}"


def span(start: datetime, end: datetime, tz: str) -> str:
    """Clock times of a run: "08:00-12:00"; a run that ends at midnight ends at 24:00."""
    return f"{at(start, tz)}-{_at_end(start, end, tz)}"


def _at_end(start: datetime, end: datetime, tz: str) -> str:
    last = at(end, tz)
    midnight = last == "00:00" and local(start, tz).date() != local(end, tz).date()
    return "24:00" if midnight else last


def widest(runs: Sequence[tuple[datetime, datetime, str]]) -> str:
    """Clock times from the earliest start to the latest end, each run read on its own clock.

    A run is its start, its end and its zone; all are of one calendar day, each by its own clock.
    """
    first = min(runs, key=lambda run: local(run[0], run[2]).replace(tzinfo=None))
    last = max(runs, key=lambda run: local(run[1], run[2]).replace(tzinfo=None))
    return f"{at(first[0], first[2])}-{_at_end(*last)}"


def agree(zones: Collection[str], *moments: datetime) -> bool:
    """Whether the clocks of some zones show the same time at each of some instants."""
    return all(len({local(moment, tz).utcoffset() for tz in zones}) == 1 for moment in moments)


def stamp(moment: datetime, tz: str) -> str:
    """Day and clock time: "Tue 20 Feb 15:00"."""
    return f"{day_words(local(moment, tz).date())} {at(moment, tz)}"


def iso(moment: datetime, tz: str) -> str:
    """ISO 8601 with the zone's offset, to the second."""
    return local(moment, tz).isoformat(timespec="seconds")


def zone_change(day: date, tz: str) -> str | None:
    """Sentence for a day on which the clocks change, None on any other."""
    start, end = local_day_bounds(day, tz)
    length = end - start
    if length == timedelta(days=1):
        return None
    way = "go back" if length > timedelta(days=1) else "go forward"
    return f"Clocks {way} on {day_words(day)}"


def change_at_work(day: date, tz: str, crews: Sequence[Crew]) -> str | None:
    """The same sentence, only if the clocks change inside the working hours of a crew."""
    touched = any(day.weekday() in crew.weekdays and _stretched(day, crew, tz) for crew in crews)
    change = zone_change(day, tz) if touched else None
    return f"{change}, inside working hours." if change else None


def _stretched(day: date, crew: Crew, tz: str) -> bool:
    where = zone(tz)
    first, last = (
        datetime.combine(day, edge, tzinfo=where).utcoffset() for edge in (crew.start, crew.end)
    )
    return first != last


def noon(day: date, tz: str) -> datetime:
    """Local noon of a day: an instant that tells which of its two times a zone keeps by day."""
    return datetime.combine(day, time(12), tzinfo=zone(tz))
