from dataclasses import replace
from datetime import UTC, date, datetime, time

from support.mornings import DAY, advice, fit, morning, poor, use, yard

from windowcast.terms.outlook import PAST, Origin
from windowcast.terms.yard import Crew
from windowcast.wording.provenance import (
    clock_notes,
    credit_lines,
    made_sentences,
    remark_sentences,
    source_sentences,
)
from windowcast.wording.view import view_of


def view(*sources, **changes):
    return view_of(morning([advice("kiln", fit())], sources=sources, **changes), "us")


def test_a_forecast_tells_age_issue_hours_and_place():
    assert source_sentences(view(use(age_h=21.0, detail="grid BOI 59,84"))) == [
        "nws: forecast 21 h old, issued Mon 11 Jan 09:00, up to 240 hours a yard, grid BOI 59,84."
    ]


def test_places_of_one_source_are_counted_and_the_oldest_tells_the_age():
    shown = source_sentences(view(use(age_h=1.0, detail="a"), use(age_h=3.0, detail="b", hours=9)))
    assert shown == [
        "nws: forecast 3 h old, issued Tue 12 Jan 03:00, up to 240 hours a yard, 2 places."
    ]


def test_places_that_only_single_yards_rest_on_are_counted_too():
    item = replace(advice("kiln", fit()), origins=(Origin(name="nws", detail="b"),))
    told = morning([item], sources=(use(detail="a"),))
    assert source_sentences(view_of(told, "us"))[0].endswith("2 places.")


def test_a_record_of_the_past_is_not_called_a_forecast():
    shown = source_sentences(
        view(use("daily", kind=PAST, age_h=30.0), use("obs", kind=PAST, age_h=None))
    )
    assert shown[0] == "daily: record of the past to Mon 11 Jan 00:00, up to 240 hours a yard."
    assert shown[1] == "obs: record of the past, up to 240 hours a yard."


def test_a_station_at_two_distances_is_one_place():
    near, far, other = (
        use(kind=PAST, detail=f"station {told}") for told in ("KA, 3 km", "KA, 12 km", "KB, 3 km")
    )
    assert source_sentences(view(near, far))[0].endswith("240 hours a yard, station KA.")
    assert source_sentences(view(near, far, other))[0].endswith("240 hours a yard, 2 places.")


def test_an_age_that_is_not_told_is_said_to_be_so():
    unknown = use(age_h=None)
    dated = replace(
        unknown, origin=Origin(name="om", issued_at=datetime(2027, 1, 12, 7, tzinfo=UTC))
    )
    assert source_sentences(view(unknown))[0].startswith("nws: forecast, age not told,")
    assert source_sentences(view(dated))[0].startswith("om: forecast of Tue 12 Jan 00:00,")


def test_no_source_is_said():
    assert source_sentences(view()) == ["No source gave a forecast."]


def test_what_was_worked_out_is_not_passed_off_as_told():
    shown = made_sentences(view(use(derived=frozenset({"sun_wm2", "x_mm"})), use("d", spread=True)))
    assert shown == [
        "Not told but worked out: sunshine computed from sky cover, x_mm computed.",
        "Daily extremes and totals of d are spread over the hours.",
    ]
    assert made_sentences(view(use())) == []


def test_a_credit_line_stands_once_and_whole():
    credit = "Weather data by Example Service (CC BY 4.0)"
    assert credit_lines(view(use(credit=credit), use("b", credit=credit))) == [credit]


def test_remarks_are_made_safe_and_told_once():
    assert remark_sentences(view(use(), remarks=("a\x1b b", "a b"))) == ["a b"]


def test_one_zone_needs_no_note():
    assert clock_notes(view(use())) == []


def test_yards_in_another_zone_are_told_how_to_read_their_hours():
    west = advice(yard("fen", tz="America/Los_Angeles"), fit(tz="America/Los_Angeles"))
    told = morning([advice("kiln", fit()), west])
    assert clock_notes(view_of(told, "us")) == [
        "Each yard on its own clock: MST, or PST as marked."
    ]


def test_a_day_after_the_clocks_changed_names_its_own_time():
    eve, after = date(2027, 3, 13), date(2027, 3, 14)
    told = morning(
        [advice("kiln", poor(eve), fit(after))], issued_at=datetime(2027, 3, 13, 13, tzinfo=UTC)
    )
    assert clock_notes(view_of(told, "us")) == ["Hours on Sun 14 Mar are MDT."]


def test_a_change_of_clocks_inside_working_hours_is_said():
    night = Crew(name="N", start=time(0), end=time(6), weekdays=frozenset({6}))
    told = morning(
        [advice("kiln", fit(date(2026, 11, 1)))],
        issued_at=datetime(2026, 11, 1, 5, tzinfo=UTC),
        crews=(night,),
    )
    assert "Clocks go back on Sun 1 Nov, inside working hours." in clock_notes(view_of(told, "us"))
    assert DAY not in {day.day for day in told.days}
