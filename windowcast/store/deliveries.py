"""Who gets the letter of a slot, and who has it: one row for each recipient, written once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from sqlalchemy import ColumnElement, Connection, RowMapping, insert, select, update

from windowcast.problems import StoreProblem
from windowcast.store.instants import text_of
from windowcast.store.rows import Row, from_delivery, from_slot, to_delivery
from windowcast.store.tables import deliveries
from windowcast.terms.delivery import SENT, WAITING, Delivery
from windowcast.terms.kept import SlotKey


def add_waiting(connection: Connection, letters: Iterable[Delivery], now: datetime) -> None:
    """A row for each letter that has none; those that are there stay as they are."""
    for letter in letters:
        if _row_of(connection, letter) is None:
            waiting = replace(letter, state=WAITING, tries=0, remark="")
            row = {**_key(letter), **from_delivery(waiting), "created_at": text_of(now)}
            connection.execute(insert(deliveries).values(**row))


def rows_of(connection: Connection, slot: SlotKey) -> list[RowMapping]:
    """The rows of a slot by issue, then in the order in which they were written."""
    same = [deliveries.c[name] == value for name, value in from_slot(slot).items()]
    query = select(deliveries).where(*same)
    ordered = query.order_by(deliveries.c.issue, deliveries.c.number)
    return list(connection.execute(ordered).mappings())


def mark_sent(connection: Connection, letter: Delivery, now: datetime) -> Delivery:
    """The other side said yes."""
    times = {"tried_at": text_of(now), "sent_at": text_of(now)}
    return _mark(connection, replace(letter, state=SENT, remark=""), times)


def mark_unsent(
    connection: Connection, letter: Delivery, state: str, why: str, now: datetime
) -> Delivery:
    """A try failed; a letter that was sent meanwhile by another stays sent."""
    row = _row_of(connection, letter)
    if row is not None and row["state"] == SENT:
        return to_delivery(row)
    tried = replace(letter, state=state, remark=why)
    return _mark(connection, tried, {"tried_at": text_of(now)})


def _mark(connection: Connection, letter: Delivery, times: Row) -> Delivery:
    row = _row_of(connection, letter)
    if row is None:
        recipient = letter.recipient
        raise StoreProblem(
            f"the book has no {recipient.channel} of {letter.slot.day.isoformat()} for"
            f" {recipient.address}; lay it out before it is sent"
        )
    tried = replace(letter, tries=row["tries"] + 1)
    change = update(deliveries).where(deliveries.c.number == row["number"])
    connection.execute(change.values(**from_delivery(tried), **times))
    return tried


def _row_of(connection: Connection, letter: Delivery) -> RowMapping | None:
    same: list[ColumnElement[bool]] = [
        deliveries.c[name] == value for name, value in _key(letter).items()
    ]
    return connection.execute(select(deliveries).where(*same)).mappings().first()


def _key(letter: Delivery) -> Row:
    """The columns that make a delivery unique."""
    return {
        **from_slot(letter.slot),
        "issue": letter.issue,
        "channel": letter.recipient.channel,
        "address": letter.recipient.address,
    }
