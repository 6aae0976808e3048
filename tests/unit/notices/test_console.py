import re
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from support.crowds import crowd, varied
from support.mornings import DAY, advice, days_on, fit, local_time, morning, poor, use, usual, yard

from windowcast.notices.console import ConsoleNotice
from windowcast.planning.cautions import CAUTIONS
from windowcast.terms.advice import Blind
from windowcast.terms.outlook import Hazard
from windowcast.times import as_hour
from windowcast.wording.cautions import caution_sentences
from windowcast.wording.hazards import hazard_words


def text(told, units="us"):
    return ConsoleNotice(units=units).write(told)


def lines(told, units="us"):
    return text(told, units).splitlines()


def section(told, heading):
    shown = lines(told)
    start = next(n for n, line in enumerate(shown) if line.startswith(heading))
    end = next((n for n in range(start, len(shown)) if not shown[n]), len(shown))
    return shown[start + 1 : end]


def test_days_come_best_first():
    assert section(usual(), "Days, best first") == [
        " 1 Fri 15 Jan        good      4 of 5 yards, 08:00-13:00; 1 blind",
        " 2 Tue 12 Jan today  workable  3 of 5 yards, 08:00-12:00; thunder at 1",
        " 3 Wed 13 Jan        poor      no yard: too warm (52-63 °F), 1 blind",
        " 4 Thu 14 Jan        poor      no yard: rain (0.17 in, 80 % chance), 1 blind",
        " No forecast reaches past Fri 15 Jan.",
    ]


def test_yards_come_with_air_wind_and_the_side_to_stand_on():
    assert section(usual(), "Yards today, Tue 12 Jan")[:2] == [
        " 08:00-12:00 good, 4 h: kiln, mill-ditch. 38-44 °F, wind 5 mph, gusts 9 mph.",
        "    Stand on the west side.",
    ]


def test_cautions_begin_with_label_and_law():
    assert section(usual(), "Take care")[0] == " - The label in hand and local law come first."


def test_age_and_source_stand_at_the_end():
    assert section(usual(), "Where it comes from") == [
        " nws: forecast 21 h old, issued Mon 11 Jan 08:48, up to 240 hours a yard, grid",
        "    BOI 59,84.",
        " Not told but worked out: sunshine computed from sky cover.",
    ]


def test_the_outfits_units_are_used_throughout():
    shown = text(usual(), "si")
    assert "3-7 °C, wind 8 km/h, gusts 14 km/h" in shown
    assert "°F" not in shown
    assert "mph" not in shown


def test_a_day_line_within_the_head_keeps_to_sixty_columns():
    told = morning(
        [advice("kiln", poor(), *(fit(day) for day in days_on(5, DAY + timedelta(days=1))))],
        blind=[Blind(key="fen", why="x")],
    )
    assert max(map(len, lines(told)[:10])) <= 60
    assert " 1 Wed 13 Jan        good  1 of 2 yards, 08:00-12:00" in text(told)


def test_a_lost_day_in_the_head_wraps_and_loses_nothing():
    wet = poor(limited_by="rain", rain_mm=30.0, rain_prob_frac=0.95)
    shown = " ".join(text(morning([advice("kiln", wet)])).split())
    assert "no yard: rain (1.18 in, 95 % chance)" in shown


def test_without_any_forecast_every_blind_yard_has_its_reason():
    blind = [Blind(key="kiln", why="nws: refused"), Blind(key="fen", why="nws: timed out")]
    shown = text(morning([], blind=blind, sources=()))
    assert " blind: kiln. nws: refused" in shown
    assert " blind: fen. nws: timed out" in shown
    assert "No source gave a forecast." in shown


@pytest.mark.parametrize("seed", range(12))
def test_forty_yards_take_sixty_lines_at_most(seed):
    shown = lines(varied(40, seed))
    assert len(shown) <= 60
    assert max(map(len, shown[:10])) <= 60
    assert max(map(len, shown)) <= 78


def test_forty_yards_that_agree_take_few_lines():
    shown = lines(crowd(40))
    assert len(shown) < 45
    assert sum(line.count("yard-") for line in shown if line[0:1] == " ") >= 40


def test_a_crowd_keeps_hours_and_side_of_every_fit_yard():
    shown = " ".join(text(crowd(40, windows=20)).split())
    assert "good (38-44 °F, wind 5 mph, gusts 9 mph): 07:00-10:00 W: yard-0, yard-20;" in shown
    fit = shown.partition("good (38-44")[2].partition("Rounds")[0]
    assert all(re.search(rf" W: [^;]*\byard-{n}\b", fit) for n in range(40))


def test_what_does_not_fit_is_counted_and_the_way_to_it_is_named():
    shown = text(varied(120, 1))
    assert len(shown.splitlines()) <= 60
    assert " more" in shown
    assert "windowcast why YARD 2027-01-12, or windowcast morning --html FILE" in shown


