"""Counts of mites of any yards: bounds that hold, a page that fits, a document that is one."""

from __future__ import annotations

import json
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st
from support.any_books import KEYS
from support.mite_books import DAY_0, LOGGED, TZ, on, yard

from windowcast.science.colony.yard_mites import MiteBook, mites_of_yards
from windowcast.terms.practice import Practice
from windowcast.terms.report import MiteBoard, MiteWash, Report
from windowcast.terms.visit import Treated, Visit
from windowcast.wording.mites import MiteAccount, mites_text
from windowcast.wording.mites_document import mites_document_text
from windowcast.wording.plain import cost
from windowcast.wording.scale import US

PRACTICE = Practice()
NAMES = st.sampled_from(["", "", "1", "2", "3"])
SEEN = st.one_of(
    st.builds(MiteWash, mites=st.integers(0, 320), bees=st.just(300), colony=NAMES),
    st.builds(MiteBoard, mites=st.integers(0, 500), over_d=st.floats(0.5, 9), colony=NAMES),
)


@st.composite
def books(draw: st.DrawFn) -> MiteBook:
    """Up to three yards, counted and treated at random within ten weeks of a winter."""
    keys = draw(st.lists(KEYS, min_size=1, max_size=3, unique=True))
    where = st.sampled_from(keys)
    reports = [
        Report(yard_key=key, at=on(day), seen=seen, logged_at=LOGGED, number=number)
        for number, (key, day, seen) in enumerate(
            draw(st.lists(st.tuples(where, st.integers(-20, 50), SEEN), max_size=14)), 1
        )
    ]
    done = st.lists(st.tuples(where, st.integers(-5, 30), st.integers(1, 3)), max_size=4)
    visits = [
        Visit(
            yard_key=key, day=DAY_0 + timedelta(days=day), round_no=number, logged_at=LOGGED,
            treated=(Treated(kind="doubles", colonies=number),),
        )
        for key, day, number in draw(done)
    ]  # fmt: skip
    yards = [yard(draw(st.sampled_from([0, 1, 2, 24])), key) for key in keys]
    return MiteBook(yards=yards, zones=dict.fromkeys(keys, TZ), reports=reports, visits=visits)


def found(book):
    return mites_of_yards(book, PRACTICE.mites, date(2026, 7, 1))


@given(books())
def test_bounds_hold_what_they_bound(book):
    for mites in found(book):
        for result in mites.results:
            assert bool(result.controls) == (result.formula != "observed")
            assert result.fall_frac is None or result.fall_frac <= 1
            if result.bounds:
                assert result.bounds.low <= result.fall_frac <= result.bounds.high <= 1


@given(books())
def test_no_yard_is_judged_by_itself_or_by_one_that_was_treated_in_between(book):
    for mites in found(book):
        for result in mites.results:
            controls = {control.yard_key for control in result.controls}
            assert mites.yard_key not in controls
            treated = [v.day for v in book.visits if v.yard_key in controls]
            if result.before:
                first, last = result.before.last_day, result.after.first_day
                limit = timedelta(days=7)
                assert not [day for day in treated if first + limit < day < last - limit]


@given(books())
def test_a_control_is_counted_on_the_sides_of_the_treatment(book):
    for mites in found(book):
        for result in mites.results:
            first = min(span.first_day for span in result.rounds)
            last = max(span.last_day for span in result.rounds)
            for control in result.controls:
                assert control.before is None or control.before.last_day <= first
                assert control.after.first_day > last


@given(books())
def test_the_text_fits_a_page_and_the_document_is_json(book):
    account = MiteAccount(
        outfit="Vellamoor Bees", since=date(2026, 7, 1), yards=found(book),
        uncounted=tuple(item.key for item in book.yards), practice=PRACTICE,
    )  # fmt: skip
    assert all(cost(line) <= 80 for line in mites_text(account, US).splitlines())
    told = json.loads(mites_document_text(account, US))
    assert len(told["yards"]) == len(account.yards)


@given(books(), st.randoms())
def test_the_order_of_reports_and_visits_does_not_matter(book, random):
    reports, visits = list(book.reports), list(book.visits)
    random.shuffle(reports)
    random.shuffle(visits)
    other = MiteBook(yards=book.yards, zones=book.zones, reports=reports, visits=visits)
    assert [(m.wash, m.board, m.results) for m in found(other)] == [
        (m.wash, m.board, m.results) for m in found(book)
    ]
