"""Writes daily station files of invented stations, in every form and unit that they come in.

A station's weather is made by a small chain of daily anomalies on a yearly wave; the forms are
those of NOAA's GHCN-Daily (long, wide with attributes) and of orders from it (wide, two systems).
"""

from __future__ import annotations

import gzip
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "payloads" / "station_daily"
STATION = "USC00999901"  # invented


@dataclass(frozen=True, kw_only=True)
class Climate:
    """Yearly mean and half-range of the highs, spread from day to day, daily range, rain."""

    mean_c: float
    wave_dc: float
    restless_dc: float
    range_dc: float
    wet_frac: float
    wet_day_mm: float


CLIMATES = {
    "continental": Climate(
        mean_c=14, wave_dc=15, restless_dc=5.5, range_dc=11, wet_frac=0.3, wet_day_mm=8
    ),
    "cold": Climate(mean_c=1, wave_dc=20, restless_dc=6, range_dc=10, wet_frac=0.3, wet_day_mm=3),
    "desert": Climate(
        mean_c=28, wave_dc=12, restless_dc=3.5, range_dc=16, wet_frac=0.06, wet_day_mm=6
    ),
    "basin": Climate(
        mean_c=18, wave_dc=14, restless_dc=4.5, range_dc=18, wet_frac=0.15, wet_day_mm=4
    ),
    "maritime": Climate(
        mean_c=14, wave_dc=7, restless_dc=2.5, range_dc=7, wet_frac=0.5, wet_day_mm=6
    ),
    "gulf": Climate(
        mean_c=26, wave_dc=7, restless_dc=3.5, range_dc=11, wet_frac=0.3, wet_day_mm=14
    ),
    "island": Climate(
        mean_c=29, wave_dc=2, restless_dc=0.9, range_dc=7, wet_frac=0.5, wet_day_mm=9
    ),
}


@dataclass(frozen=True, kw_only=True, eq=False)
class Season:
    """Consecutive days in °C and mm."""

    days: tuple[date, ...]
    highs: np.ndarray
    lows: np.ndarray
    rain: np.ndarray


def season(climate: Climate, first: date, count: int, seed: int = 0) -> Season:
    """``count`` days of a climate from ``first`` on; the same seed gives the same days."""
    rng = np.random.default_rng(seed)
    days = tuple(first + timedelta(days=n) for n in range(count))
    of_year = np.array([day.timetuple().tm_yday for day in days])
    anomaly = np.empty(count)
    last = 0.0
    for n, shock in enumerate(rng.normal(size=count)):
        last = 0.65 * last + shock * np.sqrt(1 - 0.65**2)
        anomaly[n] = last
    wave = climate.wave_dc * np.cos(2 * np.pi * (of_year - 200) / 365.25)
    highs = climate.mean_c + wave + climate.restless_dc * anomaly
    lows = highs - climate.range_dc * rng.uniform(0.5, 1.5, count)
    wet = rng.random(count) < climate.wet_frac
    amounts = np.maximum(0.254, rng.gamma(0.8, climate.wet_day_mm / 0.8, count))
    return Season(days=days, highs=highs, lows=lows, rain=np.where(wet, amounts, 0.0))


def _cells(values: np.ndarray, digits: int) -> list[str]:
    return ["" if np.isnan(v) else f"{v:.{digits}f}" for v in values]


def in_tenths(told: Season) -> tuple[list[str], list[str], list[str]]:
    """Highs, lows and rain as the archive writes them."""
    return tuple(_cells(v * 10, 0) for v in (told.highs, told.lows, told.rain))


def in_metric(told: Season, digits: int = 1) -> tuple[list[str], list[str], list[str]]:
    """Highs, lows and rain in °C and mm."""
    return tuple(_cells(v, digits) for v in (told.highs, told.lows, told.rain))


def in_customary(told: Season) -> tuple[list[str], list[str], list[str]]:
    """Highs, lows and rain in whole °F and hundredths of an inch."""
    warm = (_cells(v * 1.8 + 32, 0) for v in (told.highs, told.lows))
    return (*warm, _cells(told.rain / 25.4, 2))


def wide(
    told: Season, cells: Sequence[Sequence[str]], header: str = "DATE,TMAX,TMIN,PRCP"
) -> bytes:
    """The wide form without a station column."""
    highs, lows, rain = cells
    rows = (
        f"{day},{high},{low},{wet}"
        for day, high, low, wet in zip(told.days, highs, lows, rain, strict=True)
    )
    return "\n".join((header, *rows, "")).encode()


def wide_of_archive(
    told: Season, *, lat: float = 43.6, lon: float = -116.2, read_at: str = ""
) -> bytes:
    """The wide form with station, place and attributes, in tenths."""
    header = (
        '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES",'
        '"TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"'
    )
    end = f",{read_at}" if read_at else ""
    rows = []
    for day, high, low, wet in zip(told.days, *in_tenths(told), strict=True):
        cells = ",".join(f'"{value:>5}",",,7{end}"' for value in (wet, high, low))
        rows.append(f'"{STATION}","{day}","{lat}","{lon}","823.0","NOWHERE FIELD, ID US",{cells}')
    return "\n".join((header, *rows, "")).encode()


def long(told: Season, *, read_at: str = "", header: bool = True, station: str = STATION) -> bytes:
    """The long form, in tenths."""
    rows = ["ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"] if header else []
    for day, high, low, wet in zip(told.days, *in_tenths(told), strict=True):
        for element, value in (("TMAX", high), ("TMIN", low), ("PRCP", wet)):
            if value:
                rows.append(f"{station},{day:%Y%m%d},{element},{value},,,7,{read_at}")
    return "\n".join((*rows, "")).encode()


def long_rows(*rows: str) -> bytes:
    """The long form from "DATE,ELEMENT,VALUE,M,Q,S,TIME" rows of the invented station."""
    return "\n".join(f"{STATION},{row}" for row in rows).encode() + b"\n"


def zipped(body: bytes) -> bytes:
    """The file as the archive keeps it."""
    return gzip.compress(body, mtime=0)


def payload(name: str) -> bytes:
    """A file of fixtures/payloads/station_daily."""
    return (FOLDER / name).read_bytes()
