"""Writes the demo's payloads from the story in ``demo_story``, in the weather service's form.

Run it as ``PYTHONPATH=tests python -m support.demo_weather``; the files in fixtures/payloads/demo
are what it writes, and a test holds the two equal.
"""

from __future__ import annotations

import csv
import json
import math
import re
from collections.abc import Sequence
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from support import demo_story as story
from support import nws_payloads as nws

TOP = Path(__file__).resolve().parents[2]
FOLDER = TOP / "fixtures" / "payloads" / "demo"
YARDS = TOP / "config" / "yards.csv"
OFFICE = "VLM"  # invented, as are the stations
TZ = "America/Los_Angeles"
LOCAL = timezone(timedelta(hours=-8))
START = datetime(2027, 1, 11, 22, tzinfo=LOCAL)
ISSUED = datetime(2027, 1, 12, 3, 12, 41, tzinfo=LOCAL)
HOURS = 188
RAIN_TOLD_H = 156  # offices tell amounts of rain for fewer days than chances
STATIONS = (
    ("VLM01", "Vellamoor Floor", story.FLOOR, 45.94, -119.6),
    ("VLM02", "Vellamoor Bench", story.BENCH, 46.09, -119.81),
)
PAST_DAYS = 7
# Lowest and highest °F and the day's rain in mm on the floor, one pair a day from 5 January on.
PAST = ((31, 36, 0.0), (30, 37, 0.0), (33, 41, 0.0), (36, 44, 3.0), (35, 42, 1.2), (31, 40, 0.0),
        (29, 41, 0.0), (30, 40, 0.0))  # fmt: skip


def told(rows: Sequence[str]) -> list[tuple[int, float]]:
    """(hours since START, value) of rows of "hour:value", one row a day."""
    midnight = datetime.fromisoformat(story.DAYS[0]).replace(tzinfo=LOCAL)
    shift = round((midnight - START) / timedelta(hours=1))
    return [
        (shift + 24 * day + int(hour), float(value))
        for day, row in enumerate(rows)
        for hour, value in (pair.split(":") for pair in row.split())
    ]


def straight(rows: Sequence[str]) -> list[float]:
    """Whole numbers, hour by hour, on straight lines between the told hours."""
    points = told(rows)
    series = []
    for hour in range(HOURS):
        before = max((p for p in points if p[0] <= hour), key=lambda p: p[0])
        after = min((p for p in points if p[0] >= hour), key=lambda p: p[0], default=before)
        share = (hour - before[0]) / (after[0] - before[0]) if after[0] > before[0] else 0.0
        series.append(float(math.floor(before[1] + share * (after[1] - before[1]) + 0.5)))
    return series


def steps(rows: Sequence[str]) -> list[float]:
    """Hour by hour, each told value until the next one."""
    points = told(rows)
    return [max(p for p in points if p[0] <= hour)[1] for hour in range(HOURS)]


def since_start(local_hour: str) -> int:
    """Hours from START to a local hour such as 2027-01-14T04."""
    moment = datetime.fromisoformat(f"{local_hour}:00").replace(tzinfo=LOCAL)
    return round((moment - START) / timedelta(hours=1))


def periods(column: int, untold: float, share: float = 1.0) -> list[float]:
    """One column of the story's six-hour periods, hour by hour."""
    series = [untold] * HOURS
    for first, row in story.PERIODS.items():
        begin = since_start(first)
        for hour in range(max(begin, 0), min(begin + 6, HOURS)):
            series[hour] = row[column] * share
    return series


def amounts_mm(column: int, share: float = 1.0) -> list[float | None]:
    """Inches of a six-hour period as mm of each hour, untold past the reach of amounts."""
    hourly = [inches * 25.4 / 6 for inches in periods(column, 0.0, share)]
    return [amount if hour < RAIN_TOLD_H else None for hour, amount in enumerate(hourly)]


def mentions(cell: story.Cell, temp_f: Sequence[float]) -> list[list[dict[str, Any]]]:
    """What the sky does in words, hour by hour."""
    frozen = "snow" if cell is story.BENCH else story.FREEZING_RAIN
    hourly: list[list[dict[str, Any]]] = [[] for _ in range(HOURS)]
    for first, last, weather, coverage, intensity in story.MENTIONS:
        for hour in range(max(since_start(first), 0), min(since_start(last), HOURS)):
            falls = frozen if temp_f[hour] <= 32 else "rain"
            word = falls if weather == story.FREEZING_RAIN else weather
            hourly[hour].append(nws.mention(word, coverage, intensity))
    return [hour or [nws.NO_WEATHER] for hour in hourly]


def hazards(cell: story.Cell) -> dict[str, Any]:
    """Official hazards of a cell."""
    listed = []
    for first, last, code in cell.warned:
        begin = since_start(first)
        phenomenon, significance = code.split(".")
        when = START + timedelta(hours=begin)
        listed.append((when, since_start(last) - begin, phenomenon, significance))
    return nws.hazards(listed)


