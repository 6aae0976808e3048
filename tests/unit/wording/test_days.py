from datetime import timedelta

from support.mornings import DAY, advice, dark, days_on, fit, morning, poor, usual, yard

from windowcast.terms.advice import Blind
from windowcast.wording.days import beyond, day_lines
from windowcast.wording.view import view_of


def lines(told, units="us"):
    return day_lines(view_of(told, units))


def test_days_come_best_first_with_share_and_hours():
    shown = [(day.rank, day.name, day.verdict, day.share, day.hours) for day in lines(usual())]
    assert shown == [
        (1, "Fri 15 Jan", "good", "4 of 5 yards", "08:00-13:00"),
        (2, "Tue 12 Jan today", "workable", "3 of 5 yards", "08:00-12:00"),
        (3, "Wed 13 Jan", "poor", "no yard", ""),
        (4, "Thu 14 Jan", "poor", "no yard", ""),
    ]


def test_a_day_says_who_is_left_out_and_why():
    today = lines(usual())[1]
    assert today.why == ("1 too windy", "1 blind")
    assert today.left == "2 left out"
    assert today.watch == ("thunder at 1",)
    assert today.sentence == (
        "3 of 5 yards can be treated, 08:00-12:00; left out: 1 too windy, 1 blind;"
        " watch: thunder at 1."
    )


def test_a_day_over_far_zones_is_told_on_each_yards_own_clock():
    items = [
        advice(yard(key, tz=tz), fit(hours=(8, 16), tz=tz))
        for key, tz in (("kiln", "America/New_York"), ("mill", "Pacific/Guam"))
    ]
    (day,) = lines(morning(items, tz="America/New_York"))
    assert day.hours == "08:00-16:00 local"
    assert day.sentence == "Both yards can be treated, 08:00-16:00 local."


def test_a_day_that_nobody_can_use_says_why_in_numbers():
    lost = lines(usual())[2]
    assert lost.why == ("too warm (52-63 °F)", "1 blind")
    assert lost.sentence == (
        "No yard can be treated: too warm (52-63 °F) at 4 yards, 1 yard blind."
    )


def test_several_reasons_of_a_lost_day_are_counted():
    told = morning([advice("a", poor()), advice("b", poor(limited_by="wind")), advice("c", dark())])
    assert lines(told)[0].why == ("1 too warm", "1 too windy", "1 blind")


def test_a_full_day_needs_no_excuse():
    day = lines(morning([advice("kiln", fit())]))[0]
    assert day.why == ()
    assert day.sentence == "The one yard can be treated, 08:00-12:00."


def test_numbers_follow_the_outfits_units():
    assert lines(usual(), "si")[2].why == ("too warm (11-17 °C)", "1 blind")


def test_the_end_of_the_forecast_is_told_apart_from_the_end_of_ranking():
    short = morning([advice("kiln", *(fit(day) for day in days_on(9)))])
    whole = morning([advice("kiln", *(fit(day) for day in days_on(10)))])
    assert beyond(view_of(short, "us")) == "No forecast reaches past Wed 20 Jan."
    assert beyond(view_of(whole, "us")) == "Days after Thu 21 Jan are too far off to rank."
    assert DAY + timedelta(days=9) == whole.days[-1].day


def test_without_days_there_is_nothing_beyond():
    told = morning([], blind=[Blind(key="kiln", why="x")], sources=())
    assert beyond(view_of(told, "us")) is None
