"""The climate of a place from hourly normals: means of a station, with or without percentiles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from windowcast.terms.climate import CLOCK, DAYS, Climate
from windowcast.terms.outlook import Floats

FEBRUARY_29 = 59
WIDTH_OF_80_PERCENT = 2.5631031310892007  # of a standard normal, from the 10th percentile on


def normals_by_sun(values: Floats, utc_offset_h: float, lon_deg: float) -> Floats:
    """Hourly normals of a station on the days of a leap year and the hours of the sun.

    Parameters
    ----------
    values
        By day of a year without 29 February and hour of standard time, value at the beginning of
        the hour, shape (365, 24).
    utc_offset_h
        Standard time less UTC, negative in the Americas. [h]
    lon_deg
        Longitude of the station. [deg]

    Returns
    -------
    ndarray
        At the middle of each solar hour, shape (366, 24); 29 February is 28 February again.

    Raises
    ------
    ValueError
        If the table has another shape, or hours without a number.

    Notes
    -----
    Rule of this project: solar time = standard time - offset + longitude / 15; lines between hours.
    """
    if values.shape != (DAYS - 1, CLOCK) or not np.isfinite(values).all():
        raise ValueError("hourly normals must be (365, 24) numbers, one for each hour of the year")
    hour = np.arange(values.size)
    wanted = hour + 0.5 - lon_deg / 15.0 + utc_offset_h
    by_sun = np.interp(wanted, hour, values.ravel(), period=values.size).reshape(values.shape)
    return np.insert(by_sun, FEBRUARY_29, by_sun[FEBRUARY_29 - 1], axis=0)


def spread_of_tenths(low_c: Floats, high_c: Floats) -> Floats:
    """Standard deviation from the 10th and the 90th percentile.

    Parameters
    ----------
    low_c, high_c
        Percentiles, any shape. [°C]

    Returns
    -------
    ndarray
        Same shape. [°C]

    Raises
    ------
    ValueError
        If a percentile is missing or out of order.

    Notes
    -----
    Rule of this project: (P90 - P10) / 2.563, as of a normal distribution.
    """
    width = np.asarray(high_c, np.float64) - low_c
    if not (width > 0.0).all():
        raise ValueError("a 90th percentile is missing or not above its 10th")
    return width / WIDTH_OF_80_PERCENT


def climate_of_normals(
    mean_c: Floats, spread_dc: Floats | None, rest: Climate, source: str
) -> Climate:
    """Climate from hourly normals of a station, with the rain of another climate.

    Parameters
    ----------
    mean_c
        From ``normals_by_sun``, shape (366, 24). [°C]
    spread_dc
        Standard deviation, same shape; None where a station tells means alone. [°C]
    rest
        Climate that tells rain and correlations, and the spread where it is None.
    source
        Name of the station.

    Returns
    -------
    Climate
        Local in temperature; rain and correlations are those of ``rest``, which ``source`` says.

    Notes
    -----
    Rule of this project: the mean and the spread of the daily maximum are those of the hour that
    is warmest on average. Without a spread of its own it is that of ``rest``.
    """
    warmest = np.argmax(mean_c, axis=1)[:, np.newaxis]
    spread = rest.spread_dc if spread_dc is None else spread_dc
    return replace(
        rest,
        mean_c=mean_c,
        spread_dc=spread,
        high_c=np.take_along_axis(mean_c, warmest, axis=1)[:, 0],
        high_spread_dc=np.take_along_axis(spread, warmest, axis=1)[:, 0],
        local=True,
        source=f"{source}; rain: {rest.source}",
        winters=None,
        past=None,
    )
