"""Who runs a slot, who takes over, and what became of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from support.books import HERE, NOW, SLOT, THERE, claimed

from windowcast.problems import StoreProblem
from windowcast.store.book import Book
from windowcast.terms.kept import Claim, Run, SlotKey

LEASE = timedelta(minutes=30)
TICK = timedelta(microseconds=1)


def test_the_first_gets_the_slot_and_the_second_does_not(book: Book) -> None:
    assert claimed(book) == Claim(slot=SLOT, attempt=1, lease_until=NOW + LEASE)
    assert book.claim_slot(SLOT, THERE, NOW, LEASE) is None
    assert book.claim_slot(SLOT, HERE, NOW, LEASE) is None


@pytest.mark.parametrize(
    "other",
    [
        SlotKey(day=date(2027, 1, 13), at=time(6)),
        SlotKey(day=date(2027, 1, 12), at=time(6, 1)),
        SlotKey(day=date(2027, 1, 12), at=time(6), kind="evening"),
    ],
)
def test_another_day_time_or_kind_is_another_slot(book: Book, other: SlotKey) -> None:
    claimed(book)
    assert book.claim_slot(other, THERE, NOW, LEASE) is not None


def test_a_slot_is_taken_over_when_its_lease_is_over_and_not_before(book: Book) -> None:
    claimed(book)
    assert book.claim_slot(SLOT, THERE, NOW + LEASE - TICK, LEASE) is None
    second = book.claim_slot(SLOT, THERE, NOW + LEASE, LEASE)
    assert second == Claim(slot=SLOT, attempt=2, lease_until=NOW + 2 * LEASE)


def test_who_lost_the_slot_can_neither_end_it_nor_extend_nor_fail_it(book: Book) -> None:
    lost = claimed(book)
    book.claim_slot(SLOT, THERE, NOW + LEASE, LEASE)
    for act in (
        lambda: book.end_slot(lost, NOW),
        lambda: book.fail_slot(lost, NOW, "x"),
        lambda: book.extend_lease(lost, NOW, LEASE),
    ):
        with pytest.raises(StoreProblem, match="the run of 2027-01-12 06:00 is no longer ours"):
            act()
    assert [run.holder for run in book.runs(SLOT.day)] == [THERE]


def test_an_extended_lease_holds_longer(book: Book) -> None:
    longer = book.extend_lease(claimed(book), NOW + LEASE - TICK, LEASE)
    assert longer.lease_until == NOW + 2 * LEASE - TICK
    assert book.claim_slot(SLOT, THERE, NOW + LEASE, LEASE) is None


def test_a_slot_that_was_run_is_never_run_again(book: Book) -> None:
    book.end_slot(claimed(book), NOW + TICK, "9 yards")
    assert book.claim_slot(SLOT, THERE, NOW + timedelta(days=9), LEASE) is None
    assert book.runs(SLOT.day) == (
        Run(slot=SLOT, state="done", attempt=1, started_at=NOW, ended_at=NOW + TICK,
            lease_until=None, holder=HERE, remark="9 yards"),
    )  # fmt: skip


def test_a_failed_run_is_tried_again_from_the_time_that_was_named(book: Book) -> None:
    book.fail_slot(claimed(book), NOW, "no forecast", retry_at=NOW + LEASE)
    assert book.claim_slot(SLOT, THERE, NOW + LEASE - TICK, LEASE) is None
    assert book.claim_slot(SLOT, THERE, NOW + LEASE, LEASE) is not None


def test_a_failed_run_without_such_a_time_is_not_tried_again(book: Book) -> None:
    book.fail_slot(claimed(book), NOW, "no forecast")
    assert book.claim_slot(SLOT, THERE, NOW + timedelta(days=9), LEASE) is None


def test_a_missed_slot_is_marked_once_and_never_run(book: Book) -> None:
    assert book.miss_slot(SLOT, NOW, "the machine was off") is True
    assert book.miss_slot(SLOT, NOW) is False
    assert book.claim_slot(SLOT, HERE, NOW + timedelta(days=9), LEASE) is None
    (run,) = book.runs(SLOT.day)
    assert (run.state, run.attempt, run.holder) == ("missed", 0, None)


def test_a_slot_that_was_marked_by_a_clock_ahead_is_free_until_then(book: Book) -> None:
    book.miss_slot(SLOT, NOW + LEASE, "nobody ran it in time")
    assert book.claim_slot(SLOT, HERE, NOW + LEASE, LEASE) is None
    assert book.claim_slot(SLOT, HERE, NOW + LEASE - TICK, LEASE) is not None


def test_a_slot_that_somebody_runs_is_not_missed(book: Book) -> None:
    claimed(book)
    assert book.miss_slot(SLOT, NOW) is False


def test_a_person_may_take_a_slot_that_was_done_failed_or_missed(book: Book) -> None:
    done, failed, missed = (replace(SLOT, at=time(hour)) for hour in (6, 7, 8))
    book.end_slot(claimed(book, done), NOW)
    book.fail_slot(claimed(book, failed), NOW, "no forecast", retry_at=NOW + LEASE)
    book.miss_slot(missed, NOW)
    for slot, attempt in ((done, 2), (failed, 2), (missed, 1)):
        assert book.claim_slot(slot, THERE, NOW, LEASE) is None
        assert book.claim_slot(slot, THERE, NOW, LEASE, by_hand=True) == Claim(
            slot=slot, attempt=attempt, lease_until=NOW + LEASE
        )


def test_a_person_does_not_take_a_slot_that_somebody_runs(book: Book) -> None:
    claimed(book)
    assert book.claim_slot(SLOT, THERE, NOW + LEASE - TICK, LEASE, by_hand=True) is None
    assert book.claim_slot(SLOT, THERE, NOW + LEASE, LEASE, by_hand=True) is not None


def test_runs_are_listed_from_a_day_on_by_day_and_time(book: Book) -> None:
    for day, hour in ((13, 6), (12, 18), (12, 6), (11, 6)):
        slot = SlotKey(day=date(2027, 1, day), at=time(hour))
        book.claim_slot(slot, HERE, NOW, LEASE)
    listed = [(run.slot.day.day, run.slot.at.hour) for run in book.runs(date(2027, 1, 12))]
    assert listed == [(12, 6), (12, 18), (13, 6)]


def test_a_lease_lasts_longer_than_nothing(book: Book) -> None:
    with pytest.raises(ValueError, match="a lease lasts longer than nothing"):
        book.claim_slot(SLOT, HERE, NOW, timedelta(0))
    assert book.claim_slot(replace(SLOT, kind="other"), HERE, NOW, TICK) is not None


def test_a_slot_is_counted_as_done_whoever_has_it(book: Book) -> None:
    lost = claimed(book)
    assert book.settle_slot(SLOT, NOW, "put back") is True
    (run,) = book.runs(SLOT.day)
    assert (run.state, run.remark, run.lease_until) == ("done", "put back", None)
    with pytest.raises(StoreProblem, match="or it was ended"):
        book.end_slot(lost, NOW)
    assert book.settle_slot(SLOT, NOW, "once more") is False
    assert book.runs(SLOT.day) == (run,)


@pytest.mark.parametrize("before", ["nothing", "missed", "failed"])
def test_a_slot_that_nobody_has_is_counted_as_done_too(book: Book, before: str) -> None:
    if before == "missed":
        book.miss_slot(SLOT, NOW)
    if before == "failed":
        book.fail_slot(claimed(book), NOW, "no answer", NOW)
    assert book.settle_slot(SLOT, NOW, "put back") is True
    assert [(run.state, run.remark) for run in book.runs(SLOT.day)] == [("done", "put back")]
    assert book.claim_slot(SLOT, THERE, NOW + LEASE, LEASE) is None
