"""Blocks of yards with a forecast and a climate, for tests of members."""

from __future__ import annotations

import numpy as np

from windowcast.science.spread.defaults import continental_climate
from windowcast.science.spread.frame import Frame, Places, frame_of
from windowcast.science.spread.members import Believed
from windowcast.terms.climate import DailyRecord
from windowcast.terms.lead import CONTINENTAL_ERRORS
from windowcast.terms.spread import SpreadPractice
from windowcast.times import hour_index

PRACTICE = SpreadPractice()
NOW = np.datetime64("2027-01-12T13", "h")  # 06 in the morning on a meridian of 105 degrees west
CLIMATE = continental_climate(44.0, 800.0, PRACTICE)
NAMES = ("temp_c", "dewpoint_c", "rain_mm", "rain_prob_frac")


def places(lat_deg=(44.0,), lon_deg=(-105.0,), issued=NOW) -> Places:
    lat, lon = np.atleast_1d(np.asarray(lat_deg, float)), np.atleast_1d(np.asarray(lon_deg, float))
    return Places(lat_deg=lat, lon_deg=lon, issued=np.full(lat.shape, issued))


def frame(where: Places | None = None, days=7, first=NOW, now=NOW) -> Frame:
    hours = hour_index(first, 24 * days)
    return frame_of(places() if where is None else where, hours, now, PRACTICE)


def forecast(on: Frame, temp_c=8.0, rain_mm=0.0, chance=0.2, reach_h=None) -> dict:
    """The same weather in every hour up to a reach; the dew point 3 degrees below."""
    shape = (on.day.shape[0], 1, on.hours.size)
    told = np.arange(on.hours.size) < (on.hours.size if reach_h is None else reach_h)
    values = {
        "temp_c": temp_c, "dewpoint_c": temp_c - 3.0, "rain_mm": rain_mm, "rain_prob_frac": chance,
    }  # fmt: skip
    return {
        name: np.where(told, np.broadcast_to(value, shape), np.nan).astype(np.float32)
        for name, value in values.items()
    }


def believed(on: Frame, climate=CLIMATE, errors=CONTINENTAL_ERRORS, tilts=()) -> Believed:
    yards = on.day.shape[0]
    return Believed(climates=(climate,) * yards, errors=(errors,) * yards, tilts=tilts)


def winters(years=range(1990, 2002), seed=7) -> DailyRecord:
    """An invented station: a wave of the year, days that hold on, warm days wetter than others."""
    first, last = f"{years[0]}-07-01", f"{years[-1] + 1}-07-01"
    days = np.arange(np.datetime64(first), np.datetime64(last))
    draw = np.random.default_rng(seed).standard_normal((2, days.size))
    anomaly = np.empty(days.size)
    anomaly[0] = draw[0, 0]
    for n in range(1, days.size):
        anomaly[n] = 0.7 * anomaly[n - 1] + np.sqrt(1.0 - 0.7**2) * draw[0, n]
    wave = np.cos(2.0 * np.pi * (days.astype(np.int64) % 365.25 - 20.0) / 365.25)
    high = 14.0 - 10.0 * wave + 5.0 * anomaly
    wet = 0.3 * anomaly + np.sqrt(1.0 - 0.3**2) * draw[1] > 0.5244  # three days of ten
    rain = np.where(wet, 1.0 + 6.0 * np.abs(draw[1] - 0.5), 0.0)
    return DailyRecord(
        days=days,
        high_c=high,
        low_c=high - 9.0,
        rain_mm=rain,
        lat_deg=44.0,
        lon_deg=-105.0,
        source="invented",
    )
