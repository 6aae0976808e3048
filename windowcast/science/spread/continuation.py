"""What comes after the forecast: the climate of the place, reached without a jump.

The mean keeps the last told anomaly, shrunk more each day. Deviations pass over from the draws of
the dressing to those of past years or, without records, go on with the draws of the lattice,
which by then correlate from day to day as the climate does.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from windowcast.science.distance import distance_km
from windowcast.science.spread.frame import Frame
from windowcast.science.spread.lattice import TIMING, hashed_uniforms
from windowcast.science.spread.usual import ClimateAt, season_of_day
from windowcast.terms.climate import PastDays
from windowcast.terms.lead import OutlookTilt
from windowcast.terms.outlook import Bools, Floats
from windowcast.terms.spread import SpreadPractice
from windowcast.times import SEASON_MONTH, Ints

TERCILE = 0.43072729929545755  # normal quantile of two thirds
SOFT_D = 2  # days over which the edge of an outlook's span is smoothed, on either side


def beyond_reach(temp_c: Floats) -> Bools:
    """Hours after the last that has a temperature.

    Parameters
    ----------
    temp_c
        Forecast, shape (yard, 1, hour); NaN where not told. [°C]

    Returns
    -------
    ndarray
        bool, shape (yard, hour); all True where nothing is told.

    Notes
    -----
    Rule of this project: a gap inside a forecast stays not told; what follows it is continued.
    """
    told = np.isfinite(temp_c[:, 0])
    return np.asarray(~np.flip(np.maximum.accumulate(np.flip(told, axis=1), axis=1), axis=1))


def extended_temp(
    temp_c: Floats, beyond: Bools, usual: ClimateAt, practice: SpreadPractice
) -> Floats:
    """A forecast that goes on with its last anomaly, before it is shrunk.

    Parameters
    ----------
    temp_c
        Forecast, shape (yard, 1, hour). [°C]
    beyond
        Hours to be filled, from ``beyond_reach``.
    usual
        Climate on the same hours.
    practice
        How fast the last hour's own anomaly settles.

    Returns
    -------
    ndarray
        float64, same shape; as given where not ``beyond``. [°C]

    Notes
    -----
    Rule of this project: climate + a + (a_end - a) exp(-t / settle), a the mean anomaly of the
    last 24 hours told and a_end that of the last one. Where nothing is told: the climate.
    """
    from scipy.special import expm1

    told = np.asarray(temp_c[:, 0], np.float64)
    count = told.shape[1] - beyond.sum(axis=1)  # hours up to the last told one
    position = np.arange(told.shape[1])
    end = np.maximum(count - 1, 0)[:, np.newaxis]
    anomaly = told - usual.mean_c
    recent = (position > end - 24) & (position <= end) & np.isfinite(anomaly)
    some = np.maximum(recent.sum(axis=1), 1)
    mean = (np.cumsum(np.where(recent, anomaly, 0.0), axis=1)[:, -1] / some)[:, np.newaxis]
    at_end = np.nan_to_num(np.take_along_axis(anomaly, end, axis=1))
    after = np.maximum(position - end, 0)
    kept = mean + (at_end - mean) * (1.0 + expm1(-after / practice.settle_h))
    return np.where(beyond, usual.mean_c + kept, told)[:, np.newaxis]


def handover_share(frame: Frame, beyond: Bools, practice: SpreadPractice) -> Floats:
    """How much of a deviation is that of the climate's own days.

    Parameters
    ----------
    frame
        Days ahead.
    beyond
        Hours after the last told one, shape (yard, hour).
    practice
        Where the hand-over begins and ends.

    Returns
    -------
    ndarray
        0 before, 1 after, shape (yard, day).

    Notes
    -----
    Rule of this project: a line in days ahead from ``handover_from`` to ``handover_to``, or to
    the day of the last told hour if that is earlier; a forecast that ends before the hand-over
    would begin hands over in the second half of its days.
    """
    told = np.where(beyond, -1, frame.own).max(axis=1, initial=-1)
    reach = np.where(told >= 0, frame.lead[np.maximum(told, 0)], 0)
    end = np.minimum(np.maximum(reach, 1.0), practice.handover_to)
    begin = np.minimum(practice.handover_from, 0.5 * end)
    begin = np.where(end > practice.handover_from, practice.handover_from, begin)
    line = (frame.lead - begin[:, np.newaxis]) / (end - begin)[:, np.newaxis]
    return np.asarray(np.clip(line, 0.0, 1.0))


def past_draws(
    past: PastDays, day: Ints, members: int, practice: SpreadPractice
) -> tuple[Floats, Floats]:
    """Warmth and wetness of past years on days of this one.

    Parameters
    ----------
    past
        Days that really were.
    day
        Solar days, shape (day,).
    members
        How many members.
    practice
        How far a year that is taken again is moved.

    Returns
    -------
    warmth, wetness
        Standard normals, shape (member, day), NaN where the record has no such day.

    Notes
    -----
    Rule of this project. Member m takes the m-th season of the record, counted round, so that
    every season is taken before one is taken twice; from the second time on it is moved by up to
    ``past_shift`` either way, by a hash of the member. A day of the season is the same number of
    days after 1 July. Neither depends on an issue time.
    """
    member = np.arange(members)
    season = np.asarray(past.seasons)[member % len(past.seasons)]
    turn = hashed_uniforms(TIMING, member, len(past.seasons))
    most = int(practice.past_shift_h // 24)
    shift = np.floor(turn * (2 * most + 1)).astype(np.int64) - most
    shift = np.where(member < len(past.seasons), 0, shift)
    into = day - _season_start(season_of_day(day))
    wanted = (_season_start(season) + shift)[:, np.newaxis] + into
    index = wanted - past.first.astype("datetime64[D]").astype(np.int64)
    inside = (index >= 0) & (index < past.warmth.size)
    place = np.where(inside, index, 0)
    return (
        np.where(inside, past.warmth[place], np.nan),
        np.where(inside, past.wetness[place], np.nan),
    )


def _season_start(season: Ints) -> Ints:
    months = (season - 1970) * 12 + SEASON_MONTH - 1
    return np.asarray(months.astype("datetime64[M]").astype("datetime64[D]").astype(np.int64))


def past_share(past: PastDays, lat_deg: float, lon_deg: float, practice: SpreadPractice) -> float:
    """How much the days of a station's past years stand for a place.

    Parameters
    ----------
    past
        Days that really were, and where.
    lat_deg, lon_deg
        The place. [deg]
    practice
        How far a station is felt.

    Returns
    -------
    float
        1 at the station, 0 from ``past_reach_m`` on.

    Notes
    -----
    Rule of this project: (1 - (d / reach)^2)^2. Of two places more than twice the reach apart, one
    at least keeps the draws of the lattice, so that they do not share their weather.
    """
    gap_km = distance_km(past.lat_deg, past.lon_deg, lat_deg, lon_deg)
    return float(max(1.0 - (1000.0 * gap_km / practice.past_reach_m) ** 2, 0.0) ** 2)


def handed_over(draws: Floats, past: Floats, share: Floats) -> Floats:
    """Draws of the dressing that pass over to those of past years.

    Parameters
    ----------
    draws
        Standard normals, shape (yard, member, day).
    past
        Likewise, NaN where a past year has no such day.
    share
        From ``handover_share``, shape (yard, day).

    Returns
    -------
    ndarray
        Standard normals, shape (yard, member, day).

    Notes
    -----
    Rule of this project: sqrt(1 - w) of the one and sqrt(w) of the other, so that the variance
    stays 1. A day that no past year tells keeps its draw.
    """
    part = share[:, np.newaxis, :]
    mixed = np.sqrt(1.0 - part) * draws + np.sqrt(part) * past
    return np.where(np.isfinite(past), mixed, draws)


def tilt_normals(
    tilts: Sequence[OutlookTilt], rho: Floats, usual: ClimateAt, frame: Frame
) -> Floats:
    """By how many standard deviations national outlooks move each day's mean.

    Parameters
    ----------
    tilts
        Outlooks in force; may be none and may overlap.
    rho
        Correlation of forecast and truth, shape (yard, day).
    usual
        Climate of the yards.
    frame
        Days ahead.

    Returns
    -------
    ndarray
        Shape (yard, day), in standard deviations of a day.

    Notes
    -----
    Rule of this project. The mean of a span is normal; its shift is the mean of those that make
    the upper and the lower third as likely as the outlook says. The standard deviation of a mean
    of n days is that of a first-order autoregression. Where outlooks overlap, their mean; edges
    are smoothed over two days on either side, and 1 - rho^2 leaves out what the forecast knows.
    """
    total, count = np.zeros_like(rho), np.zeros_like(rho)
    for tilt in tilts:
        first, last = np.array([tilt.first, tilt.last], "datetime64[D]").astype(np.int64)
        inside = (frame.day >= first) & (frame.day <= last)
        spread = _span_spread(int(last - first) + 1, usual.lag_corr)
        total += inside * (_span_shift(tilt) * spread)[:, np.newaxis]
        count += inside
    level = total / np.maximum(count, 1.0)
    padded = np.pad(level, ((0, 0), (SOFT_D, SOFT_D)))
    pieces = [padded[:, turn : turn + level.shape[1]] for turn in range(2 * SOFT_D + 1)]
    return np.asarray(np.sum(pieces, axis=0) / len(pieces) * (1.0 - rho**2))


def _span_shift(tilt: OutlookTilt) -> float:
    """Shift of a standard normal for which its outer thirds have the chances of an outlook."""
    from scipy.special import ndtri

    scale = tilt.below_frac + tilt.near_frac + tilt.above_frac
    up = TERCILE + ndtri(tilt.above_frac / scale)
    down = -TERCILE - ndtri(tilt.below_frac / scale)
    return float(0.5 * (up + down))


def _span_spread(days: int, lag_corr: Floats) -> Floats:
    """Standard deviation of the mean of days in a row, each of variance 1."""
    gap = np.arange(1, days)
    shared = ((days - gap) * lag_corr[:, np.newaxis] ** gap).sum(axis=1)
    return np.asarray(np.sqrt((days + 2.0 * shared) / days**2))
