from dataclasses import replace
from datetime import timedelta

import numpy as np
from support.mornings import DAY, advice, dark, fit, local_time, morning, poor, use, usual

from windowcast.notices.head import head_lines
from windowcast.terms.advice import CAP_THUNDER, Blind
from windowcast.terms.outlook import Hazard
from windowcast.wording.gist import SCOPE, gist_of
from windowcast.wording.view import view_of

LATER = DAY + timedelta(days=1)


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


def alarmed(*codes, **changes):
    hazards = tuple(hazard(code) for code in codes)
    return fit(ice=True, caps=(CAP_THUNDER,), hazards=hazards, **changes)


def test_every_danger_has_a_line_with_its_yards_while_there_is_room():
    told = head(morning([advice("kiln", alarmed("BZ", "HW")), advice("fen", fit(ice=True))]))
    assert told[3:-1] == [
        "Watch: thunder at kiln",
        "Watch: ice at kiln, fen",
        "Watch: high wind warning at kiln",
        "Watch: blizzard warning at kiln",
    ]


def test_dangers_count_their_yards_where_windows_need_the_lines():
    items = [advice(f"yard-{n}", alarmed("HW", "BZ", hours=(8 + n, 12))) for n in range(4)]
    told = head(morning([*items, advice("fen", fit(hours=(9, 15)))]))
    assert told[-3] == "Watch (yards): thunder (4), ice (4), high wind warning (4),"
    assert told[-2] == "   blizzard warning (4)"


def test_every_alarm_stands_in_the_head_whatever_else_wants_a_line():
    codes = ("SV", "IS", "LE")
    lost = [advice(f"far-{n}", poor(), alarmed(*codes, day=LATER, hours=(8, 10 + n % 6)))
            for n in range(12)]  # fmt: skip
    blind = [Blind(key=f"blind-{n}", why="x") for n in range(9)]
    told = head(morning(lost, blind=blind, sources=(use(age_h=20.0),)))
    assert len(told) == 10
    for words in ("thunder (", "ice (", "severe thunderstorm warning (", "ice storm warning (",
                  "lake effect snow warning ("):  # fmt: skip
        assert any(words in line for line in told)


def test_only_more_alarms_than_the_head_holds_are_counted_and_then_the_least():
    codes = (
        "AS", "TO", "SV", "HW", "BZ", "IS", "WS", "FF", "FA", "FL", "EC", "LE", "AV", "DS", "SM",
        "ZF",
    )  # fmt: skip
    told = head(morning([advice("kiln", alarmed(*codes))]))
    assert len(told) == 10
    assert told[1] == "Go today 08:00-12:00: the one yard."
    assert told[2] == "Watch (yards): thunder (1), ice (1), tornado warning (1),"
    assert told[-2] == "   and 5 more official hazards, see below"
    assert "air stagnation" not in "".join(told)


def test_as_many_alarms_as_lines_all_stand():
    codes = ("TO", "SV", "BZ", "IS", "EC")
    blind = [Blind(key="blind", why="x")]
    told = head(morning([advice("kiln", alarmed(*codes))], blind=blind))
    assert not any("more official" in line for line in told)
    assert any("extreme cold warning" in line for line in told)


def test_yards_that_do_not_fit_behind_an_alarm_are_counted():
    items = [advice(f"very-long-yard-{n:03}", fit(hazards=(hazard("SV"),))) for n in range(40)]
    told = head(morning([*items, advice("fen", fit(ice=True))]))
    assert "Watch: severe thunderstorm warning at 40 yards" in told


def test_a_better_day_that_is_too_long_loses_clauses_and_no_letters():
    items = [advice(f"y{n}", fit(verdict="workable", score=0.5),
                    fit(LATER, (8, 16), verdict="workable")) for n in range(99)]  # fmt: skip
    better = gist_of(view_of(morning(items), "us")).better
    assert better == "Better still: Wed 13 Jan, 08:00-16:00, all 99 yards, workable"
    told = replace(gist_of(view_of(morning([advice("kiln", fit())]), "us")), better=better)
    assert "Better still: Wed 13 Jan, 08:00-16:00, all 99 yards" in head_lines(told)


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


def test_starts_on_a_single_line_are_told_by_the_first_of_them():
    codes = ("SV", "IS", "LE", "EC", "AS")
    items = [advice(f"yard-{n}", alarmed(*codes, hours=(n, n + 2))) for n in range(1, 12)]
    blind = [Blind(key="dry-fork", why="x")]
    told = head(morning(items, blind=blind, sources=(use(age_h=20.0),)))
    assert told[2].startswith("  from 01:00 on, see below: yard-1, yard-2 and 9 more")
    assert told[3].startswith("Watch (yards): thunder (11), ice (11),")


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


def test_yards_left_out_are_named_on_the_lines_that_are_free():
    items = [advice(f"heron-slough-{n}", poor(limited_by="wind")) for n in range(9)]
    told = head(morning([advice("kiln", fit()), advice("fen", poor()), *items]))
    assert told[3:-1] == [
        "Not today, too windy: heron-slough-0, heron-slough-1,",
        "   heron-slough-2, heron-slough-3, heron-slough-4,",
        "   heron-slough-5, heron-slough-6, heron-slough-7,",
        "   heron-slough-8",
        "Not today, too warm: fen",
    ]


def test_yards_left_out_are_counted_by_reason_where_lines_are_few():
    windy = [advice(f"heron-slough-{n}", poor(limited_by="wind")) for n in range(9)]
    going = [advice(f"yard-{n}", fit(hours=(8, 10 + n))) for n in range(6)]
    told = head(morning([*going, advice("fen", poor()), *windy]))
    assert "Not today: 9 too windy, 1 too warm" in told


def test_nobody_to_send_and_nobody_seen():
    told = head(morning([], blind=[Blind(key="kiln", why="x")], sources=()))
    assert told[1] == "No forecast for any yard: nothing is advised."
    assert told[2] == "Blind, no forecast: kiln"


def test_today_dark_and_tomorrow_fit():
    told = head(morning([advice("kiln", dark(), fit(DAY + timedelta(days=1)))]))
    assert told[1] == "No go today: no forecast for today."
    assert told[2] == "Best: Wed 13 Jan, 08:00-12:00, the one yard, good"
