"""The climate of each yard, laid on the days and hours of a block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from windowcast.science.spread.frame import Frame
from windowcast.terms.climate import CLOCK, Climate
from windowcast.terms.outlook import Floats
from windowcast.times import SEASON_MONTH, Ints


def leap_day(days: Ints) -> Ints:
    """Position of days in a leap year, so that 1 March has one place in every year.

    Parameters
    ----------
    days
        Days since 1970-01-01, any shape.

    Returns
    -------
    ndarray
        0 (1 January) to 365 (31 December), same shape.

    Notes
    -----
    Rule of this project: 28 February is 58, 29 February 59, 1 March 60.
    """
    stamp = days.astype("datetime64[D]")
    year = stamp.astype("datetime64[Y]")
    number = (stamp - year.astype("datetime64[D]")).astype(np.int64)
    month = (stamp.astype("datetime64[M]") - year.astype("datetime64[M]")).astype(np.int64)
    march = (year.astype("datetime64[M]") + 2).astype("datetime64[D]") - year.astype(
        "datetime64[D]"
    )
    return np.asarray(number + np.where(month >= 2, 60 - march.astype(np.int64), 0))


def season_of_day(days: Ints) -> Ints:
    """The season of days, named by the year in which it begins.

    Parameters
    ----------
    days
        Days since 1970-01-01, any shape.

    Returns
    -------
    ndarray
        Year, same shape: 1 July 2026 to 30 June 2027 is 2026.

    Notes
    -----
    Rule of this project: a winter is never cut in two.
    """
    months = days.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64)
    return np.asarray((months - (SEASON_MONTH - 1)) // 12 + 1970)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClimateAt:
    """What is usual: ``mean_c`` and ``spread_dc`` by (yard, hour), the others by (yard, day).

    ``lag_corr`` has the shape (yard,). Names as in ``Climate``.
    """

    mean_c: Floats
    spread_dc: Floats
    high_spread_dc: Floats
    wet_frac: Floats
    wet_day_mm: Floats
    warm_wet_corr: Floats
    lag_corr: Floats


def climate_at(climates: Sequence[Climate], frame: Frame) -> ClimateAt:
    """Climates of yards on the hours and days of a frame.

    Parameters
    ----------
    climates
        One for each yard; yards may share one.
    frame
        Hours and days.

    Returns
    -------
    ClimateAt
        Hours taken on a line between the middles of the solar hours of the same day.

    Raises
    ------
    ValueError
        If there is not one climate for each yard.

    Notes
    -----
    Rule of this project: the sun's clock, so that a table of one meridian serves its neighbours.
    """
    if len(climates) != frame.day.shape[0]:
        raise ValueError("one climate for each yard")
    each = list({id(climate): climate for climate in climates}.values())
    row = np.array([[one is climate for one in each].index(True) for climate in climates], int)
    day = leap_day(frame.day)
    of_hour = np.take_along_axis(day, frame.own, axis=1)

    def daily(tables: list[Floats]) -> Floats:
        return np.stack(tables)[row[:, np.newaxis], day] if tables else np.empty(day.shape)

    return ClimateAt(
        mean_c=_at_clock([one.mean_c for one in each], row, of_hour, frame.clock_h),
        spread_dc=_at_clock([one.spread_dc for one in each], row, of_hour, frame.clock_h),
        high_spread_dc=daily([one.high_spread_dc for one in each]),
        wet_frac=daily([one.wet_frac for one in each]),
        wet_day_mm=daily([one.wet_day_mm for one in each]),
        warm_wet_corr=daily([one.warm_wet_corr for one in each]),
        lag_corr=np.array([climate.lag_corr for climate in climates]),
    )


def _at_clock(tables: list[Floats], row: Ints, day: Ints, clock_h: Floats) -> Floats:
    if not tables:
        return np.empty(clock_h.shape)
    table, at = np.stack(tables), clock_h - 0.5
    below = np.floor(at)
    share = at - below
    first = below.astype(np.int64) % CLOCK
    place = row[:, np.newaxis], day
    return np.asarray(
        (1.0 - share) * table[(*place, first)] + share * table[(*place, (first + 1) % CLOCK)]
    )
