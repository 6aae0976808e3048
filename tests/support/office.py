"""A whole weather office on loopback with one calm, dry, cool grid, and a configuration for it."""

import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO, TextIOWrapper
from pathlib import Path

import pytest
from support.nws_payloads import (
    NO_WEATHER,
    body,
    grid,
    hourly_layers,
    observations,
    point,
    stations,
)
from support.server import Reply

from windowcast.cli import main

NOW = "2027-01-12T06:00-08:00"
START = datetime(2027, 1, 12, 8, tzinfo=UTC)  # local midnight
ISSUED = datetime(2027, 1, 12, 10, 30, tzinfo=UTC)
HOURS = 180
LAT, LON = 45.9, -119.6
POINT, GRID = "/points/45.9,-119.6", "/gridpoints/ZZZ/10,20"
STATIONS, SEEN = f"{GRID}/stations", "/stations/XZZA/observations"


def day_and_night(low_c=2.0, high_c=7.0):
    """Cool nights, days in the best band, by the local hour."""
    return [high_c if 8 <= hour % 24 < 18 else low_c for hour in range(HOURS)]


def sound_grid(issued=ISSUED, start=START, lat=LAT, lon=LON, **hourly):
    told = {
        "temp_c": day_and_night(), "wind_kmh": [5.0] * HOURS, "wind_from_deg": [270] * HOURS,
        "rain_mm": [0.0] * HOURS, "rain_prob_percent": [0] * HOURS, "cloud_percent": [80] * HOURS,
    } | hourly  # fmt: skip
    layers = hourly_layers(start, mentions=[[NO_WEATHER]] * HOURS, **told)
    return grid(
        start=start, issued=issued, layers=layers, office="ZZZ", x=10, y=20, lat=lat, lon=lon
    )


def office_routes(answer=None):
    """Every address that a morning asks."""
    return {
        POINT: Reply(
            body=body(point(LAT, LON, office="ZZZ", x=10, y=20, tz="America/Los_Angeles"))
        ),
        GRID: Reply(body=body(answer or sound_grid())),
        STATIONS: Reply(body=body(stations([("XZZA", "Airfield", LAT, LON + 0.1)]))),
        SEEN: Reply(body=body(observations("XZZA", [], lat=LAT, lon=LON + 0.1))),
    }


def configured(folder: Path, base_url: str, more: str = "", deadline: str = "2 s", tries: int = 1):
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "yards.csv").write_text(f"key,name,lat,lon,doubles\nkiln,Kiln,{LAT},{LON},24\n")
    (folder / "outfit.toml").write_text(
        f"""name = "Vellamoor Bees"
contact = "office@vellamoor.example"
[fetch]
deadline = "{deadline}"
tries = {tries}
[[crews]]
name = "A"
start = "08:00"
end = "17:00"
days = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
[[sources]]
name = "nws"
base_url = "{base_url}"
{more}
"""
    )
    return folder


@dataclass(frozen=True)
class Ran:
    """What a run of the program left behind."""

    returncode: int
    stdout: str
    stderr: str


def windowcast(*words):
    """Run the program as a user does, in this process; a fault of its own is always a failure."""
    out, err = (TextIOWrapper(BytesIO(), encoding="utf-8", write_through=True) for _ in "oe")
    before = sys.argv
    sys.argv = ["windowcast", *map(str, words)]
    try:
        with redirect_stdout(out), redirect_stderr(err), pytest.raises(SystemExit) as ended:
            main()
    finally:
        sys.argv = before
    told = [stream.buffer.getvalue().decode() for stream in (out, err)]
    assert "Traceback" not in told[1], told[1]
    assert "fault of its own" not in told[1], told[1]
    return Ran(int(ended.value.code or 0), *told)


def morning(folder, *words):
    return windowcast("morning", "--config", folder, "--at", NOW, *words)
