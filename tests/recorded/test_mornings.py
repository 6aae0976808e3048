"""Whole mornings on two recorded grids, each served over real HTTP at its own morning.

Expected days, hours and limits were worked out by hand from the numbers of the files (plain
loops over the JSON and a pocket calculator), apart from the program. Crews work 08:00-17:00.
"""

import json
import os
import re
import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from support.server import Reply, WeatherServer, json_reply

pytestmark = pytest.mark.recorded

TAE = "gridpoint_TAE_58_65_2022-02-04T0315Z.json"
BMX = "gridpoint_BMX_59_84_2024-02-20T1515Z_times_restored.json"
POINTS = {TAE: "points_30_-85_TAE.json", BMX: "points_33.521_-86.812_BMX.json"}
PLACES = {TAE: ("gulf", "30.0", "-85.0", 30), BMX: ("hill", "33.521", "-86.812", 10)}
PATHS = {
    TAE: ("/points/30,-85", "/gridpoints/TAE/58,65"),
    BMX: ("/points/33.521,-86.812", "/gridpoints/BMX/59,84"),
}


def recorded(name):
    return (Path(os.environ["WINDOWCAST_RECORDED"]) / "nws" / name).read_bytes()


def moved(body, days):
    """The same grid with every time moved by whole days."""

    def later(match):
        moment = datetime.fromisoformat(match.group()) + timedelta(days=days)
        return moment.isoformat()

    return re.sub(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00", later, body.decode()).encode()


def routes(name, body=None):
    point, grid = PATHS[name]
    return {
        point: Reply(body=recorded(POINTS[name])),
        grid: Reply(body=body or recorded(name)),
        f"{grid}/stations": json_reply({"type": "FeatureCollection", "features": []}),
    }


def configured(folder, server, *names):
    rows = [
        f"{key},{key},{lat},{lon},{count}"
        for key, lat, lon, count in (PLACES[name] for name in names)
    ]
    (folder / "yards.csv").write_text("\n".join(["key,name,lat,lon,doubles", *rows]) + "\n")
    (folder / "outfit.toml").write_text(
        f"""
        name = "Recorded"
        contact = "office@vellamoor.example"
        [[crews]]
        name = "A"
        start = "08:00"
        end = "17:00"
        days = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
        [[sources]]
        name = "nws"
        base_url = "{server.url}"
        """
    )


def windowcast(*words):
    ran = subprocess.run(
        [sys.executable, "-m", "windowcast", *map(str, words)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
    assert "Traceback" not in ran.stderr
    return ran


def morning(folder, at, *names, bodies=None):
    told = {}
    for name in names:
        told |= routes(name, (bodies or {}).get(name))
    with WeatherServer(told) as server:
        configured(folder, server, *names)
        words = ("morning", "--config", folder, "--at", at)
        document, text = windowcast(*words, "--json"), windowcast(*words)
    assert (document.returncode, text.returncode) == (0, 0), document.stderr + text.stderr
    return json.loads(document.stdout), text.stdout


def days_of(document, key):
    """(day, verdict, start hour, end hour, limited_by) of the days that can be seen."""
    (yard,) = [yard for yard in document["yards"] if yard["key"] == key]
    return [
        (
            day["day"][5:],
            day["verdict"],
            day["start"] and int(day["start"][11:13]),
            day["end"] and int(day["end"][11:13]),
            day["limited_by"],
        )
        for day in yard["days"]
        if day["verdict"] != "blind"
    ]


GULF = [
    ("02-04", "poor", None, None, "temperature"),  # 60s F and 14 mm of rain
    ("02-05", "workable", 8, 13, "temperature"),  # 40 to 50 F, north wind of 9 to 12 mph
    ("02-06", "good", 8, 12, None),
    ("02-07", "good", 8, 11, None),
    ("02-08", "good", 8, 11, None),
    ("02-09", "good", 8, 11, None),
    ("02-10", "good", 8, 10, None),  # rain by chance alone from the hour where amounts end
]
HILL = [
    ("02-21", "poor", 8, 9, "temperature"),  # one usable hour, 44 F; 51 F at nine, 56 F at ten
    ("02-22", "poor", None, None, "wind"),
    ("02-23", "poor", None, None, "wind"),
    ("02-24", "workable", 8, 10, "temperature"),
    ("02-25", "workable", 8, 10, "temperature"),
    ("02-26", "poor", None, None, "temperature"),
    ("02-27", "poor", None, None, "temperature"),
]


def test_the_gulf_morning_of_4_february_2022(tmp_path):
    document, text = morning(tmp_path, "2022-02-04T06:00-05:00", TAE)
    assert days_of(document, "gulf") == GULF
    best = {day["day"][5:]: round(day["score"], 4) for day in document["days"]}
    assert best == {"02-04": 0.0, "02-05": 0.5811, "02-06": 1.0, "02-07": 1.0, "02-08": 1.0,
                    "02-09": 1.0, "02-10": 0.8544}  # fmt: skip
    order = [day["day"][5:] for day in document["days"]]
    assert order == ["02-06", "02-07", "02-08", "02-09", "02-10", "02-05", "02-04"]
    (source,) = document["sources"]
    assert (source["name"], round(source["age_h"], 1)) == ("nws", 7.7)
    assert text.splitlines()[1].lower().startswith("no go today")


def test_the_temperatures_and_winds_of_the_gulf_runs(tmp_path):
    document, _ = morning(tmp_path, "2022-02-04T06:00-05:00", TAE)
    runs = {day["day"][5:]: day for day in document["yards"][0]["days"]}
    ranges = {day: (run["temp_low_f"], run["temp_high_f"]) for day, run in runs.items()}
    assert ranges["02-05"] == (40.0, 50.0)
    assert ranges["02-07"] == (44.0, 49.0)
    assert ranges["02-04"] == (None, None)
    assert runs["02-05"]["wind_from"] == "N"
    assert runs["02-05"]["wind_from_deg"] == pytest.approx(10.0, abs=0.05)
    assert runs["02-06"]["start"] == "2022-02-06T08:00:00-05:00"


def test_the_hill_morning_of_21_february_2024(tmp_path):
    document, text = morning(tmp_path, "2024-02-21T06:00-06:00", BMX)
    assert days_of(document, "hill") == HILL
    order = [(day["day"][5:], round(day["score"], 4)) for day in document["days"][:2]]
    assert order == [("02-24", 0.6394), ("02-25", 0.6066)]
    (source,) = document["sources"]
    assert round(source["age_h"]) == 21
    assert "forecast 21 h old" in text
    assert datetime.fromisoformat(source["issued_at"]).isoformat() == "2024-02-20T09:15:12-06:00"


def test_both_grids_in_one_morning_across_two_zones(tmp_path):
    shifted = moved(recorded(TAE), 748)  # 4 February 2022 becomes 22 February 2024
    document, _ = morning(tmp_path, "2024-02-22T06:00-06:00", TAE, BMX, bodies={TAE: shifted})
    gulf = [(f"02-{22 + n}", *rest) for n, (_, *rest) in enumerate(GULF)]
    assert days_of(document, "gulf") == gulf
    assert days_of(document, "hill") == HILL[1:]
    gulf_first, hill_first = (yard["days"][2]["start"] for yard in document["yards"])
    assert (gulf_first[-6:], hill_first[-6:]) == ("-05:00", "-06:00")
    days = [
        (day["day"][5:], day["verdict"], day["yards_served"], round(day["score"], 4))
        for day in document["days"]
    ]
    assert days == [  # three quarters of the colonies stand on the gulf, one quarter on the hill
        ("02-24", "good", 2, 0.9098),  # 3/4 of 1 and 1/4 of 0.6394
        ("02-25", "good", 2, 0.9017),
        ("02-28", "good", 1, 0.8544),  # the hill's forecast has ended: the gulf counts alone
        ("02-26", "good", 1, 0.75),  # exactly the limit
        ("02-27", "good", 1, 0.75),
        ("02-23", "poor", 1, 0.4358),  # 3/4 of 0.5811
        ("02-22", "poor", 0, 0.0),
    ]
    assert {day["day"][5:]: day["blind"] for day in document["days"]}["02-28"] == ["hill"]
