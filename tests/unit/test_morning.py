"""One morning from sources to the document of a notice, with sources handed in."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from support.outlooks import CREW, outlook, yard

from windowcast.morning import Desk, explain_day, run_morning
from windowcast.problems import NoForecast, NotJudged
from windowcast.terms.kept import KeptOutlook
from windowcast.terms.outlook import PAST, Answer, Origin
from windowcast.terms.practice import Practice
from windowcast.terms.visit import Treated, Visit
from windowcast.terms.yard import Label, Place

NOW = datetime(2027, 1, 12, 14, tzinfo=UTC)
KILN, BENCH, FEN = (yard(key, tz=None) for key in ("kiln", "bench", "fen"))


@dataclass
class Told:
    answer: Answer
    name: str = "nws"
    reach_h: int = 192

    def outlooks(self, yards, now):
        return self.answer


def told(issued, **changes):
    """Forecasts by yard: hours of age by key; other keywords go into every outlook."""
    return Answer(
        outlooks={
            key: outlook(
                key, count=200,
                origin=Origin(name="nws", issued_at=NOW - timedelta(hours=h), detail=f"grid {key}"),
                **changes,
            )
            for key, h in issued.items()
        },
        places={key: Place(tz="America/Boise") for key in issued},
    )  # fmt: skip


def desk(*answers, yards=(KILN, BENCH), tz=None):
    return Desk(
        outfit="Vellamoor Bees", tz=tz, yards=yards, crews=(CREW,), practice=Practice(),
        sources=tuple(Told(answer) for answer in answers),
    )  # fmt: skip


def test_a_source_counts_once_with_its_oldest_issue_and_the_most_hours_of_a_yard():
    morning = run_morning(desk(told({"kiln": 2, "bench": 13})), NOW)
    (use,) = morning.sources
    assert (use.origin.name, use.hours) == ("nws", 200)
    assert use.age_h == pytest.approx(13)


def test_a_record_of_the_past_stands_after_the_forecasts():
    past = outlook("kiln", first=NOW - timedelta(hours=60), count=48,
                   origin=Origin(name="nws", kind=PAST))  # fmt: skip
    answer = Answer(
        outlooks=told({"kiln": 2}).outlooks, pasts={"kiln": past}, places=told({"kiln": 2}).places
    )
    morning = run_morning(desk(answer), NOW)
    assert [use.origin.kind for use in morning.sources] == ["forecast", "past"]
    assert morning.sources[1].age_h is None


def test_the_clock_of_the_notice_is_that_of_most_yards_or_of_the_outfit():
    assert run_morning(desk(told({"kiln": 2})), NOW).tz == "America/Boise"
    assert run_morning(desk(told({"kiln": 2}), tz="America/Denver"), NOW).tz == "America/Denver"


def test_every_yard_is_advised_or_blind():
    morning = run_morning(desk(told({"kiln": 2}), yards=(KILN, BENCH, FEN)), NOW)
    assert [item.yard.key for item in morning.advice] == ["kiln"]
    assert [blind.key for blind in morning.blind] == ["bench", "fen"]


def test_rain_of_the_last_day_makes_the_lane_soft_and_dry_hours_do_not():
    rain = np.zeros(200)
    rain[2] = 4.0  # four hours before now
    wet = run_morning(desk(told({"kiln": 2}, rain_mm=rain)), NOW).cautions
    dry = run_morning(desk(told({"kiln": 2})), NOW).cautions
    assert set(wet) - set(dry) >= {"soft_lane"}


def test_no_forecast_at_all_says_why_and_counts_the_yards():
    answer = Answer(trouble={"kiln": "nws: down", "bench": "nws: down"})
    with pytest.raises(NoForecast, match=r"any of 2 yards:\n  2 yards: nws: down"):
        run_morning(desk(answer), NOW)


def ends_at(local_hour):
    """Temperature up to that hour of the first day (the outlook begins at 01:00 in Boise)."""
    return np.r_[np.full(local_hour - 1, 6.0), np.full(201 - local_hour, np.nan)]


def test_a_yard_whose_forecast_ends_before_work_is_blind_like_one_without():
    answer = Answer(
        outlooks={
            "kiln": told({"kiln": 2}, temp_c=ends_at(8)).outlooks["kiln"],
            "bench": told({"bench": 2}).outlooks["bench"],
        },
        places=told({"kiln": 2, "bench": 2}).places,
    )
    morning = run_morning(desk(answer), NOW)
    assert [blind.key for blind in morning.blind] == ["kiln"]
    assert "no working hour ahead" in morning.blind[0].why
    assert [item.yard.key for item in morning.advice] == ["bench"]


def test_where_every_forecast_ends_before_work_there_is_none():
    with pytest.raises(NoForecast, match="no working hour ahead"):
        run_morning(desk(told({"kiln": 2}, temp_c=ends_at(8))), NOW)


def test_an_outfit_that_does_not_work_these_days_is_not_blind():
    idle = replace(desk(told({"kiln": 2, "bench": 2})), crews=())
    assert run_morning(idle, NOW).blind == ()


def test_the_same_input_gives_the_same_morning_whatever_the_order_of_yards():
    one = run_morning(desk(told({"kiln": 2, "bench": 3})), NOW)
    other = run_morning(desk(told({"bench": 3, "kiln": 2}), yards=(BENCH, KILN)), NOW)
    assert one.days == other.days
    assert set(one.advice) == set(other.advice)


def test_a_hundred_yards_in_blocks_are_advised_like_each_alone():
    yards = tuple(yard(f"y{n}", tz="America/Boise", lat_deg=40 + n / 20) for n in range(100))
    answer = told({place.key: 2 for place in yards})
    together = run_morning(desk(answer, yards=yards), NOW)
    for n in (0, 63, 64, 99):
        alone = run_morning(desk(answer, yards=(yards[n],)), NOW)
        assert alone.advice[0] == together.advice[n]


def test_a_yard_day_is_explained_for_the_day_on_the_yards_own_clock():
    account = explain_day(desk(told({"kiln": 2})), KILN, lambda tz: date(2027, 1, 13), NOW)
    assert (account.score.day, account.yard.tz, len(account.hours)) == (
        date(2027, 1, 13), "America/Boise", 24,
    )  # fmt: skip


def test_a_day_outside_the_judged_ones_is_refused():
    with pytest.raises(NotJudged, match="from 2027-01-12 to 2027-01-21"):
        explain_day(desk(told({"kiln": 2})), KILN, lambda tz: date(2027, 1, 22), NOW)


def test_a_blind_yard_cannot_be_explained():
    with pytest.raises(NoForecast):
        explain_day(desk(Answer()), KILN, lambda tz: date(2027, 1, 12), NOW)


def test_yesterday_in_another_zone_is_not_a_day_of_the_notice():
    east, west = yard("east", tz="America/New_York"), yard("west", tz="America/Los_Angeles")
    midnight = datetime(2027, 1, 13, 5, 30, tzinfo=UTC)  # half past midnight in New York
    answer = told({"east": -14, "west": -14})
    morning = run_morning(desk(answer, yards=(east, west), tz="America/New_York"), midnight)
    assert min(day.day for day in morning.days) == date(2027, 1, 13)


def test_one_yard_without_forecast_is_told_in_the_singular():
    with pytest.raises(NoForecast, match=r"for the one yard:\n  no source"):
        run_morning(desk(Answer(), yards=(KILN,)), NOW)


@dataclass
class Remembered:
    done: tuple = ()

    def visits(self, season=None):
        return self.done

    def hours_of(self, yard_key, hours):
        return None

    def outlook_of(self, yard_key, issued_from):
        return None


def visited(key, day, round_no=1, **changes):
    return Visit(yard_key=key, day=day, round_no=round_no, logged_at=NOW, **changes)


UNREAD = Label()


def booked(*visits, label=UNREAD, yards=(KILN, BENCH)):
    answer = told({yard.key: 2 for yard in yards})
    return run_morning(
        replace(desk(answer, yards=yards), label=label, memory=Remembered(visits)), NOW
    )


TODAY = date(2027, 1, 12)


@pytest.mark.parametrize(("days_ago", "state", "today_due"), [
    (13, "waiting", False), (14, "open", True), (21, "open", True), (22, "overdue", True),
])  # fmt: skip
def test_round_two_is_due_from_day_14_and_overdue_after_day_21(days_ago, state, today_due):
    morning = booked(visited("kiln", TODAY - timedelta(days=days_ago)), yards=(KILN,))
    assert morning.rounds[0].state == state
    assert (TODAY in {day.day for day in morning.days}) is today_due


def test_every_yard_has_its_round_and_the_season_is_counted():
    morning = booked(visited("kiln", date(2026, 12, 28)), visited("elsewhere", date(2026, 12, 28)))
    assert [(item.yard_key, item.round_no) for item in morning.rounds] == [
        ("kiln", 2),
        ("bench", 1),
    ]
    assert [(t.round_no, t.done, t.yards) for t in morning.totals] == [(1, 1, 2), (2, 0, 2)]


def test_a_blind_yard_has_its_round_all_the_same():
    found = run_morning(replace(desk(told({"kiln": 2})), memory=Remembered()), NOW)
    assert [item.yard_key for item in found.rounds] == ["kiln", "bench"]


def test_a_yard_that_is_not_due_is_left_out_of_the_days():
    morning = booked(visited("kiln", date(2027, 1, 11)))
    assert {key for day in morning.days for key in day.served} == {"bench"}


def test_the_label_in_hand_may_hold_a_round_longer_than_the_gap():
    label = Label(min_days_between=20)
    morning = booked(visited("kiln", TODAY - timedelta(days=15)), label=label, yards=(KILN,))
    assert (morning.rounds[0].state, morning.rounds[0].held_by) == ("waiting", "label_days")


def test_half_a_yard_is_still_to_be_finished():
    half = visited("kiln", TODAY, treated=(Treated(kind="doubles", colonies=12),))
    morning = booked(half, yards=(KILN,))
    assert (morning.rounds[0].round_no, morning.rounds[0].done_frac) == (1, 0.5)
    assert morning.totals[0].begun == 1


def test_without_a_book_round_one_is_open_everywhere():
    morning = run_morning(desk(told({"kiln": 2, "bench": 2})), NOW)
    assert {(item.state, item.round_no) for item in morning.rounds} == {("open", 1)}


def test_yesterdays_forecast_in_the_book_does_not_age_todays():
    hours_ago = NOW - timedelta(hours=60)
    origin = Origin(name="nws", issued_at=NOW - timedelta(hours=27))
    memory = Remembered()
    memory.hours_of = lambda key, hours: outlook(key, first=hours_ago, count=50, origin=origin)
    memory.outlook_of = lambda key, since: KeptOutlook(
        outlook=outlook(key), place=Place(tz="America/Boise"), issued_at=NOW, kept_at=NOW
    )
    answer = told({"kiln": 3})
    morning = run_morning(replace(desk(answer, yards=(KILN,)), memory=memory), NOW)
    assert [(use.origin.kind, use.origin.kept, use.age_h) for use in morning.sources] == [
        ("forecast", False, 3.0), ("past", True, None),
    ]  # fmt: skip
