"""Who runs a slot: its unique row decides, and a lease lets another take over after a crash."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, Connection, RowMapping, insert, select, update

from windowcast.problems import StoreProblem
from windowcast.store.instants import text_of
from windowcast.store.rows import Row, from_slot
from windowcast.store.tables import runs
from windowcast.terms.kept import DONE, FAILED, MISSED, RUNNING, Claim, Holder, SlotKey


def claim(
    connection: Connection,
    slot: SlotKey,
    holder: Holder,
    now: datetime,
    lease: timedelta,
    by_hand: bool = False,
) -> Claim | None:
    """The right to run a slot; None where somebody has it, had it, or missed it.

    A slot whose lease is over is taken over; its next attempt has the next number. A person
    (``by_hand``) may also take one that was done, failed or missed.
    """
    if not lease > timedelta(0):
        raise ValueError("a lease lasts longer than nothing")
    found = row_of(connection, slot)
    if found is not None and not _is_free(found, now, by_hand):
        return None
    attempt = 1 if found is None else found["attempt"] + 1
    row: Row = {
        "state": RUNNING,
        "attempt": attempt,
        "started_at": text_of(now),
        "ended_at": None,
        "lease_until": text_of(now + lease),
        "host": holder.host,
        "pid": holder.pid,
        "remark": "",
    }
    if found is None:
        connection.execute(insert(runs).values(**from_slot(slot), **row, created_at=text_of(now)))
    else:
        connection.execute(update(runs).where(runs.c.number == found["number"]).values(**row))
    return Claim(slot=slot, attempt=attempt, lease_until=now + lease)


def change_claimed(connection: Connection, held: Claim, row: Row) -> None:
    """Change the row of a slot that is still ours; StoreProblem where it was taken over."""
    if not connection.execute(update(runs).where(*_ours(held)).values(**row)).rowcount:
        raise StoreProblem(_lost(held.slot))


def demand_ours(connection: Connection, held: Claim) -> None:
    """StoreProblem where a slot was taken over, or was ended."""
    if connection.execute(select(runs.c.number).where(*_ours(held))).first() is None:
        raise StoreProblem(_lost(held.slot))


def miss(connection: Connection, slot: SlotKey, now: datetime, remark: str) -> bool:
    """Mark a slot that nobody runs any more; False where it was claimed or marked before."""
    if row_of(connection, slot) is not None:
        return False
    row: Row = {"state": MISSED, "attempt": 0, "started_at": text_of(now), "remark": remark}
    connection.execute(insert(runs).values(**from_slot(slot), **row, created_at=text_of(now)))
    return True


def settle(connection: Connection, slot: SlotKey, now: datetime, remark: str) -> bool:
    """Count a slot as done, whoever has it; False where it was done before."""
    found = row_of(connection, slot)
    if found is not None and found["state"] == DONE:
        return False
    row: Row = {"state": DONE, "ended_at": text_of(now), "lease_until": None, "remark": remark}
    if found is not None:
        connection.execute(update(runs).where(runs.c.number == found["number"]).values(**row))
        return True
    began: Row = {"attempt": 0, "started_at": text_of(now), "created_at": text_of(now)}
    connection.execute(insert(runs).values(**from_slot(slot), **row, **began))
    return True


def row_of(connection: Connection, slot: SlotKey) -> RowMapping | None:
    """The row of a slot, None where it was never claimed."""
    return connection.execute(select(runs).where(*_same(slot))).mappings().first()


def _is_free(row: RowMapping, now: datetime, by_hand: bool) -> bool:
    if by_hand and row["state"] != RUNNING:
        return True
    if row["state"] == MISSED:  # by a clock that was ahead: its time is still to come
        return bool(row["started_at"] > text_of(now))
    over = row["lease_until"] is not None and row["lease_until"] <= text_of(now)
    return over and row["state"] in (RUNNING, FAILED)


def _ours(held: Claim) -> list[ColumnElement[bool]]:
    return [*_same(held.slot), runs.c.attempt == held.attempt, runs.c.state == RUNNING]


def _lost(slot: SlotKey) -> str:
    return (
        f"the run of {slot.day.isoformat()} {slot.at.isoformat('minutes')} is no longer ours:"
        " its lease was over and another has taken it, or it was ended; nothing was written"
    )


def _same(slot: SlotKey) -> list[ColumnElement[bool]]:
    return [runs.c[name] == value for name, value in from_slot(slot).items()]
