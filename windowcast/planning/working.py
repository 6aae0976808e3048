"""When somebody can be at a yard."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from windowcast.terms.outlook import Bools
from windowcast.terms.yard import Crew
from windowcast.times import Hours, local_clock


def working_hours(hours: Hours, tz: str, crews: Sequence[Crew]) -> Bools:
    """Whether each hour lies wholly inside the working hours of at least one crew.

    Parameters
    ----------
    hours
        UTC hours, shape (hour,).
    tz
        IANA zone of the yard: crews work by the yard's clock.
    crews
        Crews with start, end and weekdays.

    Returns
    -------
    ndarray
        bool, shape (hour,).

    Notes
    -----
    Rule of this project: with two crews the later end counts for the yard; who goes is planned
    later. An hour that a clock change stretches or cuts counts by the clock at its two ends.
    """
    day, minute = local_clock(hours, tz)
    end_day, end_minute = local_clock(hours + np.timedelta64(1, "h"), tz)
    last_minute = end_minute + 1440 * (end_day - day)  # an hour that ends at midnight: 1440
    weekday = (day + 6) % 7  # ordinal 1 is a Monday
    inside = np.zeros(hours.shape, np.bool_)
    for crew in crews:
        on_duty = np.isin(weekday, sorted(crew.weekdays))
        start = crew.start.hour * 60 + crew.start.minute
        end = crew.end.hour * 60 + crew.end.minute
        inside |= on_duty & (minute >= start) & (last_minute <= end)
    return inside
