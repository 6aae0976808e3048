from datetime import date, time

import pytest
from support.mornings import DAY, advice, dark, fit, morning, poor

from windowcast.terms.yard import Crew
from windowcast.units import f_to_c
from windowcast.wording.reasons import against, broad, numbers, reason_of
from windowcast.wording.view import view_of

VIEW = view_of(morning([advice("kiln", fit())]), "us")


def phrase(score, view=VIEW):
    reason = reason_of(score, view)
    return reason.phrase if reason else None


def at(low_f, high_f, **changes):
    return {"day_low_c": f_to_c(low_f), "day_high_c": f_to_c(high_f), **changes}


@pytest.mark.parametrize(
    ("low_f", "high_f", "words"),
    [
        (34.9, 51.0, "too cold"),
        (35.0, 51.1, "too warm"),
        (34.9, 51.1, "too cold or too warm by turns"),
        (35.0, 46.0, "rather cold"),
        (40.0, 51.0, "rather warm"),
        (38.0, 50.0, "rather warm"),
        (36.0, 47.0, "rather cold"),
    ],
)
def test_a_temperature_that_stops_the_work_says_which_side(low_f, high_f, words):
    assert phrase(poor(**at(low_f, high_f))) == words


@pytest.mark.parametrize(
    ("low_f", "high_f", "words"),
    [
        (34.9, 51.0, "some hours too cold"),
        (35.0, 51.1, "some hours too warm"),
        (34.9, 51.1, "some hours too cold, some too warm"),
        (35.0, 46.0, "rather cold"),
        (40.0, 51.0, "rather warm"),
    ],
)
def test_a_temperature_that_only_costs_hours_is_put_mildly(low_f, high_f, words):
    assert phrase(fit(verdict="workable", **at(low_f, high_f))) == words


def test_a_temperature_without_numbers_takes_no_side():
    unknown = {"day_low_c": None, "day_high_c": None}
    assert phrase(poor(**unknown)) == "temperature"
    assert phrase(fit(verdict="workable", **unknown)) == "temperature"


@pytest.mark.parametrize(
    ("code", "stops", "holds"),
    [
        ("rain", "rain", "chance of rain"),
        ("wind", "too windy", "wind"),
        ("light", "too little daylight", "short daylight"),
        ("flight", "bees flying", "bees flying"),
        ("dust", "dust", "dust"),
    ],
)
def test_every_part_has_its_words(code, stops, holds):
    assert phrase(poor(limited_by=code)) == stops
    assert phrase(fit(verdict="workable", limited_by=code)) == holds


def test_a_good_day_needs_no_reason():
    assert phrase(fit()) is None


def test_a_cap_stands_before_the_part_that_costs_most():
    capped = fit(verdict="workable", limited_by="wind", caps=("thunder", "rain_untold"))
    assert phrase(capped) == "thunder, rain not told for every hour, wind"
    assert phrase(fit(verdict="workable", limited_by=None, caps=("warning",))) == (
        "an official warning"
    )
    assert phrase(fit(verdict="workable", limited_by=None)) is None


def test_a_run_that_is_too_short_says_so():
    assert phrase(poor(limited_by="wind", usable_hours=1)) == (
        "too windy, only 1 hour at a stretch"
    )
    assert phrase(poor(limited_by="wind", usable_hours=2)) == "too windy"
    assert phrase(poor(limited_by=None, usable_hours=1)) == "only 1 hour at a stretch"
    assert phrase(poor(limited_by=None)) == "too few hours"


def test_a_day_without_a_crew_is_not_blamed_on_the_weather():
    monday_off = Crew(name="A", start=time(8), end=time(17), weekdays=frozenset({1, 2}))
    view = view_of(morning([advice("kiln", fit())], crews=(monday_off,)), "us")
    assert phrase(poor(date(2027, 1, 11), working_h=0, ahead_h=0), view) == "no crew at work"
    assert phrase(poor(DAY, working_h=0, ahead_h=0), view) == "no daylight in working hours"


def test_what_is_left_of_today_may_be_too_little():
    assert phrase(poor(ahead_h=0)) == "too late in the day"
    assert phrase(poor(ahead_h=1)) == "under 2 working hours left"
    assert phrase(poor(ahead_h=2)) == "too warm"
    assert phrase(poor(working_h=1, ahead_h=1)) == "too warm"


def test_a_day_that_is_not_told_says_so():
    assert phrase(dark()) == "not told that day"


def test_numbers_stand_behind_temperature_and_rain_only():
    warm = [poor(**at(52, 60)), poor(**at(55, 63))]
    wet = [poor(limited_by="rain", rain_mm=2.54, rain_prob_frac=0.8)]
    assert numbers("temperature", warm, VIEW) == " (52-63 °F)"
    assert numbers("rain", wet, VIEW) == " (0.10 in, 80 % chance)"
    assert numbers("wind", warm, VIEW) == ""


def test_numbers_that_are_not_told_are_left_out():
    assert numbers("temperature", [poor(day_low_c=None, day_high_c=None)], VIEW) == ""
    assert numbers("rain", [poor(rain_mm=None, rain_prob_frac=None)], VIEW) == ""
    assert numbers("rain", [poor(rain_mm=0.0, rain_prob_frac=0.5)], VIEW) == " (50 % chance)"


def test_poor_yards_are_told_by_reason_the_commonest_first():
    scores = [fit(), poor(limited_by="wind"), poor(), poor(limited_by="wind"), dark()]
    told = [(reason.phrase, len(members)) for reason, members in against(scores, VIEW)]
    assert told == [("too windy", 2), ("too warm", 1)]


def test_counting_leaves_the_single_hours_aside():
    scores = [poor(limited_by="wind"), poor(limited_by="wind", usable_hours=1), poor()]
    told = [(phrase, len(members)) for phrase, members in broad(scores, VIEW)]
    assert told == [("too windy", 2), ("too warm", 1)]


@pytest.mark.parametrize(("usable_h", "untold_h", "words"), [
    (1, 6, "6 of 9 working hours not told"),
    (1, 0, "too warm, only 1 hour at a stretch"),
    (0, 9, "too warm, 9 of 9 working hours not told"),
    (0, 1, "too warm"),
])  # fmt: skip
def test_a_day_that_the_forecast_leaves_half_told_says_so(usable_h, untold_h, words):
    assert phrase(poor(usable_hours=usable_h, untold_h=untold_h)) == words
