from datetime import timedelta

import numpy as np
from support.mornings import DAY, advice, dark, fit, local_time, morning, poor, use, usual

from windowcast.notices.head import head_lines
from windowcast.terms.advice import CAP_THUNDER, Blind
from windowcast.terms.outlook import Hazard
from windowcast.wording.gist import SCOPE, gist_of
from windowcast.wording.view import view_of


def head(told):
    return head_lines(gist_of(view_of(told, "us")))


def hazard(phenomenon):
    first = np.datetime64("2027-01-12T15", "h")
    return Hazard(phenomenon=phenomenon, significance="W", first=first, count=3)


def test_ten_lines_are_enough_to_send_a_crew():
    assert head(usual()) == [
        "Vellamoor Bees, Tue 12 Jan 2027, 06:00 MST",
        "Go today 08:00-12:00: 3 of 5 yards.",
        "  08:00-12:00 good: kiln, mill-ditch",
        "  09:00-11:00 workable: quarry-bench",
        "Not today: heron-slough (too windy)",
        "Better still: Fri 15 Jan, 08:00-13:00, 4 of 5 yards, good",
        "Watch: thunder at quarry-bench",
        "Watch: forecast 21 h old (nws), look again before you go",
        "Blind, no forecast: dry-fork",
        SCOPE,
    ]


def test_a_quiet_day_is_short():
    assert head(morning([advice("kiln", fit())])) == [
        "Vellamoor Bees, Tue 12 Jan 2027, 06:00 MST",
        "Go today 08:00-12:00: the one yard.",
        "  08:00-12:00 good: kiln",
        SCOPE,
    ]


def test_a_lost_week_says_why_and_what_is_least_bad():
    one = {"usable_hours": 1, "start": local_time(DAY, 9), "end": local_time(DAY, 10)}
    told = morning([advice("kiln", poor(**one), poor(DAY + timedelta(days=1), "wind"))])
    assert head(told) == [
        "Vellamoor Bees, Tue 12 Jan 2027, 06:00 MST",
        "No go today: too warm, only 1 hour at a stretch (52-63 °F).",
        "Nor on any day to Wed 13 Jan: too warm (1 day), too windy (1",
        "  day)",
        "Least bad: Tue 12 Jan, kiln 09:00-10:00, 1 hour",
        SCOPE,
    ]


def test_three_dangers_are_counted_by_yards():
    risky = fit(ice=True, caps=(CAP_THUNDER,), hazards=(hazard("HW"),))
    told = head(morning([advice("kiln", risky), advice("fen", fit(ice=True))]))
    assert "Watch (yards): thunder (1), ice (2), high wind warning (1)" in told


def test_windows_beyond_the_room_are_told_by_their_start():
    items = [advice(f"yard-{n}", fit(hours=(8, 10 + n))) for n in range(8)]
    told = head(morning(items))
    assert told[2:4] == [
        "  from 08:00: yard-0, yard-1, yard-2, yard-3, yard-4,",
        "     yard-5, yard-6, yard-7",
    ]


def test_a_long_list_of_yards_takes_the_lines_that_are_free():
    told = head(morning(advice(f"heron-slough-{n}", fit()) for n in range(40)))
    assert len(told) == 10
    assert told[8].endswith("and 21 more")
    assert sum(line.count("heron-slough-") for line in told) == 19


def test_starts_beyond_the_room_are_told_as_later():
    items = [advice(f"yard-{n}", fit(hours=(n, n + 2))) for n in range(1, 12)]
    told = head(morning(items))
    assert "  from 01:00: yard-1" in told
    assert told[-2] == "  later, see below: yard-7, yard-8, yard-9, yard-10, yard-11"
    assert len(told) == 10


def test_watch_age_and_blindness_are_never_crowded_out():
    items = [
        advice(f"yard-{n}", fit(hours=(n, n + 2), ice=True, caps=(CAP_THUNDER,),
                                hazards=(hazard("HW"), hazard("WS"))))
        for n in range(1, 12)
    ]  # fmt: skip
    blind = [Blind(key=f"blind-{n}", why="x") for n in range(9)]
    told = "\n".join(head(morning(items, blind=blind, sources=(use(age_h=20.0),))))
    for words in ("thunder (11)", "ice (11)", "forecast 20 h old", "Blind, no forecast: blind-0"):
        assert words in told
    assert told.endswith(SCOPE)


def test_many_yards_left_out_are_counted_by_reason():
    items = [advice(f"heron-slough-{n}", poor(limited_by="wind")) for n in range(9)]
    told = head(morning([advice("kiln", fit()), advice("fen", poor()), *items]))
    assert "Not today: 9 too windy, 1 too warm" in told


def test_nobody_to_send_and_nobody_seen():
    told = head(morning([], blind=[Blind(key="kiln", why="x")], sources=()))
    assert told[1] == "No forecast for any yard: nothing is advised."
    assert told[2] == "Blind, no forecast: kiln"


def test_today_dark_and_tomorrow_fit():
    told = head(morning([advice("kiln", dark(), fit(DAY + timedelta(days=1)))]))
    assert told[1] == "No go today: no forecast for today."
    assert told[2] == "Best: Wed 13 Jan, 08:00-12:00, the one yard, good"
