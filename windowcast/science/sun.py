"""Sunrise, sunset and the lit share of every hour at a yard."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache

import numpy as np
from astral import Observer
from astral.sun import elevation, noon, sunrise, sunset

from windowcast.terms.outlook import Floats
from windowcast.times import Hours, local_day_bounds, zone


@lru_cache(maxsize=65536)
def sun_times(lat_deg: float, lon_deg: float, day: date, tz: str) -> tuple[datetime, datetime]:
    """Sunrise and sunset of one local day, in UTC.

    Parameters
    ----------
    lat_deg, lon_deg
        Place, north and east positive. [deg]
    day
        Calendar day in ``tz``.
    tz
        IANA zone of the place.

    Returns
    -------
    tuple of datetime
        Sunrise and sunset. Where the sun does not set that day: the two local midnights; where it
        does not rise: one instant twice.

    Notes
    -----
    Asked with the place's own zone and date: asked in UTC the answer can belong to the day before.
    Centre of the sun 0.833 degrees below a level horizon. Within 30 s of an ephemeris at 30 to
    50 degrees north (tests/reference/test_sun.py).

    References
    ----------
    Meeus (1991): Astronomical Algorithms, as coded in the package astral.
    """
    place, where = Observer(lat_deg, lon_deg, 0.0), zone(tz)
    try:
        rise = sunrise(place, date=day, tzinfo=where)
        fall = sunset(place, date=day, tzinfo=where)
    except ValueError:
        start, end = local_day_bounds(day, tz)
        midday = noon(place, date=day, tzinfo=where)
        return (start, end) if elevation(place, midday) > -0.833 else (start, start)
    rise, fall = rise.astimezone(UTC), fall.astimezone(UTC)
    return (rise, fall) if fall > rise else (rise, fall + timedelta(days=1))


def light_frac(places: Sequence[tuple[float, float, str]], hours: Hours) -> Floats:
    """Share of each hour that lies between sunrise and sunset.

    Parameters
    ----------
    places
        Latitude [deg], longitude [deg] and IANA zone of each yard.
    hours
        UTC hours, shape (hour,).

    Returns
    -------
    ndarray
        Shape (yard, hour); exactly 1 where the hour lies wholly in light. [0-1]

    Notes
    -----
    Rule of this project: light is the time from sunrise to sunset, without twilight.
    """
    begins = hours.astype("datetime64[h]").astype(np.int64) * 3600.0
    first, last = (datetime.fromtimestamp(float(begins[end]), UTC).date() for end in (0, -1))
    days = [first + timedelta(days=n) for n in range(-1, (last - first).days + 2)]
    lit = np.zeros((len(places), hours.size))
    for row, (lat_deg, lon_deg, tz) in enumerate(places):
        spans = np.array(
            [[t.timestamp() for t in sun_times(lat_deg, lon_deg, day, tz)] for day in days]
        )
        overlap = np.minimum(spans[:, 1:], begins + 3600.0) - np.maximum(spans[:, :1], begins)
        lit[row] = np.clip(overlap, 0.0, 3600.0).sum(axis=0)
    return np.minimum(lit / 3600.0, 1.0)
