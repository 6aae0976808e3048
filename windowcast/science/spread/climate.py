"""The climate of a place: from the daily records of ten winters or more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from windowcast.science.spread.diurnal import warmth_of_hour
from windowcast.science.spread.lattice import RAIN, hashed_uniforms
from windowcast.science.spread.usual import leap_day, season_of_day
from windowcast.terms.climate import DAYS, Climate, DailyRecord, PastDays
from windowcast.terms.outlook import Bools, Floats
from windowcast.terms.spread import SpreadPractice
from windowcast.times import Ints

MEAN_WAVES, VARIANCE_WAVES = 3, 2
POOLED_DAYS = 15  # on either side of a day, for rain
TOLD_OF_WINTER = 80  # days of December to February that make it a winter
LEAST_WET_DAYS, LEAST_WARM_DAYS = 5, 10
LEAST_CHANCE = 0.01  # a wet day is never impossible, and never certain
CORR_BOUND = 0.8


def climate_of_days(record: DailyRecord, practice: SpreadPractice) -> Climate:
    """Climate from the daily records of a station.

    Parameters
    ----------
    record
        Days in order, with highest, lowest and rain.
    practice
        Least winters, least rain of a wet day, and what a warm day is.

    Returns
    -------
    Climate
        Local, with its past days.

    Raises
    ------
    ValueError
        If the record holds fewer winters than ``least_winters``, or too few days in a row.

    Notes
    -----
    Rule of this project. Mean of highest and lowest: three harmonics of the year by least squares;
    variance: two harmonics of the squared residuals. Anomalies by standard deviation; their lag-1
    correlation from pairs of days of December to February. Rain and chances of each day from the
    days within 15 of it in all years. Hours lie between lowest and highest as ``warmth_of_hour``
    says, and so does their spread. ``warm_wet_corr`` is biserial: mean anomaly of wet days times
    share of wet days by the normal density at that share.

    References
    ----------
    Wilks (2011): Statistical Methods in the Atmospheric Sciences, 3rd ed., section 9.4, harmonic
    analysis (from memory).
    """
    day = record.days.astype("datetime64[D]").astype(np.int64)
    place = leap_day(day)
    winters = _winters(day, np.isfinite(record.high_c + record.low_c + record.rain_mm))
    if len(winters) < practice.least_winters:
        raise ValueError(
            f"{record.source}: {len(winters)} winters have {TOLD_OF_WINTER} days or more with"
            f" highest, lowest and rain; a climate needs {practice.least_winters:.0f}"
        )
    high, high_spread = _harmonics(place, record.high_c)
    low, low_spread = _harmonics(place, record.low_c)
    warmth = (record.high_c - high[place]) / high_spread[place]
    rain = _rain_of_year(place, record, warmth, practice)
    course = warmth_of_hour(record.lat_deg)
    return Climate(
        mean_c=low[:, np.newaxis] + course * (high - low)[:, np.newaxis],
        spread_dc=low_spread[:, np.newaxis] + course * (high_spread - low_spread)[:, np.newaxis],
        high_c=high, high_spread_dc=high_spread, wet_frac=rain.wet_frac,
        wet_day_mm=rain.wet_day_mm, dry_warm_frac=rain.dry_warm_frac,
        warm_wet_corr=rain.warm_wet_corr, lag_corr=_lag_corr(day, warmth), local=True,
        source=record.source, winters=len(winters),
        past=_past_days(record, warmth, rain, winters),
    )  # fmt: skip


def _winters(day: Ints, told: Bools) -> tuple[int, ...]:
    months = day.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64) % 12
    seasons = season_of_day(day[told & np.isin(months, (11, 0, 1))])
    names, counts = np.unique(seasons, return_counts=True)
    return tuple(int(name) for name in names[counts >= TOLD_OF_WINTER])


def _waves(count: int) -> Floats:
    """1, cos and sin of the year's harmonics, shape (day of a leap year, 2 count + 1)."""
    angle = 2.0 * np.pi * np.arange(DAYS)[:, np.newaxis] / DAYS * np.arange(1, count + 1)
    return np.concatenate([np.ones((DAYS, 1)), np.cos(angle), np.sin(angle)], axis=1)


def _fitted(place: Ints, values: Floats, count: int) -> Floats:
    waves, told = _waves(count), np.isfinite(values)
    found = np.linalg.lstsq(waves[place[told]], values[told], rcond=None)[0]
    return np.asarray(waves @ found)


def _harmonics(place: Ints, values: Floats) -> tuple[Floats, Floats]:
    """Mean and standard deviation of every day of a leap year."""
    mean = _fitted(place, values, MEAN_WAVES)
    squared = (values - mean[place]) ** 2
    variance = _fitted(place, squared, VARIANCE_WAVES)
    least = 0.25 * float(np.nanmean(squared))
    return mean, np.sqrt(np.maximum(variance, max(least, 0.01)))


