import json
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from pydantic import ValidationError
from support.mornings import DAY, advice, dark, fit, local_time, morning, poor, use, usual, yard

from windowcast.terms.advice import Blind, WindTurn
from windowcast.terms.outlook import PAST, Hazard
from windowcast.units import f_to_c
from windowcast.wording.cautions import SENTENCES
from windowcast.wording.document import (
    MorningDocument,
    document_text,
    morning_document,
    morning_schema,
)
from windowcast.wording.gist import decision
from windowcast.wording.view import view_of

PROMISED = {
    "schema_version", "issued_at", "days", "yards", "blind", "sources", "cautions",
}  # fmt: skip
PROMISED_OF_DAY = {"day", "rank", "score", "verdict", "yards_served", "reason"}
PROMISED_OF_YARD_DAY = {
    "day", "score", "verdict", "start", "end", "usable_hours", "limited_by", "temp_low_f",
    "temp_high_f", "temp_low_c", "temp_high_c", "wind_from_deg", "wind_from",
}  # fmt: skip


def loaded(told, units="us"):
    return json.loads(document_text(told, units))


def test_every_promised_key_is_there():
    told = loaded(usual())
    assert set(told) >= PROMISED
    assert set(told["days"][0]) >= PROMISED_OF_DAY
    assert set(told["yards"][0]) >= {"key", "name", "days"}
    assert set(told["yards"][0]["days"][0]) >= PROMISED_OF_YARD_DAY
    assert set(told["blind"][0]) == {"key", "why"}
    assert set(told["sources"][0]) >= {"name", "issued_at", "hours", "age_h"}


def test_the_schema_requires_every_promised_key():
    schema = morning_schema()
    assert set(schema["required"]) >= PROMISED
    assert set(schema["$defs"]["YardDayDocument"]["required"]) >= PROMISED_OF_YARD_DAY
    assert schema["additionalProperties"] is False


def test_the_printed_document_fits_its_own_model():
    text = document_text(usual())
    assert MorningDocument.model_validate_json(text) == morning_document(usual())
    assert text.isascii()
    assert text.endswith("}\n")


def test_times_carry_the_offset_of_the_outfit_or_of_the_yard():
    pacific = "America/Los_Angeles"
    told = loaded(morning([advice("a", fit()), advice(yard("b", tz=pacific), fit(tz=pacific))]))
    assert told["issued_at"] == "2027-01-12T06:00:00-07:00"
    starts = [item["days"][0]["start"] for item in told["yards"]]
    assert starts == ["2027-01-12T08:00:00-07:00", "2027-01-12T08:00:00-08:00"]
    assert told["yards"][1]["days"][0]["end"] == "2027-01-12T12:00:00-08:00"


def test_a_day_tells_rank_verdict_and_a_whole_number_of_yards():
    day = loaded(usual())["days"][1]
    assert (day["day"], day["rank"], day["verdict"]) == ("2027-01-12", 2, "workable")
    assert day["yards_served"] == 3
    assert isinstance(day["yards_served"], int)
    assert day["reason"].startswith("3 of 5 yards can be treated")
    assert day["blind"] == ["dry-fork"]


def test_temperatures_are_told_in_both_units_to_a_tenth():
    score = fit(temp_low_c=f_to_c(35), temp_high_c=-0.04)
    day = loaded(morning([advice("a", score)]))["yards"][0]["days"][0]
    assert (day["temp_low_f"], day["temp_low_c"]) == (35.0, 1.7)
    assert (day["temp_high_f"], day["temp_high_c"]) == (31.9, 0.0)


def test_a_day_without_a_run_has_nulls():
    day = loaded(morning([advice("a", poor())]))["yards"][0]["days"][0]
    empty = ("start", "end", "temp_low_f", "temp_high_c", "wind_from_deg", "wind_from", "stand")
    assert [day[key] for key in empty] == [None] * 7
    assert (day["verdict"], day["usable_hours"], day["limited_by"]) == ("poor", 0, "temperature")
    assert day["reason"] == "Too warm."


def test_a_blind_yard_is_in_yards_without_days_and_in_blind():
    told = loaded(usual())
    assert [item["days"] for item in told["yards"] if item["key"] == "dry-fork"] == [[]]
    assert told["blind"] == [
        {"key": "dry-fork", "why": "nws: no answer for yard dry-fork in 3 tries"}
    ]


