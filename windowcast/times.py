"""UTC hours and yard-local days. The only module that converts between time zones.

Inside, time is a numpy index of UTC hours (``datetime64[h]``) or an aware datetime in UTC. A
treatment day is a ``datetime.date`` in the yard's zone and has 23, 24 or 25 hours.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

Hours = NDArray[np.datetime64]
Ints = NDArray[np.signedinteger[Any]]

# Times of other years are slips, and the first and last of the calendar have no neighbours.
YEARS = range(1900, 2200)

SEASON_MONTH = 7  # a season begins on 1 July, so that a winter is never cut in two


@lru_cache(maxsize=128)
def zone(name: str) -> ZoneInfo:
    """The IANA zone of that name; ValueError if there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise ValueError(
            f'"{name}" is not a time zone; write an IANA name such as "America/Boise"'
        ) from error


def instant(text: str) -> datetime:
    """An aware UTC datetime from ISO 8601 text with an offset; ValueError without one."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise ValueError(
            f'"{text}" is not an ISO 8601 time; write one such as 2027-01-12T06:00-07:00'
        ) from error
    if moment.tzinfo is None:
        example = moment.isoformat(timespec="minutes")
        raise ValueError(f'"{text}" has no offset from UTC; write one such as {example}-07:00')
    if moment.year not in YEARS:
        raise ValueError(f'"{text}" is out of reach; write a year from {YEARS[0]} to {YEARS[-1]}')
    return moment.astimezone(UTC)


def as_hour(moment: datetime) -> np.datetime64:
    """The UTC hour that holds an aware datetime."""
    if moment.tzinfo is None:
        raise ValueError("a naive datetime has no place on the UTC hour index")
    return np.datetime64(moment.astimezone(UTC).replace(tzinfo=None), "h")


def as_datetime(hour: np.datetime64) -> datetime:
    """The aware UTC datetime at which an hour of the index begins."""
    return datetime.fromtimestamp(int(hour.astype("datetime64[h]").astype(np.int64)) * 3600, UTC)


def hour_index(first: np.datetime64, count: int) -> Hours:
    """``count`` UTC hours from ``first`` on, shape (hour,)."""
    start = int(first.astype("datetime64[h]").astype(np.int64))
    return np.arange(start, start + count).astype("datetime64[h]")


def local_date(moment: datetime, tz: str) -> date:
    """The calendar day of an aware datetime in a zone."""
    return moment.astimezone(zone(tz)).date()


def local(moment: datetime, tz: str) -> datetime:
    """The same instant on the clock of a zone."""
    return moment.astimezone(zone(tz))


def local_day_bounds(day: date, tz: str) -> tuple[datetime, datetime]:
    """The UTC instants of the two local midnights that bound a day: 23, 24 or 25 hours apart."""
    bounds = (
        datetime(edge.year, edge.month, edge.day, tzinfo=zone(tz)).astimezone(UTC)
        for edge in (day, day + timedelta(days=1))
    )
    start, end = bounds
    return start, end


def clock_instant(day: date, at: time, tz: str) -> datetime:
    """The UTC instant at which a zone's clock shows ``at`` on a day.

    A time that the clock shows twice is taken the first time; one that it skips is moved on by as
    much as the clock was.
    """
    return datetime.combine(day, at.replace(fold=0), tzinfo=zone(tz)).astimezone(UTC)


def season_of(day: date) -> int:
    """The year in which a day's season began: 1 July 2026 to 30 June 2027 is 2026."""
    return day.year if day.month >= SEASON_MONTH else day.year - 1


def local_clock(hours: Hours, tz: str) -> tuple[Ints, Ints]:
    """Day and minute at which each UTC hour begins on a zone's clock.

    Parameters
    ----------
    hours
        UTC hours, shape (hour,).
    tz
        IANA name of the zone.

    Returns
    -------
    day
        Proleptic ordinal of the local date (``date.toordinal``), shape (hour,).
    minute
        Minutes since local midnight by the wall clock, 0 to 1439, shape (hour,).
    """
    return _local_clock(hours.astype("datetime64[h]").astype(np.int64).tobytes(), tz)


@lru_cache(maxsize=256)
def _local_clock(packed: bytes, tz: str) -> tuple[Ints, Ints]:
    where = zone(tz)
    stamps = [
        datetime.fromtimestamp(int(h) * 3600, tz=where) for h in np.frombuffer(packed, np.int64)
    ]
    day = np.array([s.toordinal() for s in stamps], dtype=np.int64)
    minute = np.array([s.hour * 60 + s.minute for s in stamps], dtype=np.int64)
    day.flags.writeable = minute.flags.writeable = False
    return day, minute
