"""Which slot is to be run: by the clock, or because a person asks."""

from __future__ import annotations

from dataclasses import replace
from datetime import time, timedelta

from support.errands import DAY, DUE, HERE, HOUR, MINUTE, RUN_AT, SLOT, TZ, Outfit

from windowcast.daily.choice import by_hand, by_the_clock, count_as_told, due
from windowcast.daily.errand import Asked
from windowcast.terms.kept import Claim, SlotKey


def at(outfit: Outfit, late_by: timedelta = timedelta(0)) -> Asked | None:
    return by_the_clock(outfit.book, RUN_AT, TZ, DUE + late_by)


def claimed(outfit: Outfit, slot: SlotKey = SLOT) -> Claim:
    claim = outfit.book.claim_slot(slot, HERE, DUE, 10 * MINUTE)
    assert claim is not None
    return claim


def test_a_slot_is_due_from_its_minute_on_and_not_before(outfit: Outfit) -> None:
    outfit.call()
    assert at(outfit, DAY - timedelta(seconds=1)) is None
    assert at(outfit, DAY) == Asked(slot=replace(SLOT, day=SLOT.day + DAY), due_at=DUE + DAY)


def test_a_slot_that_somebody_runs_is_not_due_until_the_lease_is_over(outfit: Outfit) -> None:
    claimed(outfit)
    assert at(outfit, 10 * MINUTE - timedelta(seconds=1)) is None
    assert at(outfit, 10 * MINUTE) == Asked(slot=SLOT, due_at=DUE)


def test_a_failed_slot_is_due_again_from_the_time_of_its_retry(outfit: Outfit) -> None:
    outfit.book.fail_slot(claimed(outfit), DUE, "no answer", DUE + HOUR)
    assert at(outfit, HOUR - timedelta(seconds=1)) is None
    assert at(outfit, HOUR) == Asked(slot=SLOT, due_at=DUE)


def test_a_slot_that_failed_for_good_is_not_due_again(outfit: Outfit) -> None:
    outfit.book.fail_slot(claimed(outfit), DUE, "no answer")
    assert at(outfit, HOUR) is None
    assert at(outfit, DAY) is not None


def test_a_run_at_no_set_time_settles_no_morning(outfit: Outfit) -> None:
    own = SlotKey(day=SLOT.day, at=time(0), kind="by_hand")
    outfit.book.end_slot(claimed(outfit, own), DUE)
    assert at(outfit) == Asked(slot=SLOT, due_at=DUE)


def test_missed_slots_are_marked_when_the_clock_is_asked(outfit: Outfit) -> None:
    outfit.call()
    assert due(outfit.book, RUN_AT, TZ, DUE + 3 * DAY).missed != ()
    at(outfit, 3 * DAY)
    assert [run.state for run in outfit.book.runs(SLOT.day)] == ["done", "missed", "missed"]
    assert due(outfit.book, RUN_AT, TZ, DUE + 3 * DAY).missed == ()


def test_what_a_clock_that_was_ahead_marked_is_run_when_its_time_comes(outfit: Outfit) -> None:
    outfit.call()
    at(outfit, 400 * DAY)
    assert at(outfit, DAY) == Asked(slot=replace(SLOT, day=SLOT.day + DAY), due_at=DUE + DAY)
    outfit.clock.now = DUE + DAY
    assert outfit.call() is not None
    assert len(outfit.mail.got) == 4


def test_a_person_marks_them_too(outfit: Outfit) -> None:
    outfit.call()
    asked = by_hand(outfit.book, RUN_AT, TZ, DUE + 2 * DAY)
    assert (asked.slot.day, asked.by_hand) == (SLOT.day + 2 * DAY, True)
    assert [run.state for run in outfit.book.runs(SLOT.day)] == ["done", "missed"]


def test_a_person_gets_the_newest_slot_of_today_however_late(outfit: Outfit) -> None:
    twice = (time(6), time(12))
    asked = by_hand(outfit.book, twice, TZ, DUE + 17 * HOUR, again=True)
    assert asked.slot == replace(SLOT, at=time(12))
    assert (asked.due_at, asked.again) == (DUE + 6 * HOUR, True)


def test_a_slot_of_yesterday_is_no_slot_of_today(outfit: Outfit) -> None:
    asked = by_hand(outfit.book, RUN_AT, TZ, DUE + 18 * HOUR)
    assert asked.slot == SlotKey(day=SLOT.day + DAY, at=time(0), kind="by_hand")
    assert asked.due_at is None
    assert asked.retry_at(DUE) is None


def test_a_summer_in_which_nothing_ran_is_remembered(outfit: Outfit) -> None:
    outfit.call()
    at(outfit, 300 * DAY)
    states = [run.state for run in outfit.book.runs(SLOT.day)]
    assert states == ["done"] + ["missed"] * 299


def test_a_book_that_was_put_back_counts_the_newest_morning_as_told(outfit: Outfit) -> None:
    outfit.call()
    now = DUE + 5 * DAY + HOUR
    newest = replace(SLOT, day=SLOT.day + 5 * DAY)
    assert count_as_told(outfit.book, RUN_AT, TZ, now) == newest
    assert at(outfit, 5 * DAY + HOUR) is None
    run = outfit.book.runs(newest.day)[0]
    assert (run.state, run.remark) == ("done", "counted as told when a copy was put back")
    assert len(outfit.book.runs(SLOT.day)) == 2


def test_the_morning_after_says_nothing_of_those_that_the_copy_does_not_know(
    outfit: Outfit,
) -> None:
    outfit.call()
    count_as_told(outfit.book, RUN_AT, TZ, DUE + 5 * DAY + HOUR)
    outfit.clock.now = DUE + 6 * DAY
    outfit.call()
    assert outfit.mail.texts[-1] == ""


def test_a_morning_of_the_copy_that_was_done_is_left_as_it_is(outfit: Outfit) -> None:
    outfit.call()
    assert count_as_told(outfit.book, RUN_AT, TZ, DUE + HOUR) is None
    assert outfit.book.runs(SLOT.day)[0].remark == "2 letters"


def test_a_person_sends_what_counts_as_told_to_those_who_lack_it(outfit: Outfit) -> None:
    outfit.mail.refuses = {"truck@vellamoor.example"}
    outfit.call()
    outfit.mail.refuses = set()
    assert count_as_told(outfit.book, RUN_AT, TZ, DUE + HOUR) == SLOT
    outfit.clock.forward(HOUR)
    assert outfit.call() is None
    outfit.ask()
    assert outfit.mail.reached == ["office", "truck"]
