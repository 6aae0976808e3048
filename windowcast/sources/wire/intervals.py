"""ISO 8601 instants and intervals, as the US National Weather Service writes them.

An interval is ``start/duration``, ``start/end`` or ``duration/end``; all recorded answers use the
first form. Weeks, days, hours, minutes and seconds are read. Months and years are refused, since
their length is not fixed, and so is the word ``NOW``, which the service's description allows: an
answer that is kept and read again later must not move with the clock.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime
from functools import lru_cache
from typing import NamedTuple

_INSTANT = re.compile(
    r"(\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?)(?:[.,]\d{1,9})?(Z|[+-]\d\d(?::?\d\d)?)", re.ASCII
)
_DURATION = re.compile(
    r"P(?:(\d{1,9})W)?(?:(\d{1,9})D)?"
    r"(?:T(?=\d)(?:(\d{1,9})H)?(?:(\d{1,9})M)?(?:(\d{1,9})(?:[.,]\d{1,9})?S)?)?",
    re.ASCII,
)
_SECONDS = (604_800, 86_400, 3_600, 60, 1)

# Outside these years nothing is a forecast; the bound keeps every later sum inside a calendar.
_FIRST_S = int(datetime(1970, 1, 1, tzinfo=UTC).timestamp())
_LAST_S = int(datetime(2200, 1, 1, tzinfo=UTC).timestamp())
_LONGEST_S = 366 * 86_400


class Interval(NamedTuple):
    """Seconds since 1970 at which it starts, and how many seconds it lasts (more than 0)."""

    start_s: int
    seconds: int

    @property
    def end_s(self) -> int:
        """Seconds since 1970 at which it ends."""
        return self.start_s + self.seconds


@lru_cache(maxsize=8192)
def read_interval(text: str) -> Interval:
    """The interval that a text names; ValueError with one clause that says what is wrong.

    >>> read_interval("2027-01-12T06:00:00-07:00/P1DT2H")
    Interval(start_s=1799758800, seconds=93600)
    """
    parts = text.split("/")
    if len(parts) != 2:
        raise ValueError("it is not a start and a duration with a slash between")
    if "NOW" in parts:
        raise ValueError("NOW is not a time that an answer can be kept with")
    first, second = parts
    if first.startswith("P"):
        end_s, seconds = read_instant_s(second), read_duration_s(first)
        start_s = end_s - seconds
    elif second.startswith("P"):
        start_s, seconds = read_instant_s(first), read_duration_s(second)
    else:
        start_s = read_instant_s(first)
        seconds = read_instant_s(second) - start_s
    if seconds <= 0:
        raise ValueError("it does not last any time")
    if seconds > _LONGEST_S:
        raise ValueError("it lasts longer than a year")
    return Interval(start_s, seconds)


def read_instant(text: str) -> datetime:
    """The aware UTC datetime of a text with an offset; ValueError with one clause."""
    return datetime.fromtimestamp(read_instant_s(text), UTC)


def read_instant_s(text: str) -> int:
    """Whole seconds since 1970 of a text with an offset; ValueError with one clause."""
    match = _INSTANT.fullmatch(text)
    if match is None:
        raise ValueError("it has no time such as 2027-01-12T06:00:00+00:00")
    try:
        moment = datetime.fromisoformat(match.group(1) + match.group(2))
    except ValueError:
        raise ValueError("it has a time that no calendar has") from None
    seconds = int(moment.timestamp())
    if not _FIRST_S <= seconds < _LAST_S:
        raise ValueError("its year is not from 1970 to 2199")
    return seconds


def read_duration_s(text: str) -> int:
    """Whole seconds of a duration such as ``P1DT6H``; ValueError with one clause."""
    match = _DURATION.fullmatch(text)
    if match is None or not any(match.groups()):
        raise ValueError("it has no duration of days, hours, minutes and seconds such as P1DT6H")
    return sum(
        int(count) * seconds
        for count, seconds in zip(match.groups(), _SECONDS, strict=True)
        if count is not None
    )
