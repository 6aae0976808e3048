"""The demo: the main job on an invented outfit, from payloads that a person can change."""

from __future__ import annotations

import csv
import json
import shutil
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from support import demo_weather
from support.office import windowcast
from support.tree import ROOT

AT = "2027-01-12T06:00-08:00"
CONFIG = ROOT / "config"
FLOOR = ("heron-slough", "mill-ditch", "pump-four")
BENCH = ("kiln", "quarry-bench")
GAP = ("long-fence", "three-gates")
PLAIN = ("owl-barn", "cinder-pit")
YARDS = {*FLOOR, *BENCH, *GAP, *PLAIN}

# What a person reads off the story: first and last hour and verdict, or why there are none.
TUESDAY = dict.fromkeys(FLOOR, ("10", "16", "good")) | dict.fromkeys(BENCH, ("08", "16", "good"))
TUESDAY |= dict.fromkeys(PLAIN, ("09", "16", "workable")) | dict.fromkeys(GAP, "wind")
SATURDAY = dict.fromkeys(FLOOR, ("08", "12", "workable")) | dict.fromkeys(GAP, "wind")
SATURDAY |= dict.fromkeys(BENCH, ("08", "13", "good")) | dict.fromkeys(PLAIN, ("08", "12", "good"))
SUNDAY = dict.fromkeys(YARDS, ("08", "16", "good"))
SUNDAY |= dict.fromkeys(FLOOR, ("08", "16", "workable"))  # under a flood warning
MONDAY = dict.fromkeys(FLOOR, ("08", "16", "good")) | dict.fromkeys(BENCH, ("10", "16", "good"))
MONDAY |= dict.fromkeys((*GAP, *PLAIN), ("09", "16", "good"))
TUESDAY_AFTER = dict.fromkeys((*BENCH, *GAP, *PLAIN), "wind")
TUESDAY_AFTER |= dict.fromkeys(FLOOR, ("08", "16", "workable"))
STORY = {
    "2027-01-12": TUESDAY,
    "2027-01-13": dict.fromkeys(YARDS, "temperature"),
    "2027-01-14": dict.fromkeys(YARDS, "temperature") | dict.fromkeys(BENCH, "rain"),
    "2027-01-15": dict.fromkeys(YARDS, "rain"),
    "2027-01-16": SATURDAY,
    "2027-01-17": SUNDAY,
    "2027-01-18": MONDAY,
    "2027-01-19": TUESDAY_AFTER,
}

# Places that lie within a day's drive of the demo's cells, or in its river's name.
REAL_PLACES = (
    "kennewick", "richland", "pasco", "prosser", "yakima", "umatilla", "hermiston", "boardman",
    "pendleton", "paterson", "plymouth", "mabton", "bickleton", "grandview", "sunnyside",
    "arlington", "goldendale", "walla", "columbia", "benton", "klickitat", "boise", "spokane",
)  # fmt: skip


def document(config: Path = CONFIG) -> dict[str, Any]:
    """The morning of the demo as a document."""
    ran = windowcast("morning", "--config", config, "--at", AT, "--json")
    return dict(json.loads(ran.stdout))


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """The demo's configuration beside its payloads, where a test may change them."""
    shutil.copytree(CONFIG, tmp_path / "config")
    shutil.copytree(demo_weather.FOLDER, tmp_path / "fixtures" / "payloads" / "demo")
    return tmp_path / "config"


def day_of(score: dict[str, Any]) -> object:
    """A yard-day in the short form of the story."""
    if score["verdict"] == "poor":
        return score["limited_by"]
    return score["start"][11:13], score["end"][11:13], score["verdict"]


