"""Which morning is due. A pure function of wall time and zone; the book says what was done.

A slot is a local date with a local time of ``run_at``. It has one instant in UTC, and everything
is compared there. Whoever asks may ask as often as it likes, from several processes, after sleep
and with a clock that was set back: the answer follows from ``now`` and the settled slots alone.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from windowcast.terms.kept import SlotKey
from windowcast.times import YEARS, clock_instant, local_date, local_day_bounds

# Both are rules of this project. A timer that looks every quarter of an hour, and a process that
# is slow to start, are not late; a forecast ten hours into the day still serves the afternoon.
LATE_AFTER = timedelta(minutes=20)
CATCH_UP = timedelta(hours=10)

# A clock that is put back over midnight lets a slot of tomorrow be past already; a clock that is
# put forward over midnight lets one of yesterday be ahead.
_AROUND = (1, 0, -1, -2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """What is to be done now.

    ``run`` is the slot to run, ``at`` its instant in UTC, ``late`` whether the notice must say
    that it is late. ``missed`` are slots that nobody will run any more, oldest first: they are to
    be marked before ``run`` is claimed, and said in the next notice.
    """

    run: SlotKey | None = None
    at: datetime | None = None
    late: bool = False
    missed: tuple[SlotKey, ...] = ()


NOTHING = Due()


def slot_instant(slot: SlotKey, tz: str) -> datetime:
    """The UTC instant of a slot: the first of a repeated hour; out of a skipped one, moved on."""
    return clock_instant(slot.day, slot.at, tz)


def latest_due(run_at: Collection[time], tz: str, now: datetime) -> SlotKey:
    """The newest slot whose instant is not after ``now``."""
    _demand(run_at, now)
    return _latest(tuple(run_at), tz, now)[1]


def due_now(
    run_at: Collection[time],
    tz: str,
    now: datetime,
    settled: Collection[SlotKey],
    catch_up: timedelta = CATCH_UP,
) -> Due:
    """Which slot to run at ``now``, and which are missed.

    ``settled`` are the slots of the book that were done, were marked as missed, or are held by
    somebody whose lease still runs. Slots before the newest settled one are never opened again.
    Of those after it only the newest runs, and only up to ``catch_up`` after its instant. Where
    nothing is settled yet, nothing was promised: the newest slot may run, none is missed.
    """
    _demand(run_at, now)
    ordered = tuple(run_at)
    instant, newest = _latest(ordered, tz, now)
    if newest in settled:
        return NOTHING
    mornings = (slot_instant(slot, tz) for slot in settled if slot.kind == newest.kind)
    began = max((at for at in mornings if at <= now), default=None)
    if began is not None and instant <= began:
        return NOTHING
    opened = [] if began is None else _between(ordered, tz, began, now)
    late_by = now - instant
    if late_by > catch_up:
        return Due(missed=tuple(slot for _, slot in opened))
    passed_over = tuple(slot for at, slot in opened if at < instant)
    return Due(run=newest, at=instant, late=late_by > LATE_AFTER, missed=passed_over)


def _demand(run_at: Collection[time], now: datetime) -> None:
    if not run_at:
        raise ValueError("no time of the day to run at")
    if now.tzinfo is None:
        raise ValueError("a naive datetime has no instant")
    if now.year not in YEARS:
        raise ValueError(f"the year {now.year} is not from {YEARS[0]} to {YEARS[-1]}")


def _latest(run_at: tuple[time, ...], tz: str, now: datetime) -> tuple[datetime, SlotKey]:
    today = local_date(now, tz)
    around = (pair for step in _AROUND for pair in _slots_of(today + timedelta(step), run_at, tz))
    return max((pair for pair in around if pair[0] <= now), key=_in_order)


def _between(
    run_at: tuple[time, ...], tz: str, after: datetime, now: datetime
) -> list[tuple[datetime, SlotKey]]:
    """Slots later than ``after`` and not later than ``now``, oldest first, with their instants."""
    first, last = (local_date(moment, tz) for moment in (after, now))
    days = (first + timedelta(days=step) for step in range(-2, (last - first).days + 2))
    pairs = (pair for day in days for pair in _slots_of(day, run_at, tz))
    return sorted((pair for pair in pairs if after < pair[0] <= now), key=_in_order)


def _in_order(pair: tuple[datetime, SlotKey]) -> tuple[datetime, date, time]:
    """By instant; two slots that a clock change throws together, by what is written."""
    return pair[0], pair[1].day, pair[1].at


@lru_cache(maxsize=4096)
def _slots_of(day: date, run_at: tuple[time, ...], tz: str) -> tuple[tuple[datetime, SlotKey], ...]:
    """Instant and slot for each time of a day; none on a date that a zone left out altogether."""
    start, end = local_day_bounds(day, tz)
    if start == end:
        return ()
    slots = (SlotKey(day=day, at=at) for at in run_at)
    return tuple((slot_instant(slot, tz), slot) for slot in slots)
