"""Which days are judged: today and the nine days after it, on each yard's own clock."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

import numpy as np

from windowcast.terms.advice import LAST_LEAD_DAY
from windowcast.terms.yard import Yard
from windowcast.times import Hours, as_hour, hour_index, local_date, local_day_bounds


def ranked_span(yards: Sequence[Yard], now: datetime) -> tuple[Hours, tuple[date, ...]]:
    """Hours and days that are ranked: lead days 0 to 9 on the clocks of all yards.

    Parameters
    ----------
    yards
        Yards with their zones, at least one.
    now
        Aware instant.

    Returns
    -------
    tuple
        UTC hours without a gap, and every local date that is a lead day somewhere.

    Notes
    -----
    Rule of this project: each yard counts its lead days on its own clock.
    """
    zones = sorted({str(yard.tz) for yard in yards})
    today = [local_date(now, tz) for tz in zones]
    first_day, last_day = min(today), max(today) + timedelta(days=LAST_LEAD_DAY)
    start = min(as_hour(local_day_bounds(first_day, tz)[0]) for tz in zones)
    end = max(as_hour(local_day_bounds(last_day, tz)[1]) for tz in zones)
    hours = hour_index(start, int((end - start).astype(np.int64)) + 1)
    count = (last_day - first_day).days + 1
    return hours, tuple(first_day + timedelta(days=n) for n in range(count))


def is_lead_day(day: date, yard: Yard, now: datetime) -> bool:
    """Whether a day is one of the days that are judged, on the yard's own clock.

    Parameters
    ----------
    day
        Local date.
    yard
        Yard with its zone.
    now
        Aware instant.

    Returns
    -------
    bool
        True for lead days 0 to ``LAST_LEAD_DAY``.

    Notes
    -----
    Rule of this project: no dated advice beyond the lead at which forecasts beat climatology.
    """
    return 0 <= (day - local_date(now, str(yard.tz))).days <= LAST_LEAD_DAY