def test_the_demo_needs_no_network_and_leaves_nothing_behind(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise AssertionError("the demo opens a socket")

    before = sorted(CONFIG.rglob("*"))
    monkeypatch.setattr(socket, "socket", refused)
    monkeypatch.setattr(socket, "getaddrinfo", refused)
    ran = windowcast("demo")
    assert ran.returncode == 0
    assert ran.stdout.startswith("Vellamoor Bees, Tue 12 Jan 2027, 06:00 PST\nGo today ")
    assert sorted(CONFIG.rglob("*")) == before


def test_the_demo_is_the_morning_of_the_configuration_in_the_tree() -> None:
    morning = windowcast("morning", "--config", CONFIG, "--at", AT)
    assert windowcast("demo").stdout == morning.stdout


def test_the_demo_says_on_stderr_that_it_is_invented() -> None:
    assert "invented" in windowcast("demo").stderr


def test_every_yard_is_seen_on_every_day_of_the_forecast() -> None:
    told = document()
    assert told["blind"] == []
    assert {yard["key"] for yard in told["yards"]} == YARDS
    for yard in told["yards"]:
        seen = [score["day"] for score in yard["days"] if score["verdict"] != "blind"]
        assert seen == list(STORY)


@pytest.mark.parametrize("day", STORY)
def test_a_day_is_what_a_person_reads_off_the_story(day: str) -> None:
    found = {
        yard["key"]: day_of(score)
        for yard in document()["yards"]
        for score in yard["days"]
        if score["day"] == day
    }
    assert found == STORY[day]


def test_a_copy_of_the_demo_gives_the_same_notice(copied: Path) -> None:
    assert windowcast("morning", "--config", copied, "--at", AT).stdout == windowcast("demo").stdout


def test_one_temperature_changed_in_one_payload_changes_the_notice(copied: Path) -> None:
    path = copied.parent / "fixtures" / "payloads" / "demo" / "gridpoints_VLM_61_40.json"
    answer = json.loads(path.read_text("utf-8"))
    (ten,) = [
        element
        for element in answer["properties"]["temperature"]["values"]
        if element["validTime"]
        == "2027-01-12T10:00:00-08:00/PT1H".replace("10:00:00-08", "18:00:00+00")
    ]
    assert ten["value"] == pytest.approx((35 - 32) / 1.8)
    ten["value"] = (34 - 32) / 1.8
    path.write_text(json.dumps(answer), encoding="utf-8")
    before, after = (
        windowcast("morning", "--config", folder, "--at", AT).stdout for folder in (CONFIG, copied)
    )
    assert "  10:00-16:00 good: heron-slough, mill-ditch, pump-four" in before.splitlines()
    assert "  11:00-16:00 good: heron-slough, mill-ditch, pump-four" in after.splitlines()


def test_the_payloads_are_those_that_the_generator_writes() -> None:
    kept = {path.name: path.read_text("utf-8") for path in demo_weather.FOLDER.iterdir()}
    assert kept == demo_weather.texts()


def test_every_payload_is_read_without_a_remark() -> None:
    ran = windowcast("check", "--online", "--config", CONFIG, "--at", AT, "--json")
    (source,) = json.loads(ran.stdout)["online"]["sources"]
    assert ran.returncode == 0
    assert (source["name"], source["requests"], source["remarks"]) == ("files", 0, [])


def elements(layer: str) -> Iterator[float]:
    """The values of a layer in all grids of the demo."""
    for path in demo_weather.FOLDER.glob("gridpoints_*.json"):
        told = json.loads(path.read_text("utf-8")).get("properties", {}).get(layer, {"values": []})
        yield from (element["value"] for element in told["values"])


@pytest.mark.parametrize(
    ("layer", "scale", "shift", "step"),
    [("temperature", 1.8, 32, 1), ("dewpoint", 1.8, 32, 1), ("windSpeed", 1 / 1.852, 0, 1),
     ("windGust", 1 / 1.852, 0, 1), ("windDirection", 1, 0, 10)],
)  # fmt: skip
def test_numbers_are_whole_in_the_units_of_a_forecaster(
    layer: str, scale: float, shift: float, step: float
) -> None:
    told = [value * scale + shift for value in elements(layer)]
    assert len(told) > 50
    assert [v for v in told if abs(v / step - round(v / step)) > 1e-9] == []


def test_the_demo_names_no_real_place() -> None:
    with (CONFIG / "yards.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["key"] for row in rows} == YARDS
    assert all(row["name"].lower().replace(" ", "-") == row["key"] for row in rows)
    assert all(45 < float(row["lat"]) < 47 and -120 < float(row["lon"]) < -119 for row in rows)
    texts = [
        path.read_text("utf-8") for path in (*CONFIG.glob("*.*"), *demo_weather.FOLDER.iterdir())
    ]
    everything = "\n".join(texts).lower().replace("america/boise", "")
    assert [place for place in REAL_PLACES if place in everything] == []
