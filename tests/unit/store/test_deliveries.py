"""Who gets the letter of a slot, and who has it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from support.books import HERE, HOUR, NOW, SLOT, THERE, claimed, learned, letters
from support.outlooks import outlook

from windowcast.problems import StoreProblem
from windowcast.store.book import Book
from windowcast.terms.yard import Place

OFFICE, TRUCK = letters("office@vellamoor.example", "truck@vellamoor.example")
TOLD = outlook("kiln", first=NOW - 30 * HOUR, count=60)


def test_a_result_is_weather_and_letters_at_once(book: Book) -> None:
    kept = replace(learned(TOLD), places={"kiln": Place(tz="America/Boise", elev_m=1300.0)})
    book.keep_result(claimed(book), kept, [OFFICE, TRUCK], NOW)
    assert book.deliveries(SLOT) == (OFFICE, TRUCK)
    assert book.hours_of("kiln", TOLD.hours[:30]) is not None
    outlook_kept = book.outlook_of("kiln", NOW - 48 * HOUR)
    assert outlook_kept is not None
    assert outlook_kept.place.tz == "America/Boise"


def test_hours_of_an_outlook_that_is_not_fresh_are_kept_without_it(book: Book) -> None:
    book.keep_result(claimed(book), replace(learned(TOLD), fresh=()), [], NOW)
    assert book.hours_of("kiln", TOLD.hours[:30]) is not None
    assert book.outlook_of("kiln", NOW - 48 * HOUR) is None


def test_who_lost_the_slot_keeps_nothing(book: Book) -> None:
    lost = claimed(book)
    book.claim_slot(SLOT, THERE, NOW + HOUR, HOUR)
    with pytest.raises(StoreProblem, match="the run of 2027-01-12 06:00 is no longer ours"):
        book.keep_result(lost, learned(TOLD), [OFFICE], NOW + HOUR)
    assert book.deliveries(SLOT) == ()
    assert book.hours_of("kiln", TOLD.hours) is None


def test_who_ended_the_slot_keeps_nothing_more(book: Book) -> None:
    held = claimed(book)
    book.end_slot(held, NOW)
    with pytest.raises(StoreProblem, match="or it was ended; nothing was written"):
        book.keep_result(held, learned(TOLD), [OFFICE], NOW)


def test_a_row_that_is_there_stays_as_it_is(book: Book) -> None:
    held = claimed(book)
    book.keep_result(held, learned(), [OFFICE], NOW)
    sent = book.mark_sent(OFFICE, NOW)
    book.keep_result(held, learned(), [OFFICE, TRUCK], NOW + HOUR)
    assert book.deliveries(SLOT) == (sent, TRUCK)


def test_each_try_counts_and_says_why_it_failed(book: Book) -> None:
    book.keep_result(claimed(book), learned(), [OFFICE], NOW)
    assert book.mark_unsent(OFFICE, "no answer", NOW).remark == "no answer"
    (once,) = book.deliveries(SLOT)
    assert (once.state, once.tries, once.remark) == ("waiting", 1, "no answer")
    assert book.mark_unsent(once, "refused", NOW).tries == 2
    assert book.mark_sent(once, NOW) == replace(OFFICE, state="sent", tries=3)
    assert book.deliveries(SLOT) == (replace(OFFICE, state="sent", tries=3),)


def test_what_was_sent_is_never_unsent(book: Book) -> None:
    book.keep_result(claimed(book), learned(), [OFFICE], NOW)
    sent = book.mark_sent(OFFICE, NOW)
    assert book.mark_unsent(OFFICE, "no answer", NOW) == sent
    assert book.deliveries(SLOT) == (sent,)


def test_a_letter_that_was_not_laid_out_cannot_be_marked(book: Book) -> None:
    with pytest.raises(StoreProblem, match="has no mail of 2027-01-12 for office@vellamoor"):
        book.mark_sent(OFFICE, NOW)
    with pytest.raises(StoreProblem, match="lay it out before it is sent"):
        book.mark_unsent(OFFICE, "no answer", NOW)


def test_another_issue_and_another_kind_are_other_letters(book: Book) -> None:
    (again,) = letters("office@vellamoor.example", issue=2)
    other = replace(SLOT, kind="no forecast")
    (elsewhere,) = letters("office@vellamoor.example", slot=other)
    book.keep_result(claimed(book), learned(), [OFFICE, again, elsewhere], NOW)
    assert book.deliveries(SLOT) == (OFFICE, again)
    assert book.deliveries(other) == (elsewhere,)


def test_a_lease_that_is_over_but_was_not_taken_still_counts(book: Book) -> None:
    held = book.claim_slot(SLOT, HERE, NOW, timedelta(minutes=1))
    assert held is not None
    book.keep_result(held, learned(), [OFFICE], NOW + HOUR)
    assert book.deliveries(SLOT) == (OFFICE,)


def test_what_was_refused_for_good_says_so_until_it_is_sent(book: Book) -> None:
    book.keep_result(claimed(book), learned(), [OFFICE], NOW)
    refused = book.mark_unsent(OFFICE, "no such user", NOW, lasting=True)
    assert (refused.state, refused.tries, refused.remark) == ("refused", 1, "no such user")
    assert book.deliveries(SLOT) == (refused,)
    assert book.mark_unsent(refused, "no answer", NOW).state == "waiting"
    assert book.mark_sent(refused, NOW).state == "sent"