def test_a_dark_day_of_a_seen_yard_is_blind():
    told = loaded(morning([advice("a", fit(), dark(DAY + timedelta(days=1)))]))
    assert [day["verdict"] for day in told["yards"][0]["days"]] == ["good", "blind"]
    assert told["blind"] == []


def test_wind_is_told_in_degrees_and_letters():
    turn = WindTurn(hour=local_time(DAY, 10), before_deg=270.0, wind_from_deg=10.0)
    day = loaded(morning([advice("a", fit(wind_from_deg=359.97, wind_turns=(turn,)))]))
    told = day["yards"][0]["days"][0]
    assert (told["wind_from_deg"], told["wind_from"]) == (0.0, "N")
    assert told["wind_turns_at"] == "2027-01-12T10:00:00-07:00"
    assert told["stand"] == "Stand on the west side, from 10:00 on the north side: the wind turns."


def test_cautions_are_sentences_label_first():
    told = loaded(usual())["cautions"]
    assert told[0] == SENTENCES["label"]
    assert all(sentence.endswith(".") for sentence in told)


def test_the_headline_is_the_one_of_the_text():
    assert loaded(usual())["headline"] == decision(view_of(usual(), "us"))
    assert loaded(usual())["verdict_today"] == "workable"


def test_a_morning_without_today_is_blind_today():
    told = loaded(morning([advice("a", dark(), fit(DAY + timedelta(days=1)))]))
    assert told["verdict_today"] == "blind"


def test_units_change_sentences_and_no_number():
    us, si = loaded(usual(), "us"), loaded(usual(), "si")
    assert us["days"][2]["reason"] != si["days"][2]["reason"]
    assert us["yards"] == si["yards"]


def test_sources_tell_age_to_a_tenth_and_null_where_nobody_tells():
    sources = (use(age_h=21.04, derived=frozenset({"sun_wm2"})), use("om", age_h=None))
    told = loaded(morning([advice("a", fit())], sources=sources))["sources"]
    assert (told[0]["name"], told[0]["age_h"], told[0]["hours"]) == ("nws", 21.0, 240)
    assert told[0]["derived"] == ["sun_wm2"]
    assert (told[1]["age_h"], told[1]["issued_at"]) == (None, None)


def test_a_record_of_the_past_tells_its_kind_and_credit():
    sources = (use("daily", kind=PAST, spread=True, credit="By Example"),)
    told = loaded(morning([advice("a", fit())], sources=sources))["sources"][0]
    assert (told["kind"], told["spread"], told["credit"]) == ("past", True, "By Example")


def test_hazards_are_named_once():
    first = np.datetime64("2027-01-12T15", "h")
    twice = tuple(Hazard(phenomenon="HW", significance="W", first=first, count=n) for n in (1, 2))
    told = loaded(morning([advice("a", fit(hazards=twice))]))["yards"][0]["days"][0]
    assert told["hazards"] == ["high wind warning"]


def test_a_number_that_is_none_never_gets_out():
    with pytest.raises(ValidationError):
        document_text(morning([advice("a", fit(gust_mps=float("nan")))]))


def test_half_characters_of_a_name_do_not_break_the_document():
    told = loaded(morning([advice(yard("a", name="x\ud800y"), fit())]))
    assert told["yards"][0]["name"] == "x?y"


def test_a_day_across_the_clock_change_keeps_both_offsets():
    day = date(2026, 11, 1)
    crossing = fit(day, (0, 4))
    told = loaded(morning([advice("a", crossing)], issued_at=datetime(2026, 11, 1, 5, tzinfo=UTC)))[
        "yards"
    ][0]["days"][0]
    assert told["start"] == "2026-11-01T00:00:00-06:00"
    assert told["end"] == "2026-11-01T04:00:00-07:00"
    assert told["usable_hours"] == 5


def test_blind_reasons_are_kept_as_they_were_told():
    why = "nws: " + "no " * 100 + "answer"
    told = loaded(morning([advice("a", fit())], blind=[Blind(key="x", why=why)]))
    assert told["blind"] == [{"key": "x", "why": why}]
