"""Writes archives of invented Open-Meteo answers beside what came, as an outfit may keep them.

Three mornings at one place. What came is a smooth daily wave; each forecast tells it too warm, by
as many C° as the day lies ahead, so that every figure of merit is known beforehand. Written to
``fixtures/payloads/open_meteo_archive`` by ``PYTHONPATH=tests python -m
support.open_meteo_archives``.
"""

from __future__ import annotations

import json
import math
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "payloads" / "open_meteo_archive"
OFFSET_S = -25200  # Mountain Standard Time
CLOCK = timezone(timedelta(seconds=OFFSET_S))
FIRST = datetime(2027, 1, 5, tzinfo=CLOCK)
MORNINGS, DAYS = 3, 3
UNITS = {
    "time": "iso8601", "temperature_2m": "°F", "windspeed_10m": "mp/h", "rain": "inch",
    "showers": "inch", "snowfall": "inch", "precipitation_probability": "%",
}  # fmt: skip

Line = dict[str, Any]


def weather(clock: datetime, too_warm_dc: int = 0) -> dict[str, float]:
    """Everything told for one stamp: mild days, a shower before ten in the morning of 6 January."""
    wave_c = 8.0 + 5.0 * math.sin(2 * math.pi * (clock.hour - 9) / 24)
    wet = clock == datetime(2027, 1, 6, 10, tzinfo=CLOCK)
    return {
        "temperature_2m": round(wave_c * 1.8 + 32.0, 1) + 1.8 * too_warm_dc,
        "windspeed_10m": 4.0 + clock.hour % 3,
        "rain": 0.1 if wet else 0.0,
        "showers": 0.0,
        "snowfall": 0.0,
        "precipitation_probability": 80.0 if wet else 5.0,
    }


def line(morning: int) -> Line:
    """One line of the archive: the answer of six in the morning, so many days after the first."""
    midnight = FIRST + timedelta(days=morning)
    stamps = [midnight + timedelta(hours=n) for n in range(24 * DAYS)]
    told = [weather(stamp, (stamp - midnight).days) for stamp in stamps]
    hourly = {name: [round(hour[name], 1) for hour in told] for name in told[0]}
    return {
        "issued_local": (midnight + timedelta(hours=6)).strftime("%Y-%m-%dT%H:%M"),
        "response": {
            "latitude": 43.61,
            "longitude": -116.2,
            "utc_offset_seconds": OFFSET_S,
            "timezone": "America/Boise",
            "elevation": 823.0,
            "hourly_units": UNITS,
            "hourly": {"time": [f"{stamp:%Y-%m-%dT%H:%M}" for stamp in stamps], **hourly},
        },
    }


def archive(lines: list[Any]) -> bytes:
    """The bytes of an archive."""
    return b"".join(json.dumps(each, ensure_ascii=False).encode() + b"\n" for each in lines)


def usual() -> bytes:
    """Three mornings, and an error that came in place of the fourth."""
    error = {"error": True, "reason": "The service is busy"}
    return archive(
        [*map(line, range(MORNINGS)), {"issued_local": "2027-01-08T06:00", "response": error}]
    )


def table(days: int = MORNINGS + DAYS - 1) -> list[list[str]]:
    """Rows of what came, the header first."""
    names = [name for name in UNITS if name != "time"]
    rows = [["time_local", "utc_offset_seconds", "time_utc", *names]]
    for n in range(24 * days):
        clock = FIRST + timedelta(hours=n)
        told = weather(clock)
        rows.append(
            [
                f"{clock:%Y-%m-%dT%H:%M}",
                str(OFFSET_S),
                f"{clock.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}",
                *(f"{told[name]:g}" for name in names),
            ]
        )
    return rows


def csv_of(rows: list[list[str]]) -> bytes:
    """The bytes of a table."""
    return "".join(",".join(row) + "\n" for row in rows).encode()


def payload(name: str) -> bytes:
    """A file of fixtures/payloads/open_meteo_archive."""
    return (FOLDER / name).read_bytes()


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / "issued.jsonl").write_bytes(usual())
    (FOLDER / "came.csv").write_bytes(csv_of(table()))
