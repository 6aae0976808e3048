"""Order of days and verdict of an outfit-day."""

from datetime import date

import pytest
from support.outlooks import yard

from windowcast.planning.ranking import ranked_days, verdict_of, worse_of
from windowcast.terms.advice import Advice, WindowScore
from windowcast.terms.practice import DayPractice
from windowcast.terms.rounds import RoundDue

LIMITS = DayPractice()
TUE, WED, THU = (date(2027, 1, day) for day in (12, 13, 14))


def score(day, value, verdict=None, means=(1.0, 1.0, 1.0, 1.0, 1.0)):
    return WindowScore(
        yard_key="", day=day, score=value, verdict=verdict or verdict_of(value, LIMITS),
        usable_hours=4, start=None, end=None, limited_by=None, mean_credits=means, working_h=9,
        ahead_h=9,
    )  # fmt: skip


def advice(key, *scores, **counts):
    return Advice(yard=yard(key, **counts), scores=scores)


@pytest.mark.parametrize(("value", "verdict"), [
    (0.749999, "workable"), (0.75, "good"), (0.7499999, "good"), (0.449999, "poor"),
    (0.45, "workable"), (0.0, "poor"), (1.0, "good"),
])  # fmt: skip
def test_a_limit_belongs_to_the_better_side(value, verdict):
    assert verdict_of(value, LIMITS) == verdict


def test_of_two_verdicts_the_worse_stands():
    assert worse_of("good", "workable") == "workable"
    assert worse_of("poor", "workable") == "poor"


def test_days_stand_best_first_and_the_earlier_first_on_a_tie():
    days = ranked_days([advice("kiln", score(TUE, 0.5), score(WED, 0.9), score(THU, 0.9))], LIMITS)
    assert [(d.day, d.rank) for d in days] == [(WED, 1), (THU, 2), (TUE, 3)]


def test_the_score_of_a_day_weighs_yards_by_their_colonies():
    days = ranked_days(
        [advice("a", score(TUE, 1.0), doubles=30), advice("b", score(TUE, 0.0), doubles=10)], LIMITS
    )
    assert days[0].score == pytest.approx(0.75)
    assert (days[0].verdict, days[0].served) == ("good", ("a",))


def test_without_a_count_of_colonies_yards_weigh_the_same():
    days = ranked_days(
        [advice("a", score(TUE, 1.0), doubles=0), advice("b", score(TUE, 0.5), doubles=0)], LIMITS
    )
    assert days[0].score == pytest.approx(0.75)


def test_a_blind_yard_day_is_named_and_not_counted():
    days = ranked_days(
        [advice("a", score(TUE, 1.0)), advice("b", score(TUE, 0.0, "blind"))], LIMITS
    )
    assert (days[0].score, days[0].served, days[0].unseen) == (1.0, ("a",), ("b",))


def test_a_day_that_no_yard_sees_is_not_ranked():
    days = ranked_days([advice("a", score(TUE, 1.0), score(WED, 0.0, "blind"))], LIMITS)
    assert [d.day for d in days] == [TUE]


def test_a_cap_on_every_yard_caps_the_day_and_ranks_it_below_a_good_one():
    days = ranked_days([advice("a", score(TUE, 1.0, "workable"), score(WED, 0.8))], LIMITS)
    assert [(d.day, d.verdict) for d in days] == [(WED, "good"), (TUE, "workable")]


def test_what_limits_a_day_is_the_lowest_mean_credit_over_its_colonies():
    days = ranked_days(
        [
            advice("a", score(TUE, 0.0, means=(0.1, 1.0, 0.5, 1.0, 1.0)), doubles=1),
            advice("b", score(TUE, 0.0, means=(1.0, 1.0, 0.5, 1.0, None)), doubles=99),
        ],
        LIMITS,
    )
    assert days[0].limited_by == "wind"


def test_a_good_day_is_limited_by_nothing():
    days = ranked_days([advice("a", score(TUE, 0.8, means=(0.7, 1, 1, 1, 1)))], LIMITS)
    assert days[0].limited_by is None


def test_the_order_of_yards_does_not_matter():
    two = [advice("a", score(TUE, 0.3), doubles=3), advice("b", score(TUE, 0.9), doubles=7)]
    assert ranked_days(two, LIMITS) == ranked_days(two[::-1], LIMITS)


def test_days_before_the_notices_today_are_not_listed():
    two = [advice("a", score(TUE, 0.0), score(WED, 0.9)), advice("b", score(WED, 0.9))]
    assert [day.day for day in ranked_days(two, LIMITS, since=WED)] == [WED]
    assert [day.day for day in ranked_days(two, LIMITS, since=TUE)] == [WED, TUE]


def waiting(key, earliest):
    return RoundDue(yard_key=key, state="waiting", round_no=2, earliest=earliest)


def test_a_yard_counts_from_the_day_on_which_its_round_may_be_done():
    asked = [advice("a", score(TUE, 0.9), score(WED, 0.9)), advice("b", score(TUE, 0.9))]
    days = ranked_days(asked, LIMITS, rounds=(waiting("a", WED),))
    assert {d.day: d.served for d in days} == {TUE: ("b",), WED: ("a",)}


def test_a_day_without_any_round_due_is_not_ranked():
    asked = [advice("a", score(TUE, 0.9), score(WED, 0.5))]
    assert [d.day for d in ranked_days(asked, LIMITS, rounds=(waiting("a", WED),))] == [WED]
    done = RoundDue(yard_key="a", state="all_done")
    assert ranked_days(asked, LIMITS, rounds=(done,)) == ()


def test_an_overdue_round_still_counts():
    late = RoundDue(
        yard_key="a", state="overdue", round_no=2, latest=date(2027, 1, 9),
        overdue_since=date(2027, 1, 10),
    )  # fmt: skip
    assert ranked_days([advice("a", score(TUE, 0.9))], LIMITS, rounds=(late,))[0].served == ("a",)
