"""What must hold however often, late or backwards in time somebody looks for a due morning."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

from hypothesis import given
from hypothesis import strategies as st

from windowcast.slots import CATCH_UP, due_now, latest_due, slot_instant
from windowcast.terms.kept import SlotKey

ZONES = st.sampled_from(
    ["America/Boise", "Australia/Lord_Howe", "Africa/Casablanca", "America/Havana", "UTC"]
)
TIMES = st.sets(st.times().map(lambda at: at.replace(second=0, microsecond=0)), min_size=1)
# From two days back to four days on: a clock that was put right, a process that slept.
STEPS = st.lists(st.integers(-2 * 24 * 60, 4 * 24 * 60), min_size=1, max_size=40)
BEGINS = st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31), timezones=st.just(UTC))  # noqa: DTZ001


@given(begin=BEGINS, steps=STEPS, run_at=TIMES, tz=ZONES)
def test_no_slot_is_settled_twice(
    begin: datetime, steps: list[int], run_at: set[time], tz: str
) -> None:
    now, settled = begin, set[SlotKey]()
    for step in steps:
        now += timedelta(minutes=step)
        due = due_now(run_at, tz, now, settled)
        new = [*due.missed, *([due.run] if due.run else [])]
        assert len(set(new)) == len(new)
        assert not settled & set(new)
        assert all(slot_instant(slot, tz) <= now for slot in new)
        settled |= set(new)
        assert due_now(run_at, tz, now, settled).run is None


@given(begin=BEGINS, run_at=TIMES, tz=ZONES, settled_h=st.integers(1, 24 * 40))
def test_only_the_newest_slot_runs_and_only_within_reach(
    begin: datetime, run_at: set[time], tz: str, settled_h: int
) -> None:
    done = latest_due(run_at, tz, begin - timedelta(hours=settled_h))
    due = due_now(run_at, tz, begin, {done})
    newest = latest_due(run_at, tz, begin)
    if due.run is not None:
        assert due.run == newest
        assert due.at == slot_instant(newest, tz)
        assert begin - slot_instant(newest, tz) <= CATCH_UP
    elif newest != done:
        assert due.missed[-1] == newest
    assert list(due.missed) == sorted(due.missed, key=lambda slot: slot_instant(slot, tz))


@given(begin=BEGINS, run_at=TIMES, tz=ZONES)
def test_the_order_of_the_times_does_not_matter(
    begin: datetime, run_at: set[time], tz: str
) -> None:
    up, down = sorted(run_at), sorted(run_at, reverse=True)
    done = {latest_due(up, tz, begin - timedelta(days=2))}
    assert due_now(up, tz, begin, done) == due_now(down, tz, begin, done)
