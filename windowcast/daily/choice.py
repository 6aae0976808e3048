"""Which slot is to be run: by the clock, or because a person asks."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime, time, timedelta

from windowcast.daily.errand import Asked
from windowcast.ports import Ledger
from windowcast.slots import Due, due_now, latest_due, slot_instant
from windowcast.terms.kept import DONE, FAILED, MISSED, RUNNING, Run, SlotKey
from windowcast.times import local_date

MORNING, BY_HAND = "morning", "by_hand"
NEVER_IN_TIME = "nobody ran it in time"
PUT_BACK = "counted as told when a copy was put back"

# How far back the book is asked for what was promised: over a summer in which nothing ran.
LOOK_BACK = timedelta(days=400)


def due(book: Ledger, run_at: Collection[time], tz: str, now: datetime) -> Due:
    """What is to be done at ``now`` by the clock and the book."""
    runs = book.runs(local_date(now, tz) - LOOK_BACK)
    settled = {run.slot for run in runs if run.slot.kind == MORNING and _is_settled(run, now)}
    return due_now(run_at, tz, now, settled)


def by_the_clock(book: Ledger, run_at: Collection[time], tz: str, now: datetime) -> Asked | None:
    """The slot that is due, None without one; slots that nobody will run are marked as missed."""
    found = due(book, run_at, tz, now)
    _mark_missed(book, found, now)
    if found.run is None:
        return None
    return Asked(slot=found.run, due_at=found.at)


def by_hand(
    book: Ledger, run_at: Collection[time], tz: str, now: datetime, *, again: bool = False
) -> Asked:
    """Today's newest slot, or a slot of its own where none of today is due yet."""
    today = local_date(now, tz)
    if run_at:
        newest = latest_due(run_at, tz, now)
        _mark_missed(book, due(book, run_at, tz, now), now)
        if newest.day == today:
            at = slot_instant(newest, tz)
            return Asked(slot=newest, due_at=at, by_hand=True, again=again)
    own = SlotKey(day=today, at=time(0), kind=BY_HAND)
    return Asked(slot=own, by_hand=True, again=again)


def count_as_told(book: Ledger, run_at: Collection[time], tz: str, now: datetime) -> SlotKey | None:
    """Settle the newest due slot of a book that was put back; None where it was done before.

    The copy cannot know what went out after it was made, and nobody is to get it all again.
    """
    newest = latest_due(run_at, tz, now)
    return newest if book.settle_slot(newest, now, PUT_BACK) else None


def run_of(book: Ledger, slot: SlotKey) -> Run | None:
    """What became of a slot so far."""
    return next((run for run in book.runs(slot.day) if run.slot == slot), None)


def _mark_missed(book: Ledger, found: Due, now: datetime) -> None:
    for slot in found.missed:
        book.miss_slot(slot, now, NEVER_IN_TIME)


def _is_settled(run: Run, now: datetime) -> bool:
    """Whether nobody is to run a slot now: it is over, held, or tried again later or never."""
    if run.state == MISSED:  # a clock that was ahead has marked what is still to come
        return run.started_at <= now
    if run.state == DONE:
        return True
    later_or_never = run.lease_until is None or run.lease_until > now
    return run.state in (RUNNING, FAILED) and later_or_never