def layers(cell: story.Cell) -> dict[str, Any]:
    """All layers of a cell."""
    temp_f = straight(cell.temp_f)
    below = straight(story.DEWPOINT_BELOW_DF)
    knots = straight(cell.wind_kt)
    gusts = [float(round(1.45 * speed)) + 1 for speed in knots]
    snow = amounts_mm(3) if cell is story.BENCH else [0.0] * RAIN_TOLD_H
    return {
        **nws.hourly_layers(
            START,
            temp_c=[nws.from_f(temp) for temp in temp_f],
            dewpoint_c=[nws.from_f(temp - gap) for temp, gap in zip(temp_f, below, strict=True)],
            cloud_percent=straight(story.SKY_PERCENT),
            wind_kmh=[speed * 1.852 for speed in knots][:-1],
            gust_kmh=[speed * 1.852 for speed in gusts][:-1],
            wind_from_deg=steps(story.WIND_FROM_DEG)[:-1],
            rain_prob_percent=periods(0, 3.0),
            rain_mm=amounts_mm(1, cell.rain_share),
            ice_mm=amounts_mm(2, 0.0 if cell is story.BENCH else 1.0),
            snow_mm=snow,
            mentions=mentions(cell, temp_f),
        ),
        "hazards": hazards(cell),
    }


def grid(cell: story.Cell) -> dict[str, Any]:
    """The raw grid answer of a cell."""
    answer = nws.grid(
        start=START.astimezone(ISSUED.tzinfo), issued=ISSUED, layers=layers(cell), office=OFFICE,
        x=cell.x, y=cell.y, lat=cell.lat_deg, lon=cell.lon_deg, elev_m=cell.elev_m,
    )  # fmt: skip
    answer["properties"]["validTimes"] = nws.interval(START, HOURS)
    return answer


def past_reports(warmer_df: float) -> list[dict[str, Any]]:
    """Hourly reports of the week before, a cosine from low to high each day, to 05:53 today."""
    reports = []
    first = datetime(2027, 1, 5, 5, 53, tzinfo=LOCAL)
    for hour in range(PAST_DAYS * 24 + 1):
        at = first + timedelta(hours=hour)
        low, high, rain = PAST[(at.date() - first.date()).days]
        swing = math.cos((at.hour + at.minute / 60 - 15) * math.pi / 12)
        temp_f = round((low + high) / 2 + (high - low) / 2 * swing + warmer_df)
        wet = rain > 0 and 4 <= at.hour < 16
        report = nws.observation(
            at, temp_c=round(nws.from_f(temp_f), 1), dewpoint_c=round(nws.from_f(temp_f - 4), 1),
            wind_kmh=1.852 * (3 + hour % 4), wind_from_deg=100.0 if at.hour < 12 else 240.0,
            rain_mm=round(rain / 12, 2) if wet else 0.0, cloud=("OVC" if wet else "FEW",),
            raw="VLM AUTO",
        )  # fmt: skip
        reports.append(report)
    return reports


def payloads(yards: Sequence[tuple[float, float]]) -> dict[str, Any]:
    """Every answer that the demo needs, by its path at the service; yards are (lat, lon)."""
    answers: dict[str, Any] = {}
    for lat, lon in yards:
        cell = min(story.CELLS, key=lambda c: math.hypot(c.lat_deg - lat, c.lon_deg - lon))
        answers[f"/points/{lat:g},{lon:g}"] = nws.point(
            lat, lon, office=OFFICE, x=cell.x, y=cell.y, tz=TZ
        )
    for cell in story.CELLS:
        path = f"/gridpoints/{OFFICE}/{cell.x},{cell.y}"
        nearest = sorted(
            STATIONS, key=lambda s: math.hypot(s[3] - cell.lat_deg, s[4] - cell.lon_deg)
        )
        answers[path] = grid(cell)
        answers[f"{path}/stations"] = nws.stations(
            [(key, name, lat, lon) for key, name, _, lat, lon in nearest]
        )
    for key, _, cell, lat, lon in STATIONS:
        reports = past_reports(-2.0 if cell is story.BENCH else 0.0)
        answers[f"/stations/{key}/observations"] = nws.observations(key, reports, lat=lat, lon=lon)
    return answers


def written(value: object, depth: int = 0) -> str:
    """JSON with what fits a line on one line, so that a person can read and change a value."""
    flat = json.dumps(value)
    if len(flat) <= 150 - depth or not isinstance(value, dict | list) or not value:
        return flat
    pad = "\n" + " " * (depth + 1)
    if isinstance(value, dict):
        inner = [f"{json.dumps(key)}: {written(item, depth + 1)}" for key, item in value.items()]
        return "{" + pad + f",{pad}".join(inner) + "\n" + " " * depth + "}"
    return (
        "[" + pad + f",{pad}".join(written(item, depth + 1) for item in value) + f"\n{' ' * depth}]"
    )


def yards_of(table: Path) -> list[tuple[float, float]]:
    """Latitude and longitude of each row of a yards.csv."""
    with table.open(encoding="utf-8", newline="") as file:
        return [(float(row["lat"]), float(row["lon"])) for row in csv.DictReader(file)]


def texts() -> dict[str, str]:
    """What each file of the demo's folder holds, by its name."""
    return {
        f"{re.sub('[/,]', '_', path.strip('/'))}.json": written(answer) + "\n"
        for path, answer in payloads(yards_of(YARDS)).items()
    }


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, text in texts().items():
        (FOLDER / name).write_text(text, encoding="utf-8")
