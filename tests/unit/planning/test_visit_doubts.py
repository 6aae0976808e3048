"""What is odd about a visit, on both sides of every bound, and the round that is meant."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from support.books import NOW, visit
from support.outlooks import yard

from windowcast.planning.visit_doubts import done_frac, round_meant, visit_doubts
from windowcast.terms.doubt import Doubt, RoundMeant
from windowcast.terms.rounds import RoundPractice
from windowcast.terms.visit import Treated, Visit
from windowcast.terms.yard import Label, Yard

PRACTICE, LABEL = RoundPractice(), Label()
KILN = yard(doubles=20, nucs=4)
DAY_0 = date(2026, 12, 20)


def on(days: int, round_no: int = 1, key: str = "kiln", **counts: int) -> Visit:
    """A visit so many days after the first; of the whole yard unless colonies are counted."""
    return visit(
        yard_key=key,
        day=DAY_0 + timedelta(days=days),
        round_no=round_no,
        logged_at=datetime.combine(DAY_0, NOW.timetz()) + timedelta(days=max(days, 0) + 400),
        treated=tuple(Treated(kind=kind, colonies=count) for kind, count in counts.items()),
    )


def doubts(
    of: Visit, *booked: Visit, label: Label = LABEL, at: Yard = KILN, **limits: float
) -> tuple[Doubt, ...]:
    return visit_doubts(of, at, booked, RoundPractice(**limits), label)


def codes(*arguments: Any, **more: Any) -> list[str]:
    return [doubt.code for doubt in doubts(*arguments, **more)]


def test_a_first_round_and_a_second_in_time_are_not_odd() -> None:
    assert doubts(on(0)) == ()
    assert doubts(on(14, 2), on(0)) == ()


@pytest.mark.parametrize(("days", "odd"), [(13, True), (14, False), (21, False), (22, False)])
def test_the_gap_of_14_days_is_asked_for_on_both_sides(days: int, odd: bool) -> None:
    first, second = on(0), on(days, 2)
    early = Doubt(
        code="gap", other=first, count=days, limit=14, fine_from=DAY_0 + timedelta(days=14)
    )
    assert doubts(second, first) == ((early,) if odd else ())
    late = Doubt(code="gap", other=second, count=days, limit=14)
    assert doubts(first, second) == ((late,) if odd else ())


def test_the_label_asks_where_it_wants_more_days() -> None:
    label = Label(min_days_between=21)
    (doubt,) = doubts(on(20, 2), on(0), label=label)
    assert (doubt.code, doubt.count, doubt.limit) == ("label_days", 20, 21)
    assert doubt.fine_from == DAY_0 + timedelta(days=21)
    assert doubts(on(21, 2), on(0), label=label) == ()
    assert codes(on(13, 2), on(0), label=Label(min_days_between=10)) == ["gap"]


def test_a_half_done_round_may_be_finished_any_day() -> None:
    assert doubts(on(3, doubles=8), on(0, doubles=12)) == ()


def test_visits_of_other_yards_are_no_neighbours() -> None:
    assert doubts(on(0), on(0, key="mill-ditch"), on(1, 2, key="mill-ditch")) == ()


def test_the_gap_reaches_over_the_turn_of_the_season() -> None:
    logged_at = NOW + timedelta(days=400)
    june = visit(day=date(2027, 6, 30), logged_at=logged_at, treated=())
    (doubt,) = doubts(visit(day=date(2027, 7, 1), logged_at=logged_at), june)
    assert (doubt.code, doubt.other, doubt.count) == ("gap", june, 1)
    before = visit(day=date(2027, 6, 29), logged_at=logged_at)
    assert codes(june, before) == []


def test_the_same_hives_twice_on_a_day_look_like_a_double_entry() -> None:
    other = on(0, doubles=8)
    assert doubts(on(0, doubles=8), other) == (Doubt(code="twice", other=other),)
    assert doubts(on(0, nucs=4), other) == ()
    assert doubts(on(1, doubles=8), other) == ()
    assert codes(on(0), other) == ["twice"]
    assert codes(on(0, nucs=4), on(0)) == ["twice", "whole"]


@pytest.mark.parametrize(("now", "odd"), [(8, False), (9, True)])
def test_more_of_a_kind_than_there_are_is_asked_for(now: int, odd: bool) -> None:
    found = doubts(on(3, doubles=now), on(0, doubles=12, nucs=1))
    told = Doubt(code="more", kind="doubles", count=12 + now, limit=20)
    assert found == ((told,) if odd else ())


def test_a_kind_that_the_yard_has_not_is_asked_for_unless_nobody_counted() -> None:
    assert doubts(on(0, singles=1)) == (Doubt(code="more", kind="singles", count=1, limit=0),)
    assert doubts(on(0, singles=1), at=yard(doubles=0)) == ()


def test_a_kind_that_was_too_many_before_is_not_blamed_on_another() -> None:
    assert doubts(on(1, nucs=1), on(0, doubles=21)) == ()


def test_a_round_that_the_whole_yard_has_is_asked_for() -> None:
    first, last = on(0, doubles=20), on(2, nucs=4)
    assert doubts(on(3, nucs=1), first, last) == (Doubt(code="whole", other=last),)
    assert doubts(on(3, nucs=1), first, on(2, nucs=3)) == ()
    assert codes(on(380), on(0)) == []


def test_a_round_that_skips_one_is_asked_for() -> None:
    assert doubts(on(0, 2)) == (Doubt(code="skipped", count=1),)
    assert codes(on(30, 2), on(-300)) == ["skipped"]
    assert codes(on(0, 2), on(20, 1)) == ["skipped"]
    assert doubts(on(30, 2), on(0, doubles=3)) == ()


def test_a_round_beyond_the_planned_ones_is_asked_for() -> None:
    two = on(0), on(14, 2)
    assert doubts(on(28, 3), *two) == (Doubt(code="beyond", count=3, limit=2),)
    assert doubts(on(28, 3), *two, rounds=3.0) == ()


def test_an_earlier_round_after_a_later_one_is_asked_for() -> None:
    second = on(20, 2)
    assert doubts(on(40), on(0, doubles=3), second) == (Doubt(code="backwards", other=second),)
    assert doubts(on(6, doubles=3), on(0, doubles=3), second) == ()


@pytest.mark.parametrize(("days", "odd"), [(364, True), (365, False)])
def test_the_label_counts_applications_in_any_twelve_months(days: int, odd: bool) -> None:
    label = Label(max_applications_per_year=2)
    found = doubts(on(days), on(0), on(20, 2), label=label)
    told = Doubt(code="label_year", count=3, limit=2, fine_from=date(2027, 12, 20))
    assert found == ((told,) if odd else ())


def test_a_round_is_one_application_on_however_many_days() -> None:
    label = Label(max_applications_per_year=2)
    booked = on(0), on(20, 2, doubles=5), on(21, 2, doubles=5)
    assert doubts(on(22, 2, doubles=5), *booked, label=label) == ()


def test_a_visit_booked_late_is_held_against_what_came_after_it() -> None:
    label = Label(max_applications_per_year=2)
    booked = on(40, 2), on(60, 3)
    (doubt,) = [d for d in doubts(on(0), *booked, label=label) if d.code == "label_year"]
    assert doubt.fine_from is None


def test_a_leap_day_has_its_year_on_the_first_of_march() -> None:
    label = Label(max_applications_per_year=1)
    leap = visit(day=date(2028, 2, 29), logged_at=NOW + timedelta(days=900))
    after = [visit(day=date(2029, *d), logged_at=NOW + timedelta(days=900)) for d in
             ((2, 28), (3, 1))]  # fmt: skip
    assert [d.fine_from for d in doubts(after[0], leap, label=label)] == [date(2029, 3, 1)]
    assert doubts(after[1], leap, label=label) == ()


@pytest.mark.parametrize(("grams", "odd"), [(72.0, False), (72.1, True), (7.2, False)])
def test_more_grams_than_the_label_names_are_asked_for(grams: float, odd: bool) -> None:
    of = visit(day=DAY_0, treated=(Treated(kind="doubles", colonies=12, acid_g=grams),))
    label = Label(max_g_per_chamber=3.0, chambers=(("double", 2), ("single", 1)))
    told = Doubt(code="grams", kind="doubles", count=12)
    assert doubts(of, label=label) == ((told,) if odd else ())


@pytest.mark.parametrize(
    "label",
    [Label(), Label(max_g_per_chamber=3.0), Label(chambers=(("double", 2),)),
     Label(max_g_per_chamber=3.0, chambers=(("nuc", 1),))],
)  # fmt: skip
def test_a_label_that_does_not_name_both_is_not_held_against_grams(label: Label) -> None:
    of = visit(day=DAY_0, treated=(Treated(kind="doubles", colonies=1, acid_g=9999.0),))
    assert doubts(of, label=label) == ()
    assert doubts(on(0, doubles=1), label=label) == ()


def test_all_that_is_odd_is_told_in_one_go() -> None:
    found = codes(on(2, 3, doubles=40), on(0), on(1, 2), label=Label(max_applications_per_year=2))
    assert found == ["more", "beyond", "gap", "label_year"]


@pytest.mark.parametrize(
    ("booked", "meant"),
    [
        ([], RoundMeant(round_no=1)),
        ([on(0, doubles=5)], RoundMeant(round_no=1)),
        ([on(0)], RoundMeant(round_no=2)),
        ([on(0), on(14, 2)], RoundMeant(round_no=None)),
        ([on(0), on(14, 2, doubles=3)], RoundMeant(round_no=2)),
        ([on(0), on(31)], RoundMeant(round_no=None, later=date(2027, 1, 20))),
        ([on(-300), on(400), on(0, key="mill-ditch")], RoundMeant(round_no=1)),
    ],
)
def test_the_round_that_is_due_is_meant(booked: list[Visit], meant: RoundMeant) -> None:
    day = DAY_0 + timedelta(days=30)
    assert round_meant(KILN, day, booked, PRACTICE, LABEL) == meant


def test_a_season_begins_on_the_first_of_july() -> None:
    june = visit(day=date(2027, 6, 30), logged_at=NOW + timedelta(days=400), treated=())
    for day, round_no in ((date(2027, 6, 30), 2), (date(2027, 7, 1), 1)):
        assert round_meant(KILN, day, [june], PRACTICE, LABEL).round_no == round_no


def test_the_visits_of_a_round_add_up_and_never_to_more_than_the_yard() -> None:
    some = on(0, doubles=12)
    assert done_frac(KILN, some, []) == 0.5
    assert done_frac(KILN, on(2, nucs=3), [some, on(1, 2), on(-300)]) == pytest.approx(15 / 24)
    assert done_frac(KILN, on(2, doubles=20), [some]) == 1.0


def test_a_doubt_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="'rain' is no doubt"):
        Doubt(code="rain")
