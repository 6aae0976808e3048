"""Runs whose book cannot grow, or is held: nothing goes out that is not written down."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event
from support.errands import DUE, MINUTE, SLOT, Outfit
from support.outlooks import yard

from windowcast.daily.errand import LEASE, Asked
from windowcast.daily.run import run_slot
from windowcast.problems import StoreProblem
from windowcast.store.book import Book, open_book
from windowcast.store.engine import engine_for
from windowcast.terms.delivery import Letter, Recipient

MANY = tuple(yard(f"yard-{number}") for number in range(40))


@pytest.fixture
def place(tmp_path: Path) -> Path:
    place = tmp_path / "book.sqlite"
    open_book(place).close()
    return place


@pytest.fixture
def outfit(place: Path) -> Iterator[Outfit]:
    with closing(open_book(place)) as book:
        yield Outfit(book)


def without_room(place: Path) -> Book:
    """The book on a disk that is all but full: the row of a run still fits."""
    engine = engine_for(place)

    @event.listens_for(engine, "connect")
    def limit(connection: Any, _: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {place.stat().st_size // 4096}")

    return Book(engine)


def run(outfit: Outfit, book: Book, **changes: object) -> None:
    errand = outfit.errand()
    desk = replace(errand.desk, yards=MANY)
    run_slot(replace(errand, book=book, desk=desk, **changes), Asked(slot=SLOT, due_at=DUE))


def test_on_a_full_disk_nothing_is_sent_and_the_next_run_does_it_all(
    outfit: Outfit, place: Path
) -> None:
    with pytest.raises(StoreProblem, match="has no room to grow; make room on its disk"):
        run(outfit, without_room(place))
    assert outfit.mail.got == []
    assert outfit.book.deliveries(SLOT) == ()
    (failed,) = outfit.book.runs(SLOT.day)
    assert (failed.state, failed.lease_until) == ("failed", DUE + 15 * MINUTE)
    outfit.clock.forward(15 * MINUTE)
    assert outfit.call() is not None
    assert outfit.mail.reached == ["office", "truck"]


class Holding:
    """A channel after whose first letter somebody holds the book."""

    name = "mail"

    def __init__(self, outfit: Outfit, other: sqlite3.Connection) -> None:
        self.outfit, self.other = outfit, other

    def send(self, letter: Letter, recipient: Recipient, identity: str, now: object) -> None:
        self.outfit.mail.send(letter, recipient, identity, DUE)
        self.other.execute("BEGIN IMMEDIATE")


def test_a_letter_that_could_not_be_marked_goes_out_again_with_the_same_identity(
    outfit: Outfit, place: Path
) -> None:
    with (
        closing(sqlite3.connect(place, isolation_level=None)) as other,
        closing(open_book(place, busy_s=0.2)) as book,
        pytest.raises(StoreProblem, match="is held by another windowcast that writes"),
    ):
        run(outfit, book, channels={"mail": Holding(outfit, other)})
    outfit.clock.forward(LEASE)
    assert outfit.call() is not None
    assert outfit.mail.reached == ["office", "office", "truck"]
    first, second, _ = (identity for _, _, identity in outfit.mail.got)
    assert first == second
