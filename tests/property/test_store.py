"""What is put into the book comes out of it as it was."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import time, timedelta
from itertools import count

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.any_books import INSTANTS, KEYS, TEXTS, any_day, outlooks, reports, visits
from support.books import HERE, fresh_book, learned, letters

from windowcast.store.blocks import merged, told_before
from windowcast.store.book import Book
from windowcast.store.instants import moment_of, text_of
from windowcast.store.packing import packed, unpacked
from windowcast.terms.kept import SlotKey
from windowcast.terms.outlook import VARIABLES, Outlook
from windowcast.terms.report import Report
from windowcast.terms.visit import Visit
from windowcast.times import as_datetime, season_of

EXAMPLES = count()
KINDS = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]


@pytest.fixture(scope="module", params=KINDS)
def book(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Book]:
    with fresh_book(request.param, tmp_path_factory.mktemp("book")) as new:
        yield new


@settings(max_examples=60)
@given(visit=visits())
def test_every_visit_comes_back_as_it_was(book: Book, visit: Visit) -> None:
    kept = book.add_visit(visit, visit.logged_at)
    assert replace(kept, number=None) == visit
    assert book.visits(season_of(visit.day)) == (kept,)
    assert book.undo_visit(kept.number or 0, visit.logged_at) == kept
    assert book.visits() == ()


@settings(max_examples=60)
@given(report=reports())
def test_every_report_comes_back_as_it_was(book: Book, report: Report) -> None:
    kept = book.add_report(report, report.logged_at)
    assert replace(kept, number=None) == report
    assert book.reports() == (kept,)
    assert book.undo_report(kept.number or 0, report.logged_at) == kept
    assert book.reports() == ()


def same(one: Outlook, other: Outlook) -> bool:
    arrays = all(one.arrays[n].tobytes() == other.arrays[n].tobytes() for n in VARIABLES)
    origins = one.origin_of_hour.tolist() == other.origin_of_hour.tolist()
    hours = one.hours.tolist() == other.hours.tolist()
    told = (one.yard_key, one.origins, one.hazards) == (
        other.yard_key,
        other.origins,
        other.hazards,
    )
    return arrays and origins and hours and told


@given(outlook=outlooks())
def test_every_outlook_is_packed_bit_for_bit(outlook: Outlook) -> None:
    assert same(unpacked(packed(outlook)), outlook)


@settings(max_examples=40)
@given(outlook=outlooks(), key=KEYS, after=st.integers(0, 70))
def test_every_kept_hour_comes_back_bit_for_bit(
    book: Book, outlook: Outlook, key: str, after: int
) -> None:
    now = as_datetime(outlook.hours[0]) + timedelta(hours=after)
    yard_key = f"{key} {packed(outlook)[-4:].hex()} {after}"
    book.keep_hours([replace(outlook, yard_key=yard_key)], now)
    kept = book.hours_of(yard_key, outlook.hours)
    told = (outlook.origin_of_hour >= 0) & (np.arange(outlook.hours.size) < after)
    if not told.any():
        assert kept is None
        return
    assert kept is not None
    assert ((kept.origin_of_hour >= 0) == told).all()
    for name in VARIABLES:
        assert kept.arrays[name][0, told].tobytes() == outlook.arrays[name][0, told].tobytes()
        assert np.isnan(kept.arrays[name][0, ~told]).all()
    for hour in np.flatnonzero(told):
        ours = kept.origins[kept.origin_of_hour[hour]]
        theirs = outlook.origins[outlook.origin_of_hour[hour]]
        assert replace(ours, issued_at=None) == replace(theirs, issued_at=None)


@given(outlook=outlooks())
def test_keeping_the_same_hours_twice_changes_nothing(outlook: Outlook) -> None:
    for block in told_before(outlook, outlook.hours[-1]).values():
        assert packed(merged(block, block)) == packed(block)


@given(one=outlooks(), other=outlooks())
def test_a_merged_hour_is_from_one_of_the_two_and_told_if_either_tells_it(
    one: Outlook, other: Outlook
) -> None:
    moved = replace(other, hours=one.hours[0] + np.arange(other.hours.size))
    kept, new = (told_before(item, item.hours[-1] + 1) for item in (one, moved))
    for block in set(kept) & set(new):
        whole = merged(kept[block], new[block])
        either = (kept[block].origin_of_hour >= 0) | (new[block].origin_of_hour >= 0)
        assert ((whole.origin_of_hour >= 0) == either).all()
        for hour in np.flatnonzero(either):
            column = [whole.arrays[n][0, hour].tobytes() for n in VARIABLES]
            assert column in [
                [piece.arrays[n][0, hour].tobytes() for n in VARIABLES]
                for piece in (kept[block], new[block])
            ]


@given(one=INSTANTS, other=INSTANTS)
def test_instants_come_back_and_their_text_is_in_the_order_of_time(one, other) -> None:
    assert moment_of(text_of(one)) == one
    assert (text_of(one) < text_of(other)) == (one < other)


@given(day=any_day())
def test_a_season_has_a_year_and_begins_in_july(day) -> None:
    assert 0 <= (day - day.replace(year=season_of(day), month=7, day=1)).days <= 365


@settings(max_examples=30)
@given(address=KEYS, why=TEXTS, now=INSTANTS, issue=st.integers(1, 9))
def test_every_delivery_comes_back_under_any_address(book: Book, address, why, now, issue) -> None:
    kind = f"example {next(EXAMPLES)}"  # the same example may be drawn twice
    slot = SlotKey(day=now.date(), at=time(now.hour, now.minute), kind=kind)
    held = book.claim_slot(slot, HERE, now, timedelta(minutes=1))
    assert held is not None
    (letter,) = letters(address, slot=slot, issue=issue)
    book.keep_result(held, learned(), [letter, letter], now)
    assert book.deliveries(slot) == (letter,)
    tried = book.mark_unsent(letter, why, now)
    assert tried == replace(letter, tries=1, remark=why)
    sent = book.mark_sent(letter, now)
    assert sent == replace(letter, tries=2, state="sent")
    assert book.deliveries(slot) == (sent,)


@settings(max_examples=30)
@given(identity=KEYS, text=TEXTS, first=INSTANTS, second=INSTANTS)
def test_a_told_notice_is_found_under_any_name(book: Book, identity, text, first, second) -> None:
    before = book.told(identity)
    book.mark_told({identity: "something else"}, first)
    book.mark_told({identity: text}, second)
    told = book.told(identity)
    assert told is not None
    assert told.first_told == (first if before is None else before.first_told)
    assert told.last_told == second
