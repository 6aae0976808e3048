"""Hours of issued forecasts to local days by lead."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from windowcast.terms.outlook import Floats
from windowcast.times import Hours, local_clock

LEAST_HOURS = 20  # of the 23 to 25 of a day: rule of this project


def lead_days(issued: Hours, hours: Hours, tz: str) -> NDArray[np.int64]:
    """Local days from the day of issue to the day that holds each hour.

    Parameters
    ----------
    issued
        Hour of issue, shape (case,).
    hours
        UTC hours that are told, shape (case, lead).
    tz
        IANA name of the zone of the place.

    Returns
    -------
    ndarray
        0 for the day of issue, below 0 for days before it; shape (case, lead). [d]

    Raises
    ------
    ValueError
        For a zone that does not exist.

    Notes
    -----
    Rule of this project: a lead day is counted on the calendar of the place, as a person counts
    it, so that a clock change makes a day of 23 or 25 hours and moves none.
    """
    each, where = np.unique(np.concatenate((hours.ravel(), issued)), return_inverse=True)
    day = local_clock(each, tz)[0].astype(np.int64)[where.ravel()]
    return np.asarray(day[: hours.size].reshape(hours.shape) - day[hours.size :, None])


def highs_by_lead(
    temp_c: Floats, lead_d: NDArray[np.int64], days: int, least_hours: int = LEAST_HOURS
) -> Floats:
    """Highest hourly temperature of each local day.

    Parameters
    ----------
    temp_c
        Temperature of the hours, shape (case, lead), NaN where not told. [°C]
    lead_d
        Lead day of each hour, shape (case, lead), as from ``lead_days``.
    days
        Number of lead days, from that of issue on.
    least_hours
        With fewer told hours a day is not told.

    Returns
    -------
    ndarray
        Shape (case, day). [°C]

    Raises
    ------
    ValueError
        If the two are of different shape.

    Notes
    -----
    Rule of this project: a day needs 20 told hours, so that its warmest ones are seldom missing.
    """
    if temp_c.shape != lead_d.shape:
        raise ValueError(f"{temp_c.shape} and {lead_d.shape} are not the same hours")
    case, lead = np.nonzero((lead_d >= 0) & (lead_d < days) & ~np.isnan(temp_c))
    high = np.full((temp_c.shape[0], days), -np.inf)
    count = np.zeros(high.shape, np.int64)
    place = (case, lead_d[case, lead])
    np.maximum.at(high, place, temp_c[case, lead])
    np.add.at(count, place, 1)
    return np.where(count >= max(least_hours, 1), high, np.nan)
