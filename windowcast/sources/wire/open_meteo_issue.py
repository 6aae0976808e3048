"""When an Open-Meteo answer was issued at the latest, worked out from the days that it holds.

The service tells no issue time, and the time of asking bounds nothing where a recording, a proxy
or a confirmed copy answers. But an answer begins at local midnight of the day on which it was
issued, less the past days that were asked for: after the end of that day nobody can have issued it.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from windowcast.sources.wire.open_meteo import PointForecast
from windowcast.times import as_datetime

FORECAST_DAYS, PAST_DAYS = 16, 7  # what we ask for

# An answer that holds all that we ask for, but maybe the last day, has our past days in front. A
# shorter one is somebody else's recording, and nothing says that it has any.
_WHOLE_H = (PAST_DAYS + FORECAST_DAYS - 1) * 24

# Where a clock is not whole hours off UTC the answer is laid on full hours, up to half an hour
# before or three quarters after the place's midnight; half an hour more finds the day of both.
_HALF_HOUR = timedelta(minutes=30)
_DAY = timedelta(days=1)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class Issue(NamedTuple):
    """A time of issue, and the clause that says how the days bound it, "" where they do not."""

    at: datetime
    clause: str


def issue_of(point: PointForecast, now: datetime, fetched_at: datetime) -> Issue:
    """The latest time at which the answer can have been issued, as known at ``now``.

    From a day that has not begun nothing can have been issued: its beginning is told, so that
    whoever judges ages finds the answer to be from the future.
    """
    begins = issue_day_begins(point)
    ends = begins + _DAY
    if begins > now:
        return Issue(begins, f"by its days from {begins:%Y-%m-%d %H:%M} UTC on")
    if ends < fetched_at:
        return Issue(ends, f"by its days before {ends:%Y-%m-%d %H:%M} UTC")
    return Issue(fetched_at, "")


def issue_day_begins(point: PointForecast) -> datetime:
    """Local midnight at which the day of issue begins, by the offset that the answer tells."""
    first = as_datetime(point.hours[0])
    begins = first if point.utc_offset_s is None else _midnight(first, point.utc_offset_s)
    has_past = point.hours.size >= _WHOLE_H
    return begins + PAST_DAYS * _DAY if has_past else begins


def _midnight(first: datetime, utc_offset_s: int) -> datetime:
    """The last midnight before an hour, on a clock of constant offset."""
    offset = timedelta(seconds=utc_offset_s)
    return _EPOCH + (first + _HALF_HOUR + offset - _EPOCH) // _DAY * _DAY - offset
