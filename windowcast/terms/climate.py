"""What the weather of a place usually is, and how far it strays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from windowcast.terms.outlook import Floats

DAYS = 366  # days of a leap year: 29 February has a place of its own in every table
CLOCK = 24


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DailyRecord:
    """Days of one station: highest, lowest and rain, each of shape (day,), NaN where not told.

    ``days`` are calendar days in rising order; days may be missing. ``rain_mm`` is the rain of
    the day alone: a total of several days is not told for any of them.
    """

    days: NDArray[np.datetime64]
    high_c: Floats
    low_c: Floats
    rain_mm: Floats
    lat_deg: float
    lon_deg: float
    source: str

    def __post_init__(self) -> None:
        """Refuse arrays that do not fit, days out of order and rain below zero."""
        if self.days.dtype != np.dtype("datetime64[D]") or self.days.ndim != 1:
            raise ValueError("days must be a datetime64[D] vector")
        if np.any(np.diff(self.days.astype(np.int64)) < 1):
            raise ValueError("days are not in rising order")
        if {a.shape for a in (self.high_c, self.low_c, self.rain_mm)} != {self.days.shape}:
            raise ValueError("high_c, low_c and rain_mm are not all (day,)")
        if np.any(self.rain_mm < 0):
            raise ValueError("rain_mm below 0")
        if not (-90 <= self.lat_deg <= 90 and -180 <= self.lon_deg <= 180):
            raise ValueError("lat_deg and lon_deg are no place")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PastDays:
    """Days that really were, as standard normals: what a climate says of each of them.

    ``first`` is the day at index 0. ``warmth`` is the anomaly of the maximum in standard
    deviations, ``wetness`` the normal that the climate of rain turns back into the day's rain;
    both of shape (day,), NaN where a day was not told. ``seasons`` are the seasons (named by the
    year in which they begin, 1 July) that hold enough days to be drawn from. ``lat_deg`` and
    ``lon_deg`` are the station's.
    """

    lat_deg: float
    lon_deg: float
    first: np.datetime64
    warmth: Floats
    wetness: Floats
    seasons: tuple[int, ...]

    def __post_init__(self) -> None:
        """Refuse arrays that do not fit, and days without seasons."""
        if self.warmth.ndim != 1 or self.warmth.shape != self.wetness.shape:
            raise ValueError("warmth and wetness are not both (day,)")
        if not self.seasons:
            raise ValueError("past days without a whole season")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Climate:
    """Mean and spread of a place by day of the year and hour of the solar day, and its rain.

    ``mean_c`` and ``spread_dc`` have the shape (day of a leap year, solar hour), value at the
    middle of the hour; ``high_c`` and ``high_spread_dc``, of the daily maximum, the shape (day,),
    and so have ``wet_frac`` (share of wet days), ``wet_day_mm`` (mean of a wet day),
    ``dry_warm_frac`` (chance that a warm day is dry, NaN where no day is warm) and
    ``warm_wet_corr`` (correlation of warmth and wetness as normals). ``lag_corr`` is the
    correlation of a winter day's anomaly with that of the day before. ``local`` is False where
    the numbers are stated defaults: "no local climate". ``winters`` is how many it rests on, None
    where the source does not say.
    """

    mean_c: Floats
    spread_dc: Floats
    high_c: Floats
    high_spread_dc: Floats
    wet_frac: Floats
    wet_day_mm: Floats
    dry_warm_frac: Floats
    warm_wet_corr: Floats
    lag_corr: float
    local: bool
    source: str
    winters: int | None = None
    past: PastDays | None = None

    def __post_init__(self) -> None:
        """Refuse tables of a wrong shape and numbers that cannot be."""
        for name, shape in _SHAPES.items():
            table = getattr(self, name)
            if table.shape != shape:
                raise ValueError(f"{name} is not {shape}")
            if name != "dry_warm_frac" and not np.isfinite(table).all():
                raise ValueError(f"{name} is not told for every day")
        if not (np.all(self.spread_dc > 0) and np.all(self.high_spread_dc > 0)):
            raise ValueError("a spread of the climate is not more than 0")
        if not (np.all(self.wet_frac > 0) and np.all(self.wet_frac < 1)):
            raise ValueError("wet_frac is not between 0 and 1")
        if not (np.all(np.abs(self.warm_wet_corr) < 1) and -1 < self.lag_corr < 1):
            raise ValueError("a correlation of the climate is not between -1 and 1")


_SHAPES = {
    "mean_c": (DAYS, CLOCK), "spread_dc": (DAYS, CLOCK), "high_c": (DAYS,),
    "high_spread_dc": (DAYS,), "wet_frac": (DAYS,), "wet_day_mm": (DAYS,),
    "dry_warm_frac": (DAYS,), "warm_wet_corr": (DAYS,),
}  # fmt: skip