def test_the_worst_morning_keeps_label_credit_and_scope():
    worst = varied(40, 3, cautions=CAUTIONS)
    shown = " ".join(text(worst).split())
    assert len(lines(worst)) <= 60
    assert all(sentence in shown for sentence in caution_sentences(CAUTIONS))
    assert "Weather data by Example Service (CC BY 4.0)" in shown
    assert "Weather and dates only: brood, road, label are yours." in shown


def test_days_that_make_room_for_yards_are_counted():
    shown = text(varied(40, 1))
    assert "more days, none better: windowcast morning --html FILE" in shown


def test_sources_and_remarks_beyond_the_room_are_counted():
    told = morning(
        [advice("kiln", fit())],
        sources=tuple(use(f"source-{n}") for n in range(6)),
        remarks=tuple(f"remark {n}" for n in range(5)),
    )
    assert " and 2 more sources: windowcast morning --html FILE" in lines(told)
    assert " 3 more remarks: windowcast morning --html FILE" in lines(told)


def test_three_remarks_are_all_told():
    told = morning([advice("kiln", fit())], remarks=("one", "two", "three"))
    assert lines(told)[-3:] == [" one", " two", " three"]


def test_two_zones_are_said_and_marked():
    pacific = "America/Los_Angeles"
    told = morning([advice("kiln", fit()), advice(yard("fen", tz=pacific), fit(tz=pacific))])
    shown = lines(told)
    assert " Each yard on its own clock: MST, or PST as marked." in shown
    assert any(line.startswith(" 08:00-12:00 PST good, 4 h: fen.") for line in shown)


def test_alarms_that_the_head_only_counts_stand_by_name_below():
    codes = ("TO", "SV", "HW", "BZ", "IS", "WS", "FF", "FA", "FL", "EC", "LE", "AS",
             "AV", "DS", "SM", "ZF", "WC", "SQ")  # fmt: skip
    first = np.datetime64("2027-01-12T15", "h")
    hazards = [Hazard(phenomenon=c, significance="W", first=first, count=3) for c in codes]
    items = [
        advice(f"yard-number-{n}", fit(hours=(8 + n % 3, 12 + n % 4),
                                       hazards=(hazards[n % 18], hazards[(n + 5) % 18])))
        for n in range(90)
    ]  # fmt: skip
    shown = text(morning(items))
    assert len(shown.splitlines()) <= 60
    assert "more official hazards, see below" in shown
    below = " ".join(shown.partition("Yards today")[2].split())
    assert [h for h in hazards if f"{hazard_words(h)} (10)" not in below] == []


def test_names_cannot_steer_the_terminal():
    shown = text(morning([advice("ki\x1b[2Jln\x9b\u202e", fit())], outfit="A\x07\nB"))
    assert "\x1b" not in shown
    assert "\x9b" not in shown
    assert "\u202e" not in shown
    assert shown.startswith("A B, Tue")


def test_the_same_morning_reads_the_same():
    assert text(usual()) == text(usual())


def test_a_day_with_an_official_hazard_says_so_in_few_words_where_room_is_short():
    flood = Hazard(phenomenon="FL", significance="W", first=as_hour(local_time(DAY, 8)), count=240)
    warned = {"caps": ("warning",), "verdict": "workable", "hazards": (flood,)}
    week = [fit(day) for day in days_on(5)]
    one = morning([advice("a", *week, fit(days_on(6)[-1], **warned))])
    assert section(one, "Days, best first")[5].endswith("; warning at 1")
    crowded = [fit(**warned) if n < 9 else poor(limited_by="wind") for n in range(12)]
    told = morning([advice(f"yard-{n}", day, *week[1:]) for n, day in enumerate(crowded)])
    assert "; warning at 9" in section(told, "Days, best first")[4]


@pytest.mark.parametrize("seed", range(8))
def test_forty_varied_yards_with_hazards_of_every_kind_stay_within_sixty_lines(seed):
    kinds = ("TO", "SV", "HW", "WS", "BZ", "IS", "ZR", "FF", "FL", "FW", "FZ", "WC", "WW", "DS")
    codes = [(kind, rank) for kind in kinds for rank in "WYA"]

    def alarmed(score, n):
        if score.start is None:
            return score
        two = (codes[n % len(codes)], codes[(n * 5 + seed) % len(codes)])
        first = as_hour(score.start)
        told = (Hazard(phenomenon=k, significance=r, first=first, count=3) for k, r in two)
        return replace(score, hazards=tuple(told))

    calm = varied(40, seed)
    advised = tuple(
        replace(item, scores=tuple(alarmed(score, n) for score in item.scores))
        for n, item in enumerate(calm.advice)
    )
    assert len(lines(replace(calm, advice=advised))) <= 60
