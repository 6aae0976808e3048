from datetime import timedelta

import numpy as np
import pytest
from support.mornings import (
    DAY,
    NOW,
    advice,
    dark,
    days_on,
    fit,
    local_time,
    morning,
    poor,
    use,
    usual,
    yard,
)

from windowcast.terms.advice import CAP_THUNDER, Blind
from windowcast.terms.outlook import PAST, Hazard
from windowcast.wording.gist import gist_of
from windowcast.wording.view import Named, view_of

TOMORROW = DAY + timedelta(days=1)


def gist(told):
    return gist_of(view_of(told, "us"))


def hazard(phenomenon, significance="W"):
    first = np.datetime64("2027-01-12T15", "h")
    return Hazard(phenomenon=phenomenon, significance=significance, first=first, count=3)


def test_the_title_says_who_when_and_on_whose_clock():
    assert gist(usual()).title == "Vellamoor Bees, Tue 12 Jan 2027, 06:00 MST"


def test_a_day_on_which_somebody_goes():
    told = gist(usual())
    assert told.decision == "Go today 08:00-12:00: 3 of 5 yards."
    assert told.next_up == ()
    assert told.windows == (
        Named(phrase="08:00-12:00 good", keys=("kiln", "mill-ditch")),
        Named(phrase="09:00-11:00 workable", keys=("quarry-bench",)),
    )
    assert told.left_out == (Named(phrase="too windy", keys=("heron-slough",)),)
    assert told.left_out_when == "Not today"
    assert told.blind == ("dry-fork",)


def test_a_day_that_ranks_higher_is_named():
    assert gist(usual()).better == "Better still: Fri 15 Jan, 08:00-13:00, 4 of 5 yards, good"


def test_nothing_is_better_than_the_first_rank():
    told = morning([advice("kiln", fit(), fit(TOMORROW, verdict="workable"))])
    assert gist(told).better is None


def test_a_lost_day_names_the_next_that_is_worth_it():
    told = gist(morning([advice("kiln", poor(), fit(TOMORROW, (9, 12)))]))
    assert told.decision == "No go today: too warm (52-63 °F)."
    assert told.next_up == ("Best: Wed 13 Jan, 09:00-12:00, the one yard, good",)
    assert told.windows == (Named(phrase="09:00-12:00 good", keys=("kiln",)),)
    assert told.better is None


def test_yards_that_miss_the_next_day_are_told():
    told = gist(
        morning([advice("kiln", poor(), fit(TOMORROW)), advice("fen", poor(), poor(TOMORROW))])
    )
    assert told.left_out_when == "Not then"
    assert told.left_out == (Named(phrase="too warm", keys=("fen",)),)


def test_several_reasons_are_counted_by_yards():
    told = morning([advice("a", poor()), advice("b", poor()), advice("c", poor(limited_by="wind"))])
    assert gist(told).decision == "No go today: too warm (2 yards), too windy (1 yard)."


def test_today_may_not_be_told_at_all():
    told = gist(morning([advice("kiln", dark(), fit(TOMORROW))]))
    assert told.decision == "No go today: no forecast for today."


def test_when_every_day_is_lost_the_reasons_are_counted_by_days():
    days = days_on(4)
    scores = [poor(day, "rain" if day == days[2] else "temperature") for day in days]
    told = gist(morning([advice("kiln", *scores)]))
    assert told.next_up[0] == "Nor on any day to Fri 15 Jan: too warm (3 days), rain (1 day)"
    assert told.windows == ()


def test_the_least_bad_hours_are_named_when_every_day_is_lost():
    one = {"usable_hours": 1, "start": local_time(TOMORROW, 9), "end": local_time(TOMORROW, 10)}
    told = gist(morning([advice("kiln", poor(), poor(TOMORROW, "wind", **one))]))
    assert told.next_up[1] == "Least bad: Wed 13 Jan, kiln 09:00-10:00, 1 hour"


def test_no_usable_hour_anywhere_is_said():
    told = gist(morning([advice("kiln", poor(), poor(TOMORROW))]))
    assert told.next_up[1] == "Not one usable hour at any yard."


def test_a_morning_that_knows_only_today_says_so():
    assert gist(morning([advice("kiln", poor())])).next_up[0] == "Nothing is told of later days."


