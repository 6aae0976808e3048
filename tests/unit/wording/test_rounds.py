"""Rounds by the calendar, as the notice tells them."""

from datetime import date, timedelta

import pytest
from support.mornings import DAY, advice, fit, morning, poor, use

from windowcast.notices.console import ConsoleNotice
from windowcast.notices.page import PageNotice
from windowcast.planning.ranking import ranked_days
from windowcast.terms.advice import Blind
from windowcast.terms.practice import Practice
from windowcast.terms.rounds import RoundDue, RoundTotal
from windowcast.wording.document import morning_document
from windowcast.wording.gist import decision, gist_of, share
from windowcast.wording.rounds import round_groups, round_phrase, totals_sentence
from windowcast.wording.view import view_of

NEXT = DAY + timedelta(days=1)
KEYS = ("kiln", "mill", "fen", "owl")


def due(key="kiln", state="open", round_no=2, **changes):
    return RoundDue(yard_key=key, state=state, round_no=round_no, **changes)


def waiting(key="kiln", earliest=NEXT, latest=None, held_by="gap"):
    return due(key, "waiting", earliest=earliest, latest=latest, held_by=held_by)


def late(key="kiln", by=DAY - timedelta(days=3)):
    return due(key, "overdue", latest=by, overdue_since=by + timedelta(days=1))


def told(*rounds, items=None, totals=(), **changes):
    asked = items or [advice(key, fit(DAY), fit(NEXT)) for key in KEYS[: len(rounds)]]
    days = ranked_days(asked, Practice().day, rounds=rounds)
    return morning(asked, days=days, rounds=rounds, totals=totals, **changes)


def seen(*rounds, **changes):
    return view_of(told(*rounds, **changes), "us")


@pytest.mark.parametrize(("item", "phrase"), [
    (due(round_no=1), "round 1 open"),
    (due(latest=date(2027, 1, 14)), "round 2 open, by Thu 14 Jan"),
    (due(round_no=1, done_frac=0.5), "round 1 open, 50 % done"),
    (
        due(round_no=1, done_frac=0.5, latest=date(2027, 1, 14)),
        "round 1 begun, finish by Thu 14 Jan, 50 % done",
    ),
    (waiting(), "round 2 from Wed 13 Jan (days between rounds)"),
    (
        waiting(latest=date(2027, 1, 20)),
        "round 2 from Wed 13 Jan to Wed 20 Jan (days between rounds)",
    ),
    (waiting(held_by="label_days"), "round 2 from Wed 13 Jan (label's days between)"),
    (
        waiting(earliest=date(2028, 1, 13), held_by="label_year"),
        "round 2 from Thu 13 Jan 2028 (label's number a year)",
    ),
    (late(), "round 2 overdue, was due by Sat 9 Jan"),
    (RoundDue(yard_key="kiln", state="all_done"), "nothing more due this season"),
])  # fmt: skip
def test_a_round_is_told_with_its_days(item, phrase):
    assert round_phrase(item, DAY) == phrase


def test_the_most_urgent_stand_first():
    rounds = (waiting("kiln"), due("mill", latest=date(2027, 1, 14)), late("fen"),
              RoundDue(yard_key="owl", state="all_done"))  # fmt: skip
    assert [group.keys for group in round_groups(seen(*rounds))] == [
        ("fen",), ("mill",), ("kiln",), ("owl",),
    ]  # fmt: skip


def test_a_season_that_has_not_begun_is_one_sentence():
    totals = (RoundTotal(round_no=1, done=0, begun=0, yards=2),)
    view = seen(due(round_no=1), due("mill", round_no=1), totals=totals)
    assert round_groups(view) == []
    assert totals_sentence(view) == (
        "Round 1: 0 of 2 yards; none is booked yet (windowcast visit YARD)."
    )


def test_the_season_is_counted_by_round():
    totals = (RoundTotal(round_no=1, done=9, begun=1, yards=34),
              RoundTotal(round_no=2, done=0, begun=0, yards=34))  # fmt: skip
    assert totals_sentence(seen(late(), totals=totals)) == (
        "Round 1: 9 of 34 yards, 1 begun. Round 2: 0 of 34 yards."
    )


def test_of_a_day_only_the_yards_due_are_counted():
    view = seen(due("kiln"), waiting("mill"))
    today, tomorrow = sorted(view.morning.days, key=lambda day: day.day)
    assert share(view, today) == "the one yard due"
    assert share(view, tomorrow) == "both yards"


def test_where_nothing_is_due_today_the_notice_says_so_and_names_the_next_day():
    view = seen(waiting("kiln"), waiting("mill"))
    assert decision(view) == "No go today: no round is due."
    assert gist_of(view).next_up[-1].startswith("Best: Wed 13 Jan")


def test_where_nothing_is_due_at_all_no_yard_is_called_blind():
    done = [RoundDue(yard_key=key, state="all_done") for key in KEYS[:2]]
    view = seen(*done)
    assert decision(view) == ("Nothing to go for: no round is left, 2 yards.")
    assert gist_of(view).blind == ()
    assert "blind" not in ConsoleNotice().write(view.morning)


