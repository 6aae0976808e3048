"""``windowcast seen`` as a person types it: every form, and every way to get it wrong."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime, timedelta

import pytest
from support.office import windowcast
from support.reporting import booked, outfit, plain, typed

from windowcast.terms.report import (
    BloomSeen,
    BroodSeen,
    MiteBoard,
    MiteWash,
    PollenSeen,
    RainMeasured,
    RoadSeen,
)

FORMS = [
    ("brood none", BroodSeen(stage="none")),
    ("brood Capped --colonies 3 --of 10", BroodSeen(stage="capped", colonies=3, looked_into=10)),
    ("pollen yes --plant Red_Maple", PollenSeen(coming=True, plant="red_maple")),
    ("pollen no", PollenSeen(coming=False)),
    ("mites 6 --bees 300", MiteWash(mites=6, bees=300)),
    ("mites 6 --bees 300 --colony 14", MiteWash(mites=6, bees=300, colony="14")),
    ("mites 12 --board-days 2.5", MiteBoard(mites=12, over_d=2.5)),
    ("road rutted", RoadSeen(footing="rutted")),
    ("rain 0.8in", RainMeasured(rain_mm=0.8 * 25.4)),
    ("rain 0.8 in --days 2", RainMeasured(rain_mm=0.8 * 25.4, over_d=2.0)),
    ("rain 20mm", RainMeasured(rain_mm=20.0)),
    ("bloom Red  Maple first", BloomSeen(plant="red maple", stage="first")),
    ("bloom hazel over", BloomSeen(plant="hazel", stage="over")),
]


@pytest.fixture
def folder(tmp_path):
    return outfit(tmp_path / "bees")


@pytest.mark.parametrize(("line", "seen"), FORMS)
def test_every_form_is_kept_as_it_was_meant(folder, line, seen):
    ran = typed(folder, "seen", "kiln", *line.split())
    assert (ran.returncode, ran.stdout) == (0, "")
    (report,) = booked(folder)
    assert (report.yard_key, report.seen) == ("kiln", seen)
    assert "undo with `windowcast reports --undo 1`" in ran.stderr


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("brood", "nothing stands where one none|eggs|open|capped is wanted"),
        ("brood lots", '"lots" is not known; the form is: brood none|eggs|open|capped'),
        ("brood open capped", '"open capped" stands where one'),
        ("brood open --colonies 3", "write both numbers or neither"),
        ("brood open --colonies 3 --of 2", "is not a whole number from 0 to 2"),
        ("brood open --bees 300", "--bees goes with mites, not with brood"),
        ("pollen maybe", "the form is: pollen yes|no [--plant P]"),
        ("mites", "mites COUNT --bees N [--colony ID] or mites COUNT --board-days D"),
        ("mites 6", "a wash has --bees and a board has --board-days, and neither is given"),
        ("mites 6 --bees 300 --board-days 3", "both --bees and --board-days is given"),
        ("mites many --bees 300", '"many" is no count of mites'),
        ("mites 300 --bees 6", "write the mites first and then the bees"),
        ("mites 6 --bees 0", "bees 0 is not a whole number from 1"),
        ("mites 6 --board-days 0", "0.0 days are not more than 0"),
        ("mites 6 --board-days nan", "nan days are not more than 0"),
        ("mites 6 --bees few", "--bees"),
        ("mites 6 --bees 300 --days 2", "--days goes with rain, not with mites"),
        ("road wet", "the form is: road firm|soft|rutted|stuck"),
        ("road firm --plant hazel", "--plant goes with pollen, not with road"),
        ("rain", "rain wants a depth"),
        ("rain 0.8", '0.8 has no unit; write "0.8 in" or "0.8 mm"'),
        ("rain 0,8in", 'write "0.8in"'),
        ("rain 3ft", '"ft" is not a unit of depth'),
        ("rain 900in", "is not from 0 to 2000 mm"),
        ("bloom hazel", "bloom wants a plant, and first or over"),
        ("bloom hazel full", "the form is: bloom PLANT first|over"),
        ("queen yes", '"queen" is nothing that can be seen; use brood, pollen, mites'),
        ("road firm --at 2999-01-01T00:00+00:00", "2999"),
        ("road firm --at soon", '"soon" is not a time; write one such as 07:40'),
        ("road firm --at 25:10", "is no time of day"),
        ("road firm --at 2026-13-01T08:00", "is not a day"),
        ("road firm --at 2150-01-01T08:00", "is still to come"),
    ],
)
def test_wrong_use_is_one_sentence_with_the_right_form(folder, line, said):
    ran = typed(folder, "seen", "kiln", *line.split())
    assert ran.returncode == 2
    assert said in plain(ran.stderr)
    assert booked(folder) == ()


def test_a_yard_that_is_none_is_told_the_nearest(folder):
    ran = typed(folder, "seen", "klin", "road", "firm")
    assert ran.returncode == 2
    assert 'did you mean "kiln"?' in plain(ran.stderr)


@pytest.mark.parametrize(
    ("at", "instant"),
    [
        ("2025-01-12 07:40", datetime(2025, 1, 12, 15, 40, tzinfo=UTC)),
        ("2025-01-12T07:40", datetime(2025, 1, 12, 15, 40, tzinfo=UTC)),
        ("2025-07-12 7:40", datetime(2025, 7, 12, 14, 40, tzinfo=UTC)),
        ("2025-01-12T07:40-05:00", datetime(2025, 1, 12, 12, 40, tzinfo=UTC)),
        ("2024-11-03 01:30", datetime(2024, 11, 3, 8, 30, tzinfo=UTC)),
        ("2024-03-10 02:30", datetime(2024, 3, 10, 10, 30, tzinfo=UTC)),
    ],
)
def test_a_time_without_offset_is_read_on_the_yard_s_clock(folder, at, instant):
    assert typed(folder, "seen", "kiln", "road", "soft", "--at", at).returncode == 0
    assert booked(folder)[0].at == instant


def test_yesterday_is_the_day_before_on_the_yard_s_calendar(folder):
    before = datetime.now(UTC)
    typed(folder, "seen", "kiln", "road", "soft", "--at", "yesterday 12:00")
    report = booked(folder)[0]
    assert timedelta(hours=11) < report.logged_at - report.at < timedelta(hours=37)
    assert report.logged_at >= before


def test_without_a_known_zone_an_offset_is_demanded(tmp_path):
    folder = outfit(tmp_path, zone="")
    ran = typed(folder, "seen", "kiln", "road", "soft", "--at", "2025-01-12 07:40")
    assert ran.returncode == 2
    assert "write the offset from UTC too" in plain(ran.stderr)
    later = typed(folder, "seen", "kiln", "road", "soft", "--at", "2025-01-12T07:40-08:00")
    assert later.returncode == 0
    assert "07:40" in later.stderr  # by the sun, since no clock is known


def test_the_confirmation_says_what_was_understood_and_that_the_notice_makes_nothing_of_it(folder):
    ran = typed(
        folder, "seen", "Heron slough", "rain", "20mm", "--at", "2025-01-12 07:40",
        "--person", " Ines ", "--note", "gauge\nby the gate",
    )  # fmt: skip
    assert ran.stderr == (
        "report 1: heron-slough, Sun 12 Jan 2025 07:40: rain 0.79 in in a day (Ines);"
        " undo with `windowcast reports --undo 1`\n"
        "The book keeps it; the notice of this version does not reckon with it yet.\n"
    )
    assert booked(folder)[0].note == "gauge\nby the gate"


def test_json_is_the_report_and_nothing_is_said(folder):
    ran = typed(folder, "seen", "kiln", "mites", "6", "--bees", "300", "--json")
    (told,) = json.loads(ran.stdout)["reports"]
    assert (told["number"], told["kind"], told["mites"], told["bees"]) == (1, "mites", 6, 300)
    assert told["over_d"] is None
    assert ran.stderr == ""


def test_the_help_shows_every_form():
    told = plain(windowcast("seen", "--help").stdout)
    for form in ("brood none|eggs|open|capped", "pollen yes|no", "mites COUNT --bees N"):
        assert f"seen YARD {form}" in told
    for form in ("mites COUNT --board-days D", "road firm|soft", "rain 0.8in", "bloom PLANT"):
        assert f"seen YARD {form}" in told
    assert re.search(r"Example: windowcast seen kiln mites 6 --bees 300", told)