def _lag_corr(day: Ints, warmth: Floats) -> float:
    months = day.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64) % 12
    pair = (np.diff(day) == 1) & np.isin(months[1:], (11, 0, 1)) & np.isin(months[:-1], (11, 0, 1))
    pair &= np.isfinite(warmth[1:]) & np.isfinite(warmth[:-1])
    if pair.sum() < TOLD_OF_WINTER:
        raise ValueError("too few days in a row are told to see how long the weather lasts")
    return float(np.clip(np.corrcoef(warmth[1:][pair], warmth[:-1][pair])[0, 1], 0.0, 0.95))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RainOfYear:
    """What ``Climate`` says of rain, each of shape (day of a leap year,)."""

    wet_frac: Floats
    wet_day_mm: Floats
    dry_warm_frac: Floats
    warm_wet_corr: Floats
    from_mm: float


def _rain_of_year(
    place: Ints, record: DailyRecord, warmth: Floats, practice: SpreadPractice
) -> RainOfYear:
    from scipy.special import ndtri

    rain = record.rain_mm
    told = np.isfinite(rain)
    wet = told & (np.nan_to_num(rain) >= practice.wet_from_mm)
    both = told & np.isfinite(warmth)
    warm = both & (np.nan_to_num(record.high_c, nan=-99.0) >= practice.warm_day_c)
    ones = np.ones(place.size)
    days, wets = _pooled(place, ones, told), _pooled(place, ones, wet)
    wet_frac = np.clip(wets / np.maximum(days, 1.0), LEAST_CHANCE, 1.0 - LEAST_CHANCE)
    overall = float(rain[wet].mean()) if wet.any() else 2.0 * practice.wet_from_mm
    mean = np.where(
        wets >= LEAST_WET_DAYS, _pooled(place, rain, wet) / np.maximum(wets, 1.0), overall
    )
    warms = _pooled(place, ones, warm)
    dry_warm = _pooled(place, ones, warm & ~wet) / np.maximum(warms, 1.0)
    lift = _pooled(place, warmth, both & wet) / np.maximum(_pooled(place, ones, both & wet), 1.0)
    density = np.exp(-0.5 * ndtri(wet_frac) ** 2) / np.sqrt(2.0 * np.pi)
    corr = np.where(wets >= LEAST_WET_DAYS, lift * wet_frac / density, 0.0)
    return RainOfYear(
        wet_frac=wet_frac,
        wet_day_mm=np.maximum(mean, 1.05 * practice.wet_from_mm),
        dry_warm_frac=np.where(warms >= LEAST_WARM_DAYS, dry_warm, np.nan),
        warm_wet_corr=np.clip(corr, -CORR_BOUND, CORR_BOUND),
        from_mm=practice.wet_from_mm,
    )


def _pooled(place: Ints, values: Floats, where: Bools) -> Floats:
    """Sum over the days within ``POOLED_DAYS`` of each day of the year, all years together."""
    sums = np.bincount(place[where], weights=values[where], minlength=DAYS)
    turns = range(-POOLED_DAYS, POOLED_DAYS + 1)
    return np.asarray(np.sum([np.roll(sums, turn) for turn in turns], axis=0))


def _past_days(
    record: DailyRecord, warmth: Floats, rain: RainOfYear, winters: tuple[int, ...]
) -> PastDays:
    """Days of a record as normals on an axis without gaps.

    A wet day's wetness is the one from which the climate's exponential law makes its rain again; a
    dry day's lies anywhere in the dry part, by its date.
    """
    from scipy.special import ndtri

    day, rain_mm = record.days.astype(np.int64), record.rain_mm
    place = leap_day(day)
    chance, mean = rain.wet_frac[place], rain.wet_day_mm[place]
    beyond = np.maximum(np.nan_to_num(rain_mm) - rain.from_mm, 0.0)
    wet = np.nan_to_num(rain_mm) >= rain.from_mm
    below = np.where(
        wet,
        chance * np.exp(-beyond / (mean - rain.from_mm)),
        chance + (1.0 - chance) * hashed_uniforms(RAIN, day),
    )
    wetness = np.where(np.isfinite(rain_mm), -ndtri(np.maximum(below, 1e-12)), np.nan)
    first = int(day[0])
    laid = np.full((2, int(day[-1]) - first + 1), np.nan)
    laid[:, day - first] = warmth, wetness
    return PastDays(
        lat_deg=record.lat_deg, lon_deg=record.lon_deg, first=np.datetime64(first, "D"),
        warmth=laid[0], wetness=laid[1], seasons=winters,
    )  # fmt: skip