def test_without_any_forecast_nothing_is_advised():
    told = gist(morning([], blind=[Blind(key="kiln", why="x")], sources=()))
    assert told.decision == "No forecast for any yard: nothing is advised."
    assert told.blind == ("kiln",)
    assert told.windows == told.watch == told.left_out == told.next_up == ()


def test_thunder_ice_and_warnings_come_in_this_order():
    risky = fit(ice=True, caps=(CAP_THUNDER,), hazards=(hazard("WW", "Y"), hazard("HW")))
    told = gist(morning([advice("kiln", risky), advice("fen", fit(ice=True))]))
    assert [named.phrase for named in told.watch] == [
        "thunder", "ice", "high wind warning", "winter weather advisory",
    ]  # fmt: skip
    assert told.watch[1].keys == ("kiln", "fen")


def test_a_hazard_at_a_yard_that_is_not_visited_is_not_watched():
    told = morning([advice("kiln", fit()), advice("fen", poor(ice=True, hazards=(hazard("HW"),)))])
    assert gist(told).watch == ()


def test_a_forecast_is_called_old_only_beyond_the_silent_age():
    def stale(age_h):
        return gist(morning([advice("kiln", fit())], sources=(use(age_h=age_h),))).stale

    assert stale(12.0) is None
    assert stale(12.1) == "forecast 12 h old (nws)"
    assert stale(21.0) == "forecast 21 h old (nws)"


def test_the_oldest_forecast_of_a_source_counts_and_a_record_never_does():
    sources = (use(age_h=14.0), use(age_h=20.0), use("daily", kind=PAST, age_h=40.0), use("x"))
    told = morning([advice("kiln", fit())], sources=sources)
    assert gist(told).stale == "forecast 20 h old (nws)"


def test_an_age_that_nobody_tells_is_not_called_old():
    told = morning([advice("kiln", fit())], sources=(use(age_h=None),))
    assert gist(told).stale is None


SIX = ("America/New_York", "America/Chicago", "America/Boise", "America/Los_Angeles",
       "America/Anchorage", "Pacific/Honolulu")  # fmt: skip


def far(*runs, tz="America/New_York"):
    items = [
        advice(yard(f"yard-{n}", tz=there), fit(hours=hours, tz=there))
        for n, (there, hours) in enumerate(runs)
    ]
    return morning(items, tz=tz)


@pytest.mark.parametrize(
    "zones",
    [("America/New_York", "America/Los_Angeles"), ("America/New_York", "Pacific/Guam"), SIX],
)
def test_yards_whose_clocks_differ_are_told_on_their_own_clocks(zones):
    told = far(*((there, (8, 16)) for there in zones))
    assert gist(told).decision.startswith("Go today 08:00-16:00 local: ")


def test_hours_on_different_clocks_go_from_the_earliest_to_the_latest_on_any_of_them():
    told = far(("America/New_York", (10, 17)), ("Pacific/Guam", (7, 12)))
    assert gist(told).decision == "Go today 07:00-17:00 local: both yards."


def test_zones_that_show_the_same_time_are_one_clock():
    told = far(("America/Boise", (8, 12)), ("America/Denver", (9, 13)), tz="America/Denver")
    assert gist(told).decision == "Go today 08:00-13:00: both yards."


def test_yards_on_one_clock_that_is_not_the_outfits_are_marked():
    told = far(("America/Los_Angeles", (8, 12)), ("America/Los_Angeles", (9, 13)))
    assert gist(told).decision == "Go today 08:00-13:00 PST: both yards."


def test_a_start_alone_says_on_which_clock_it_is():
    told = gist(far(("America/New_York", (8, 12)), ("America/Los_Angeles", (8, 12))))
    assert [named.phrase for named in told.starts] == ["from 08:00", "from 08:00 PST"]


def test_many_windows_are_also_told_by_their_start():
    told = gist(morning([advice("a", fit(hours=(8, 12))), advice("b", fit(hours=(8, 11)))]))
    assert told.starts == (Named(phrase="from 08:00", keys=("b", "a")),)


def test_a_late_call_says_that_it_is_late():
    told = morning(
        [advice("kiln", poor(ahead_h=0))], issued_at=NOW.replace(hour=23), sources=(use(),)
    )
    assert gist(told).decision == "No go today: too late in the day."
