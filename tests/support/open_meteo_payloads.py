"""Writes answers of Open-Meteo's forecast interface in their documented form.

The numbers are invented; names, units and shape are those of the service's documentation.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "payloads" / "open_meteo"
START = datetime(2027, 1, 5, 7, tzinfo=UTC)  # midnight of 5 January in America/Boise

UNITS = {
    "temperature_2m": "°C", "dew_point_2m": "°C", "wind_speed_10m": "m/s",
    "wind_gusts_10m": "m/s", "wind_direction_10m": "°", "precipitation": "mm",
    "precipitation_probability": "%", "snowfall": "cm", "cloud_cover": "%",
    "shortwave_radiation": "W/m²", "weather_code": "wmo code",
}  # fmt: skip

Answer = dict[str, Any]


def weather(count: int) -> dict[str, list[float]]:
    """Invented hours: a mild calm first day, rain in the second night, then colder."""
    day = [math.sin(2 * math.pi * (n - 9) / 24) for n in range(count)]
    rainy = [30 <= n < 34 for n in range(count)]
    return {
        "temperature_2m": [round(5.0 + 4.0 * d - 0.05 * n, 1) for n, d in enumerate(day)],
        "dew_point_2m": [round(0.5 + 1.0 * d - 0.05 * n, 1) for n, d in enumerate(day)],
        "wind_speed_10m": [round(2.5 + 1.5 * d, 2) for d in day],
        "wind_gusts_10m": [round(5.0 + 3.0 * d, 1) for d in day],
        "wind_direction_10m": [float(240 + n % 40) for n in range(count)],
        "precipitation": [0.6 if wet else 0.0 for wet in rainy],
        "precipitation_probability": [80.0 if wet else 5.0 for wet in rainy],
        "snowfall": [0.07 if n == 33 else 0.0 for n in range(count)],
        "cloud_cover": [100.0 if wet else 40.0 for wet in rainy],
        "shortwave_radiation": [round(max(0.0, 380 * d), 1) for d in day],
        "weather_code": [61.0 if wet else 2.0 for wet in rainy],
    }


def answer(
    count: int = 48, *, start: datetime = START, lat: float = 43.61, lon: float = -116.2
) -> Answer:
    """One point, as asked for by the program: the place's zone, stamps in seconds of UTC."""
    stamps = [int((start + timedelta(hours=n)).timestamp()) for n in range(count)]
    return {
        "latitude": lat,
        "longitude": lon,
        "generationtime_ms": 0.214,
        "utc_offset_seconds": -25200,
        "timezone": "America/Boise",
        "timezone_abbreviation": "GMT-7",
        "elevation": 823.0,
        "hourly_units": {"time": "unixtime", **UNITS},
        "hourly": {"time": stamps, **weather(count)},
    }


def on_local_clock(told: Answer, offset_s: int) -> Answer:
    """The same answer with ISO stamps on a clock of constant offset."""
    moved = [
        datetime.fromtimestamp(stamp + offset_s, UTC).strftime("%Y-%m-%dT%H:%M")
        for stamp in told["hourly"]["time"]
    ]
    return {
        **told,
        "utc_offset_seconds": offset_s,
        "hourly_units": {**told["hourly_units"], "time": "iso8601"},
        "hourly": {**told["hourly"], "time": moved},
    }


def body(told: object) -> bytes:
    """The bytes on the wire."""
    return json.dumps(told, ensure_ascii=False).encode()


def changed(change: Callable[[Answer], Any], count: int = 48) -> bytes:
    """The usual answer after a change to it."""
    told = answer(count)
    change(told)
    return body(told)


def payload(name: str) -> bytes:
    """A file of fixtures/payloads/open_meteo."""
    return (FOLDER / name).read_bytes()
