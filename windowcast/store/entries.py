"""Numbered rows that are added, undone and listed: visits and reports.

Nothing is deleted: a row that was undone keeps its number and says when.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, RowMapping, Table, insert, select, update

from windowcast.problems import StoreProblem
from windowcast.store.instants import text_of
from windowcast.store.rows import Row


def add(connection: Connection, table: Table, row: Row, now: datetime) -> int:
    """Add a row and return the number that it got."""
    done = connection.execute(insert(table).values(**row, created_at=text_of(now)))
    key = done.inserted_primary_key
    if key is None:
        raise AssertionError("an inserted row has a number")
    return int(key[0])


def undo(connection: Connection, table: Table, number: int, now: datetime) -> RowMapping:
    """Mark a row as undone and return it; StoreProblem where there is none to undo."""
    name = table.name.removesuffix("s")
    row = connection.execute(select(table).where(table.c.number == number)).mappings().first()
    if row is None:
        raise StoreProblem(f"the book has no {name} {number}; list the {name}s for their numbers")
    if row["undone_at"] is not None:
        raise StoreProblem(f"{name} {number} was undone on {row['undone_at'][:10]} already")
    connection.execute(update(table).where(table.c.number == number).values(undone_at=text_of(now)))
    return row


def standing(
    connection: Connection, table: Table, *wanted: ColumnElement[bool], order: Any
) -> list[RowMapping]:
    """Rows that were not undone, in order, then by number."""
    query = (
        select(table).where(table.c.undone_at.is_(None), *wanted).order_by(order, table.c.number)
    )
    return list(connection.execute(query).mappings())


def standing_numbers(connection: Connection, table: Table, yard_key: str) -> frozenset[int]:
    """Numbers of the rows of a yard that were not undone."""
    query = select(table.c.number).where(table.c.undone_at.is_(None), table.c.yard_key == yard_key)
    return frozenset(connection.execute(query).scalars())


def put(connection: Connection, table: Table, key: Row, row: Row, now: datetime) -> None:
    """Replace the row with that key, or add it. Writers come one at a time (``engine``)."""
    same = [table.c[name] == value for name, value in key.items()]
    if not connection.execute(update(table).where(*same).values(**row)).rowcount:
        connection.execute(insert(table).values(**key, **row, created_at=text_of(now)))
