"""Rounds by the calendar: boundaries on both sides, half-done yards, what the label overrides."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from support.outlooks import yard

from windowcast.planning.rounds import round_due, rounds_due, season_totals, treatment_of
from windowcast.terms.rounds import RoundDue, RoundPractice, RoundTotal, Treatment
from windowcast.terms.visit import Treated, Visit
from windowcast.terms.yard import Label

PRACTICE = RoundPractice()
DAY_0 = date(2026, 12, 20)


def on(days: int) -> date:
    return DAY_0 + timedelta(days=days)


def treated(days: int, round_no: int = 1, done_frac: float = 1.0, key: str = "kiln") -> Treatment:
    return Treatment(yard_key=key, day=on(days), round_no=round_no, done_frac=done_frac)


def due(today: int, *treatments: Treatment, label: Label | None = None, **limits) -> RoundDue:
    practice = RoundPractice(**limits)
    return round_due("kiln", treatments, on(today), practice, label or Label())


def test_the_first_round_of_a_season_is_open_without_bounds() -> None:
    assert due(0) == RoundDue(yard_key="kiln", state="open", round_no=1)


@pytest.mark.parametrize(
    ("today", "state"), [(0, "waiting"), (13, "waiting"), (14, "open"), (21, "open"),
                         (22, "overdue"), (60, "overdue")],
)  # fmt: skip
def test_the_second_round_is_open_from_day_14_to_day_21(today: int, state: str) -> None:
    found = due(today, treated(0))
    assert (found.state, found.round_no) == (state, 2)
    assert (found.earliest, found.latest, found.held_by) == (on(14), on(21), "gap")
    assert found.overdue_since == (on(22) if state == "overdue" else None)


def test_after_the_planned_rounds_nothing_is_due() -> None:
    assert due(30, treated(0), treated(16, 2)) == RoundDue(yard_key="kiln", state="all_done")


def test_a_third_round_is_due_only_where_three_are_planned() -> None:
    two = treated(0), treated(16, 2)
    found = due(30, *two, rounds=3.0)
    assert (found.round_no, found.earliest, found.latest) == (3, on(30), on(37))
    assert due(50, *two, treated(33, 3)).state == "all_done"
    assert due(50, *two, treated(33, 3, 0.2)).state == "all_done"
    assert due(50, *two, treated(33, 3), rounds=3.0).state == "all_done"


def test_a_round_that_was_never_booked_is_not_asked_for_after_a_later_one() -> None:
    assert due(30, treated(16, 2)).state == "all_done"


def test_a_half_done_yard_is_to_be_finished_at_once() -> None:
    found = due(1, treated(0, done_frac=0.5))
    assert (found.state, found.round_no, found.done_frac) == ("open", 1, 0.5)
    assert found.earliest is None


@pytest.mark.parametrize(("today", "state"), [(7, "open"), (8, "overdue")])
def test_both_halves_of_a_yard_must_fit_into_the_next_round(today: int, state: str) -> None:
    """Finished on day 7, the next round is from day 7 + 14 to day 0 + 21: one day is left."""
    found = due(today, treated(0, done_frac=0.5))
    assert (found.state, found.latest) == (state, on(7))


def test_the_next_round_waits_for_the_last_half_and_hurries_for_the_first() -> None:
    found = due(18, treated(0, done_frac=0.5), treated(4, done_frac=0.5))
    assert (found.state, found.earliest, found.latest) == ("open", on(18), on(21))


def test_halves_far_apart_leave_a_week_and_never_a_latest_before_the_earliest() -> None:
    halves = treated(0, done_frac=0.5), treated(10, done_frac=0.5)
    found = due(31, *halves)
    assert (found.state, found.earliest, found.latest) == ("open", on(24), on(31))
    assert due(32, *halves).state == "overdue"


def test_the_last_round_half_done_is_to_be_finished_by_its_own_latest_day() -> None:
    found = due(20, treated(0), treated(15, 2, 0.5))
    assert (found.round_no, found.done_frac) == (2, 0.5)
    assert (found.state, found.latest) == ("open", on(21))
    assert due(22, treated(0), treated(15, 2, 0.5)).overdue_since == on(22)


def test_three_thirds_are_a_yard() -> None:
    thirds = [treated(days, done_frac=1 / 3) for days in (0, 1, 2)]
    assert due(3, *thirds[:2]).round_no == 1
    assert due(3, *thirds).round_no == 2


def test_a_second_visit_on_one_day_counts() -> None:
    assert due(3, treated(0, done_frac=0.5), treated(0, done_frac=0.5)).round_no == 2


def test_a_visit_logged_late_takes_its_place() -> None:
    assert due(30, treated(16, 2), treated(0)) == due(30, treated(0), treated(16, 2))


def test_visits_to_other_yards_say_nothing_about_this_one() -> None:
    assert due(5, treated(0, key="heron-slough")) == due(5)


@pytest.mark.parametrize(("today", "state"), [
    (29, "waiting"), (30, "open"), (37, "open"), (38, "overdue"),
])  # fmt: skip
def test_more_days_on_the_label_override_the_trade(today: int, state: str) -> None:
    found = due(today, treated(0), label=Label(min_days_between=30))
    assert (found.earliest, found.latest, found.held_by) == (on(30), on(37), "label_days")
    assert found.state == state


@pytest.mark.parametrize("days", [0, 7, 14, None])
def test_fewer_days_on_the_label_leave_the_trade_as_it_is(days: int | None) -> None:
    assert due(14, treated(0), label=Label(min_days_between=days)) == due(14, treated(0))


@pytest.mark.parametrize("days", [None, 21, 30])
def test_the_other_half_has_a_week_whatever_the_label_says(days: int | None) -> None:
    found = due(1, treated(0, done_frac=0.5), label=Label(min_days_between=days))
    assert (found.state, found.latest) == ("open", on(7))


def test_one_application_a_year_holds_the_second_round_for_a_year() -> None:
    found = due(30, treated(0), label=Label(max_applications_per_year=1))
    assert (found.state, found.round_no) == ("waiting", 2)
    assert (found.earliest, found.held_by) == (date(2027, 12, 20), "label_year")
    assert found.latest == date(2027, 12, 27)


def test_as_many_applications_as_rounds_hold_nothing() -> None:
    two = Label(max_applications_per_year=2)
    assert due(15, treated(0), label=two) == due(15, treated(0))


def test_a_visit_in_two_halves_is_one_application() -> None:
    halves = treated(0, done_frac=0.5), treated(2, done_frac=0.5)
    assert due(20, *halves, label=Label(max_applications_per_year=2)) == due(20, *halves)


@pytest.mark.parametrize(("day", "state"), [("2027-12-19", "waiting"), ("2027-12-20", "open")])
def test_the_year_of_the_label_reaches_into_the_season_before(day: str, state: str) -> None:
    two = Label(max_applications_per_year=2)
    last_winter = treated(0), treated(16, 2)
    found = round_due("kiln", last_winter, date.fromisoformat(day), PRACTICE, two)
    assert (found.round_no, found.state, found.held_by) == (1, state, "label_year")


def test_a_year_after_29_february_is_1_march() -> None:
    leap = Treatment(yard_key="kiln", day=date(2028, 2, 29), round_no=1, done_frac=1.0)
    once = Label(max_applications_per_year=1)
    found = round_due("kiln", [leap], date(2028, 3, 1), PRACTICE, once)
    assert found.earliest == date(2029, 3, 1)


def test_a_new_season_begins_with_round_one_on_1_july() -> None:
    done = [
        Treatment(yard_key="kiln", day=date(2027, 6, 28), round_no=1, done_frac=1.0),
    ]
    june, july = (
        round_due("kiln", done, day, PRACTICE, Label())
        for day in (date(2027, 6, 30), date(2027, 7, 1))
    )
    assert (june.round_no, july.round_no) == (2, 1)
    assert june.earliest == july.earliest == date(2027, 7, 12)
    assert july.latest is None


def test_every_yard_has_its_own_today_and_keeps_its_place() -> None:
    todays = {"mill-ditch": on(13), "kiln": on(14), "quarry-bench": on(0)}
    visits = [treated(0, key="mill-ditch"), treated(0), treated(0, key="gone")]
    found = rounds_due(todays, iter(visits), PRACTICE, Label())
    assert [(item.yard_key, item.state) for item in found] == [
        ("mill-ditch", "waiting"), ("kiln", "open"), ("quarry-bench", "open"),
    ]  # fmt: skip


def test_nine_of_34_yards_have_their_first_round() -> None:
    keys = [f"yard-{number}" for number in range(34)]
    visits = [treated(number, key=key) for number, key in enumerate(keys[:9])]
    first, second = season_totals(keys, visits, 2026, PRACTICE)
    assert first == RoundTotal(round_no=1, done=9, begun=0, yards=34)
    assert second == RoundTotal(round_no=2, done=0, begun=0, yards=34)


def test_totals_tell_halves_extra_rounds_and_no_strangers() -> None:
    visits = [
        treated(0, done_frac=0.5), treated(0, key="heron-slough"), treated(1, 3),
        treated(0, key="gone"),
        Treatment(yard_key="kiln", day=date(2026, 1, 5), round_no=1, done_frac=1.0),
    ]  # fmt: skip
    totals = season_totals(["kiln", "heron-slough"], visits, 2026, PRACTICE)
    assert [(total.round_no, total.done, total.begun) for total in totals] == [
        (1, 1, 1), (2, 0, 0), (3, 1, 0),
    ]  # fmt: skip
    last = season_totals(["kiln", "heron-slough"], visits, 2025, PRACTICE)
    assert [(total.done, total.begun) for total in last] == [(1, 0), (0, 0)]


def visit(*counts: Treated, of_colonies: int | None = None, whole: bool = False) -> Visit:
    logged = datetime(2026, 12, 21, 3, tzinfo=UTC)
    return Visit(
        yard_key="kiln", day=DAY_0, round_no=1, logged_at=logged, treated=counts,
        of_colonies=of_colonies, whole=whole,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("counts", "hives", "share"),
    [
        ((), {"doubles": 12, "nucs": 3}, 1.0),
        ((Treated(kind="doubles", colonies=12),), {"doubles": 12, "nucs": 3}, 0.8),
        ((Treated(kind="doubles", colonies=12), Treated(kind="nucs", colonies=3)),
         {"doubles": 12, "nucs": 3}, 1.0),
        ((Treated(kind="doubles", colonies=14),), {"doubles": 12}, 1.0),
        ((Treated(kind="doubles", colonies=1),), {"doubles": 0}, 1.0),
    ],
)  # fmt: skip
def test_a_visit_treats_a_share_of_the_yard(
    counts: tuple[Treated, ...], hives: dict[str, int], share: float
) -> None:
    found = treatment_of(visit(*counts), yard("kiln", **{"doubles": 0, **hives}))
    assert found == Treatment(yard_key="kiln", day=DAY_0, round_no=1, done_frac=share)


DOUBLES = Treated(kind="doubles", colonies=24)


@pytest.mark.parametrize(("listed", "share"), [(24, 1.0), (25, 1.0), (12, 1.0), (0, 1.0)])
def test_a_change_of_the_list_does_not_rewrite_what_was_done(listed: int, share: float) -> None:
    done = visit(DOUBLES, of_colonies=24)
    assert treatment_of(done, yard("kiln", doubles=listed)).done_frac == share
    half = visit(replace(DOUBLES, colonies=12), of_colonies=24)
    assert treatment_of(half, yard("kiln", doubles=listed)).done_frac == 0.5


def test_a_round_done_by_the_list_of_the_day_is_not_overdue_by_a_longer_one() -> None:
    longer = yard("kiln", doubles=25)
    rounds = [treatment_of(replace(visit(DOUBLES, of_colonies=24), round_no=no), longer)
              for no in (1, 2)]  # fmt: skip
    assert due(60, *rounds).state == "all_done"


def test_a_round_is_whole_where_a_person_says_so() -> None:
    dead = visit(replace(DOUBLES, colonies=23), of_colonies=24, whole=True)
    assert treatment_of(dead, yard("kiln", doubles=24)).done_frac == 1.0
    assert treatment_of(replace(dead, whole=False), yard("kiln", doubles=24)).done_frac < 1.0