def test_where_rounds_wait_beyond_the_days_in_reach_the_first_day_is_told():
    view = seen(waiting("kiln", date(2027, 2, 2)), waiting("mill", date(2027, 1, 30)))
    assert decision(view) == "Nothing to go for: no round may be done before Sat 30 Jan."


def test_an_overdue_round_stands_in_the_head():
    text = ConsoleNotice().write(told(late("kiln"), late("mill"), due("fen")))
    assert "Watch: round 2 overdue at kiln, mill" in text.splitlines()[:10]


def test_the_section_is_bounded_and_counts_what_it_leaves_out():
    keys = [f"yard-{number}" for number in range(40)]
    rounds = tuple(due(key, latest=DAY + timedelta(days=n)) for n, key in enumerate(keys))
    text = ConsoleNotice().write(told(
        *rounds, items=[advice(key, fit(DAY)) for key in keys],
        totals=(RoundTotal(round_no=1, done=40, begun=0, yards=40),),
    ))  # fmt: skip
    assert "more yards: windowcast morning --html FILE" in text
    assert len(text.splitlines()) <= 60


def test_the_page_tells_the_same_rounds():
    totals = (RoundTotal(round_no=1, done=1, begun=0, yards=2),)
    page = PageNotice().write(told(late("kiln"), due("mill"), totals=totals))
    assert "Round 1: 1 of 2 yards." in page
    assert "Round 2 overdue, was due by Sat 9 Jan" in page


def test_the_document_holds_the_rounds_of_every_yard():
    totals = (RoundTotal(round_no=1, done=1, begun=0, yards=2),)
    document = morning_document(told(late("kiln"), waiting("mill"), totals=totals))
    assert [(r.key, r.state, r.round, r.earliest, r.latest) for r in document.rounds] == [
        ("kiln", "overdue", 2, None, date(2027, 1, 9)), ("mill", "waiting", 2, NEXT, None),
    ]  # fmt: skip
    assert [(t.round, t.done, t.yards) for t in document.season] == [(1, 1, 2)]
    assert document.verdict_today == "good"


def test_today_without_a_round_due_has_no_verdict():
    assert morning_document(told(waiting("kiln"))).verdict_today is None


def test_a_yard_that_is_not_due_is_no_reason_against_a_day():
    items = [advice("kiln", fit(DAY)), advice("mill", poor(DAY))]
    text = ConsoleNotice().write(told(due("kiln"), waiting("mill"), items=items))
    assert "the one yard due" in text
    assert "too warm" not in text


def test_a_forecast_out_of_the_book_is_named_with_its_age_however_young():
    kept = use(age_h=3.0, kept=True)
    text = ConsoleNotice().write(told(due("kiln"), sources=(kept,)))
    assert "Watch: forecast 3 h old (nws, kept)" in text
    assert "nws: from the book, forecast 3 h old" in text
    assert morning_document(told(due("kiln"), sources=(kept,))).sources[0].kept


@pytest.mark.parametrize(("days", "line"), [
    (-1, "Watch: round 2 overdue at kiln"), (0, "Watch: last day of round 2 at kiln"),
])  # fmt: skip
def test_the_last_day_of_a_round_stands_in_the_head(days, line):
    by = DAY + timedelta(days=days)
    item = late(by=by) if days < 0 else due(latest=by)
    assert line in ConsoleNotice().write(told(item, due("mill"))).splitlines()[:10]


def test_the_day_before_its_last_a_round_presses_nobody():
    assert gist_of(seen(due(latest=NEXT))).pressing == ()


def test_a_blind_yard_with_a_round_due_goes_before_those_that_wait():
    rounds = (waiting("kiln", date(2027, 1, 25)), late("mill"))
    blind = (Blind(key="mill", why="nws: no answer"),)
    view = seen(*rounds, items=[advice("kiln", fit(DAY))], blind=blind)
    assert decision(view) == "Nothing to go for: the only yard with a round due is blind."
    assert gist_of(view).blind == ("mill",)


def test_a_day_long_past_is_never_the_first_day_of_a_round():
    rounds = (waiting("kiln", date(2027, 1, 25)), RoundDue(yard_key="mill", state="all_done"))
    blind = (Blind(key="mill", why="nws: no answer"),)
    view = seen(*rounds, items=[advice("kiln", fit(DAY))], blind=blind)
    assert decision(view) == "Nothing to go for: no round may be done before Mon 25 Jan."


def test_overdue_yards_are_named_even_on_the_fullest_sheet():
    keys = [f"yard-{number}" for number in range(120)]
    rounds = tuple(
        late(key) if n < 5 else due(key, latest=DAY + timedelta(days=n))
        for n, key in enumerate(keys)
    )
    items = [advice(key, fit(DAY, (8 + n % 5, 12 + n % 4))) for n, key in enumerate(keys)]
    totals = (RoundTotal(round_no=1, done=120, begun=0, yards=120),)
    text = ConsoleNotice().write(told(*rounds, items=items, totals=totals))
    assert "Round 2 overdue, was due by Sat 9 Jan: yard-0, yard-1, yard-2, yard-3, yard-4" in text
    assert len(text.splitlines()) <= 60
