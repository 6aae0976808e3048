"""Kill a writer at a random moment, again and again: ``python -m support.kill_rounds FOLDER ACT``.

Each round copies a book, forks a child that acts on the copy, kills the child, and compares every
row with the book before the act and with the book after an act that nobody disturbed. Prints how
often it was the one and the other; anything else is an error.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta
from pathlib import Path

from support.books import (
    HERE,
    HOUR,
    NOW,
    SLOT,
    THERE,
    everything,
    later_migrations,
    learned,
    letters,
    report,
    visit,
)
from support.outlooks import outlook

from windowcast.store.backup import backup, restore
from windowcast.store.book import Book, open_book
from windowcast.terms.kept import Claim

ROUNDS = 50
SEED = 20270112
LEASE = timedelta(minutes=5)
YARDS = [f"yard-{number}" for number in range(12)]
TOLD = [outlook(key, first=NOW - 400 * HOUR, count=500) for key in YARDS]

HELD = Claim(slot=SLOT, attempt=1, lease_until=NOW + LEASE)
LETTERS = letters(*(f"{key}@vellamoor.example" for key in YARDS))

Act = Callable[[Path], None]


def on_book(act: Callable[[Book], object]) -> Act:
    """An act on an opened book."""

    def acting(folder: Path) -> None:
        with closing(open_book(folder / "book.sqlite")) as book:
            act(book)

    return acting


def make(folder: Path) -> None:
    """A book where there was none."""
    open_book(folder / "new.sqlite").close()


def carry_forward(folder: Path) -> None:
    """The book of a later windowcast."""
    open_book(folder / "book.sqlite", migrations=folder / "migrations").close()


ACTS: dict[str, Act] = {
    "add_visit": on_book(lambda book: book.add_visit(visit(), NOW)),
    "add_visits": on_book(lambda book: book.add_visits([visit() for _ in range(60)], NOW)),
    "undo_visit": on_book(lambda book: book.undo_visit(1, NOW)),
    "add_report": on_book(lambda book: book.add_report(report(), NOW)),
    "add_reports": on_book(lambda book: book.add_reports([report() for _ in range(60)], NOW)),
    "undo_report": on_book(lambda book: book.undo_report(1, NOW)),
    "keep_hours": on_book(lambda book: book.keep_hours(TOLD, NOW)),
    "keep_outlooks": on_book(lambda book: book.keep_outlooks(TOLD, NOW)),
    "claim_slot": on_book(lambda book: book.claim_slot(SLOT, THERE, NOW + LEASE, LEASE)),
    "extend_lease": on_book(lambda book: book.extend_lease(HELD, NOW, 3 * LEASE)),
    "end_slot": on_book(lambda book: book.end_slot(HELD, NOW, "12 letters")),
    "fail_slot": on_book(lambda book: book.fail_slot(HELD, NOW, "no answer", NOW + LEASE)),
    "settle_slot": on_book(lambda book: book.settle_slot(SLOT, NOW, "put back")),
    "miss_slot": on_book(
        lambda book: book.miss_slot(type(SLOT)(day=SLOT.day, at=SLOT.at, kind="x"), NOW)
    ),
    "keep_result": on_book(lambda book: book.keep_result(HELD, learned(*TOLD), LETTERS, NOW)),
    "mark_sent": on_book(lambda book: book.mark_sent(LETTERS[0], NOW)),
    "mark_unsent": on_book(lambda book: book.mark_unsent(LETTERS[0], "no answer", NOW)),
    "mark_told": on_book(lambda book: book.mark_told({key: "text" for key in YARDS}, NOW)),
    "make": make,
    "carry_forward": carry_forward,
    "backup": lambda folder: backup(folder / "book.sqlite", folder / "copy.sqlite"),
    "restore": lambda folder: restore(folder / "book.sqlite", folder / "other.sqlite") and None,
}

# Where the book of before lies once these are over.
ASIDE = {"carry_forward": "book.sqlite.0002-backup", "restore": "book.sqlite.before-restore"}


def prepare(folder: Path) -> None:
    """A book with something in every table, another one, and later migrations."""
    folder.mkdir()
    with closing(open_book(folder / "book.sqlite")) as book:
        for _ in range(50):
            book.add_visit(visit(), NOW)
        book.add_report(report(), NOW)
        book.keep_hours([outlook(key, first=NOW - 99 * HOUR) for key in YARDS], NOW)
        book.claim_slot(SLOT, HERE, NOW, LEASE)
        book.keep_result(HELD, learned(), LETTERS[:3], NOW)
        backup(folder / "book.sqlite", folder / "other.sqlite")
        book.add_visits([visit(round_no=2)] * 50, NOW)
        book.mark_told({YARDS[0]: "another text"}, NOW)
    later_migrations(folder)


def seen(folder: Path) -> dict[str, object]:
    """Every row of the books that acts may change; a book without a table is no book yet."""
    names = ("book.sqlite", "new.sqlite", "copy.sqlite")
    return {name: everything(folder / name) or None for name in names if (folder / name).exists()}


def settled(found: dict[str, object]) -> dict[str, object]:
    return {name: rows for name, rows in found.items() if rows is not None}


def start(folder: Path, act: Act) -> int:
    """A child that acts; returns as soon as it begins."""
    listening, speaking = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.write(speaking, b"!")
            act(folder)
        finally:
            os._exit(0)
    os.read(listening, 1)
    os.close(listening)
    os.close(speaking)
    return child


def lasts_s(top: Path, act: Act) -> float:
    """How long the act takes when nobody disturbs it, with what a fork costs."""
    longest = 0.0
    for number in range(3):
        folder = top / f"timed-{number}"
        shutil.copytree(top / "start", folder)
        child, began = start(folder, act), time.monotonic()
        os.waitpid(child, 0)
        longest = max(longest, time.monotonic() - began)
    return longest


def killed(folder: Path, act: Act, delay_s: float) -> None:
    """Let a child act for a while, and kill it."""
    child = start(folder, act)
    time.sleep(delay_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def rounds(top: Path, name: str) -> dict[str, int]:
    """How often the book was as before and as after; everything else is an AssertionError."""
    act, chance = ACTS[name], random.Random(f"{SEED} {name}")
    prepare(top / "start")
    shutil.copytree(top / "start", top / "done")
    act(top / "done")
    before, after = settled(seen(top / "start")), settled(seen(top / "done"))
    assert before != after
    longest_s = 1.2 * lasts_s(top, act)
    counts = {"before": 0, "after": 0}
    for number in range(ROUNDS):
        folder = top / f"round-{number}"
        shutil.copytree(top / "start", folder)
        killed(folder, act, chance.uniform(0.0, longest_s))
        found = settled(seen(folder))
        assert found in (before, after), f"{name}, round {number}: neither before nor after"
        counts["before" if found == before else "after"] += 1
        if found == after and name in ASIDE:
            assert everything(folder / ASIDE[name]) == before["book.sqlite"]
        shutil.rmtree(folder)
    return counts


if __name__ == "__main__":
    sys.stdout.write(json.dumps(rounds(Path(sys.argv[1]), sys.argv[2])))
