"""Visits in words: the confirmation, the doubts, the list, and the documents."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest
from support.books import visit
from support.outlooks import yard

from windowcast.terms.doubt import Doubt, RoundMeant
from windowcast.terms.rounds import RoundDue, RoundPractice
from windowcast.terms.visit import Treated, VisitWeather
from windowcast.wording.plain import cost
from windowcast.wording.scale import SI, US
from windowcast.wording.visit_document import booked_document_text, visits_document_text
from windowcast.wording.visits import (
    booked_lines,
    colonies_words,
    doubt_sentence,
    no_round_sentence,
    stray_lines,
    total_line,
    undo_line,
    visit_lines,
    visit_sentence,
    weather_line,
    weather_words,
)

TZ = "America/Los_Angeles"
PRACTICE = RoundPractice()
KILN = yard(doubles=20)
WEATHER = VisitWeather(
    hour=datetime(2027, 1, 11, 18, tzinfo=UTC), source="nws", temp_c=5.0, wind_mps=2.5,
    wind_from_deg=110.0,
)  # fmt: skip
VISIT = visit(number=7, crew="A", weather=WEATHER)
DUE_2 = RoundDue(
    yard_key="kiln", state="waiting", round_no=2, earliest=date(2027, 1, 25),
    latest=date(2027, 2, 1), held_by="gap",
)  # fmt: skip

REST = "If the rest is dead or gone: strike this out, book it again with --whole."


def lines(done_frac: float, due: RoundDue, **changes: Any) -> list[str]:
    return booked_lines(replace(VISIT, **changes), KILN, done_frac, due, PRACTICE)


def test_a_half_done_yard_is_told_in_colonies() -> None:
    due = RoundDue(yard_key="kiln", state="open", round_no=1, done_frac=0.6)
    assert lines(0.6, due) == [
        "Booked visit 7: kiln, Mon 11 Jan 2027, round 1, 12 doubles (48 g), crew A, Ines.",
        f"kiln round 1: 12 of 20 colonies. {REST}",
    ]


def test_a_part_is_told_of_the_yard_as_it_was_and_never_as_the_whole() -> None:
    due = RoundDue(yard_key="kiln", state="open", round_no=1, done_frac=0.98)
    assert lines(0.5, due, of_colonies=24)[1] == f"kiln round 1: 12 of 24 colonies. {REST}"
    assert lines(0.98, due)[1] == f"kiln round 1: 19 of 20 colonies. {REST}"
    assert lines(1.0 - 1e-9, DUE_2)[1] == "kiln round 1: 20 of 20 colonies."


def test_a_round_that_a_person_calls_whole_is_told_as_that() -> None:
    said = lines(1.0, DUE_2, whole=True)
    assert said[0] == (
        "Booked visit 7: kiln, Mon 11 Jan 2027, round 1, whole: 12 doubles (48 g), crew A, Ines."
    )
    assert said[1] == "kiln round 1: the whole yard."
    assert "whole: 12 doubles" in visit_lines([replace(VISIT, whole=True)], US, 100)[1]
    assert "round 1, the whole yard" in visit_sentence(visit(number=3, treated=(), whole=True))


def test_yards_that_the_list_lacks_are_told_with_their_visits() -> None:
    some = [visit(yard_key=key) for key in ("old-kiln", "kiln", "old-kiln", "gone")]
    assert stray_lines(some, ["kiln"]) == [
        "2 visits of old-kiln, which is not in yards.csv: they count for no yard",
        "1 visit of gone, which is not in yards.csv: it counts for no yard",
    ]
    assert stray_lines(some, ["kiln", "gone", "old-kiln"]) == []


def test_many_yards_that_the_list_lacks_are_counted() -> None:
    some = [visit(yard_key=f"yard-{number}") for number in range(11)]
    told = stray_lines([*some, some[-1]], [])
    assert len(told) == 9
    assert told[-1] == "4 visits of 3 more such yards: they count for no yard"


def test_a_whole_yard_tells_when_the_next_round_is_due() -> None:
    assert lines(1.0, DUE_2, treated=())[1:] == [
        "kiln round 1: the whole yard.",
        "Round 2: from Mon 25 Jan 2027 to Mon 1 Feb 2027.",
    ]
    without_end = replace(DUE_2, latest=None)
    assert lines(1.0, without_end)[-1] == "Round 2: from Mon 25 Jan 2027 on."


def test_after_the_last_round_the_season_is_done() -> None:
    last = lines(1.0, RoundDue(yard_key="kiln", state="all_done"), round_no=2)[-1]
    assert last == "All 2 planned rounds of this season are done there."


def test_the_weather_says_of_which_hour_it_is() -> None:
    assert weather_line(VISIT, "", US, TZ) == (
        "Weather of 10:00, when it was logged: 41 °F, 6 mph E (nws)."
    )
    began = replace(VISIT, began_at=datetime(2027, 1, 11, 18, 30, tzinfo=UTC))
    assert weather_line(began, "", SI, TZ) == "Weather of 10:00: 5 °C, 9 km/h E (nws)."
    without = replace(VISIT, weather=None)
    assert weather_line(without, "nws: no\nanswer", US, TZ) == (
        "Kept without weather: nws: no answer."
    )


def test_weather_that_is_told_in_part_is_shown_in_part() -> None:
    hour = WEATHER.hour
    assert weather_words(VisitWeather(hour=hour, source="x"), US) == ""
    assert weather_words(VisitWeather(hour=hour, source="x", wind_mps=0.0), US) == "0 mph"
    assert weather_words(VisitWeather(hour=hour, source="x", temp_c=-5.0), SI) == "-5 °C"


def test_a_line_says_how_to_strike_it_out() -> None:
    assert undo_line(VISIT, ".").endswith("windowcast visits --undo 7")
    assert undo_line(VISIT, "my bees").endswith("--undo 7 --config 'my bees'")


def test_a_visit_without_a_count_is_one_of_the_whole_yard() -> None:
    told = visit_sentence(visit(number=3, treated=(), person=""))
    assert told == "visit 3: kiln, Mon 11 Jan 2027, round 1, the whole yard"
    assert colonies_words([Treated(kind="nucs_above", colonies=1)]) == "1 nuc above"


OTHER = visit(number=5, day=date(2027, 1, 4), treated=(Treated(kind="doubles", colonies=12),))
NAMED = "visit 5 (Mon 4 Jan 2027, round 1)"


@pytest.mark.parametrize(
    ("doubt", "told"),
    [
        (Doubt(code="more", kind="doubles", count=26, limit=20),
         "yards.csv has 20 doubles at kiln, and with this visit 26 would have round 2."),
        (Doubt(code="grams", kind="doubles", count=12),
         "The grams for 12 doubles are more than label.toml names for so many; check both."),
        (Doubt(code="skipped", count=1), "No round 1 is booked for kiln in this season by that"
         " day."),
        (Doubt(code="beyond", count=3, limit=2),
         "practice.toml plans 2 rounds a season, and this is round 2."),
        (Doubt(code="label_year", limit=2, fine_from=date(2027, 12, 20)),
         "label.toml names 2 applications a year at most, and this is one more: fine from Mon 20"
         " Dec 2027."),
        (Doubt(code="twice", other=OTHER),
         f"{NAMED}, 12 doubles, is of the same day, round and hives: a double entry?"),
        (Doubt(code="backwards", other=OTHER),
         f"{NAMED} is of a later round than this and was done before it."),
        (Doubt(code="gap", other=OTHER, count=7, limit=14, fine_from=date(2027, 1, 18)),
         f"This is 7 days after {NAMED}; practice.toml asks for 14 days: fine from Mon 18 Jan"
         " 2027."),
        (Doubt(code="label_days", other=replace(OTHER, day=date(2027, 1, 12)), count=1, limit=10),
         "This is 1 day before visit 5 (Tue 12 Jan 2027, round 1); label.toml asks for 10 days."),
        (Doubt(code="gap", other=replace(OTHER, day=date(2027, 1, 11)), limit=14,
               fine_from=date(2027, 1, 25)),
         "This is the same day as visit 5 (Mon 11 Jan 2027, round 1); practice.toml asks for 14"
         " days: fine from Mon 25 Jan 2027."),
        (Doubt(code="whole", other=OTHER),
         f"The whole of kiln has had round 2 already, last with {NAMED}."),
    ],
)  # fmt: skip
def test_every_doubt_is_one_sentence(doubt: Doubt, told: str) -> None:
    assert doubt_sentence(doubt, replace(VISIT, round_no=2), KILN) == told


def test_a_doubt_about_no_visit_is_a_broken_contract() -> None:
    with pytest.raises(ValueError, match="a doubt twice is about another visit"):
        doubt_sentence(Doubt(code="twice"), VISIT, KILN)


def test_why_a_person_must_say_the_round() -> None:
    told = no_round_sentence(RoundMeant(round_no=None), KILN, PRACTICE)
    assert (
        told == "kiln has all 2 planned rounds; say which round this one is of, such as --round 1"
    )
    later = RoundMeant(round_no=None, later=date(2027, 1, 20))
    assert no_round_sentence(later, KILN, PRACTICE).startswith(
        "kiln has a visit after it, on Wed 20 Jan 2027; say which"
    )


def test_the_list_has_one_line_for_a_visit() -> None:
    some = [VISIT, visit(number=8, treated=(), person="", note="a\nb")]
    heading, *told = [re.split("  +", line) for line in visit_lines(some, US, 100)]
    assert heading == ["no.", "day", "yard", "round colonies", "who", "weather", "note"]
    assert told == [
        ["7", "2027-01-11 kiln", "1", "12 doubles", "A, Ines", "41 °F, 6 mph E"],
        ["8", "2027-01-11 kiln", "1", "the whole yard", "a b"],
    ]
    assert total_line(some, "in all") == "2 visits in all, 12 colonies counted"
    assert total_line(some[1:], "in all") == "1 visit in all"


@pytest.mark.parametrize("width", [40, 72, 100])
def test_no_line_of_the_list_is_wider_than_its_room(width: int) -> None:
    wide = visit(
        number=123456, yard_key="場" * 40, person="x" * 150, crew="\x1b[31m".replace("\x1b", ""),
        note="long " * 90,
        treated=tuple(Treated(kind=k, colonies=90_000) for k in ("doubles", "nucs_above")),
    )  # fmt: skip
    for line in visit_lines([wide, VISIT], US, width):
        assert cost(line) <= width


def test_the_documents_carry_every_field() -> None:
    counted = replace(VISIT, of_colonies=24, whole=True)
    document = json.loads(visits_document_text([counted], {"kiln": TZ}, season=2026, yard=None))
    assert (document["schema_version"], document["season"], document["yard"]) == (1, 2026, None)
    (told,) = document["visits"]
    assert (told["number"], told["day"], told["began_at"]) == (7, "2027-01-11", None)
    assert (told["of_colonies"], told["whole"]) == (24, True)
    assert told["treated"] == [{"kind": "doubles", "colonies": 12, "grams": 48.0}]
    assert told["weather"]["hour"] == "2027-01-11T10:00:00-08:00"
    assert told["logged_at"] == "2027-01-12T05:40:00-08:00"


def test_a_yard_whose_zone_nobody_knows_stands_in_utc_in_the_document() -> None:
    document = json.loads(visits_document_text([VISIT], {}, season=None, yard="kiln"))
    assert document["visits"][0]["logged_at"] == "2027-01-12T13:40:00+00:00"


def test_the_document_of_a_booked_visit_says_what_is_due() -> None:
    document = json.loads(booked_document_text(VISIT, TZ, 0.6, DUE_2, "nws: no answer"))
    assert (document["done_share"], document["no_weather"]) == (0.6, "nws: no answer")
    assert (document["next"]["round"], document["next"]["earliest"]) == (2, "2027-01-25")
    assert document["visit"]["crew"] == "A"
