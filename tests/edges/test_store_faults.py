"""The book under kill -9, crowds, full disks, missing rights and files that are no book."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from itertools import chain
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event
from support.book_workers import SLOTS, VISITS, running, surroundings, together
from support.books import (
    HERE,
    NOW,
    SLOT,
    claimed,
    closing_book,
    everything,
    free_place,
    learned,
    letters,
    visit,
)
from support.kill_rounds import ACTS, ROUNDS
from support.outlooks import outlook
from support.rights import without_privileges

from windowcast.problems import StoreProblem
from windowcast.store.backup import backup, restore
from windowcast.store.book import Book, open_book
from windowcast.store.engine import engine_for

KINDS = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]
crowds = pytest.mark.parametrize("kind", KINDS)


@pytest.mark.parametrize("act", ACTS)
def test_a_killed_writer_leaves_the_book_as_before_or_after(tmp_path: Path, act: str) -> None:
    done = subprocess.run(
        running("support.kill_rounds", str(tmp_path), act),
        env=surroundings(), capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert sum(json.loads(done.stdout).values()) == ROUNDS


@crowds
def test_of_eight_processes_one_gets_each_slot(tmp_path: Path, kind: str) -> None:
    with closing_book(kind, tmp_path) as (book, place):
        got = together("claim", place, [f"machine-{number}" for number in range(8)])
        claimed = sorted(chain.from_iterable(got.values()))
        assert claimed == list(range(SLOTS))
        runs = book.runs(SLOT.day.replace(year=2026, month=1))
        assert {run.attempt for run in runs} == {1}
        holders = [run.holder.host for run in runs if run.holder]
        assert {name: holders.count(name) for name in got} == {n: len(s) for n, s in got.items()}


@crowds
def test_two_processes_write_at_once_and_nothing_is_lost(tmp_path: Path, kind: str) -> None:
    with closing_book(kind, tmp_path) as (book, place):
        wrote = together("write", place, ["office", "truck"])
        kept = {visit.number: visit.person for visit in book.visits()}
        assert kept == {number: name for name, some in wrote.items() for number in some}
        assert len(kept) == 2 * VISITS


@crowds
def test_several_processes_may_make_the_same_book(tmp_path: Path, kind: str) -> None:
    with free_place(kind, tmp_path) as place:
        wrote = together("write", place, ["office", "truck", "shed"])
        with closing(open_book(place)) as book:
            numbers = [visit.number for visit in book.visits()]
        assert sorted(chain.from_iterable(wrote.values())) == numbers
        assert len(numbers) == 3 * VISITS


@pytest.fixture
def place(tmp_path: Path) -> Path:
    place = tmp_path / "book.sqlite"
    with closing(open_book(place)) as book:
        book.add_visit(visit(), NOW)
    return place


def limited(place: Path, pages: int) -> Book:
    """A book on a disk that has room for so many pages."""
    engine = engine_for(place)

    @event.listens_for(engine, "connect")
    def limit(connection: Any, _: object) -> None:
        connection.execute(f"PRAGMA max_page_count = {pages}")

    return Book(engine)


def test_a_full_disk_is_said_and_nothing_is_lost(place: Path) -> None:
    with closing(open_book(place)) as roomy:
        held = claimed(roomy)
    before = everything(place)
    book = limited(place, place.stat().st_size // 4096 + 2)
    many = [outlook(f"yard-{number}") for number in range(40)]
    for write in (
        lambda: book.add_visits([visit(note="x" * 2000)] * 40, NOW),
        lambda: book.keep_hours(many, NOW),
        lambda: book.keep_outlooks(many, NOW),
        lambda: book.keep_result(held, learned(*many), letters("office@vellamoor.example"), NOW),
    ):
        with pytest.raises(StoreProblem, match="has no room to grow; make room on its disk"):
            write()
    assert everything(place) == before
    assert book.add_visit(visit(), NOW).number == 2


def test_a_book_that_another_holds_is_said_after_the_wait(place: Path) -> None:
    with closing(sqlite3.connect(place, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with closing(open_book(place, busy_s=0.2)) as book:
            assert len(book.visits()) == 1
            with pytest.raises(StoreProblem, match="is held by another windowcast that writes"):
                book.add_visit(visit(), NOW)
            other.execute("ROLLBACK")
            assert book.add_visit(visit(), NOW).number == 2


@pytest.fixture
def guarded(place: Path) -> Iterator[Path]:
    """The same book in a folder that everybody may read and nobody write."""
    folder = Path(tempfile.mkdtemp())
    shutil.copy(place, folder / "book.sqlite")
    (folder / "book.sqlite").chmod(0o444)
    folder.chmod(0o555)
    yield folder / "book.sqlite"
    folder.chmod(0o755)
    shutil.rmtree(folder)


def test_in_a_folder_that_may_only_be_read_the_book_can_be_read(guarded: Path) -> None:
    with without_privileges(), closing(open_book(guarded)) as book:
        assert len(book.visits()) == 1
        with pytest.raises(StoreProblem, match="cannot be written; give this user the right"):
            book.add_visit(visit(), NOW)


def test_in_a_folder_that_may_only_be_read_no_book_is_made(guarded: Path) -> None:
    for new in (guarded.with_name("new.sqlite"), guarded.parent / "state" / "new.sqlite"):
        with without_privileges(), pytest.raises(StoreProblem, match="this user may write"):
            open_book(new)
        assert not new.exists()


def test_in_a_folder_that_may_only_be_read_no_copy_is_made(guarded: Path, place: Path) -> None:
    with without_privileges(), pytest.raises(StoreProblem, match="that this user may write in it"):
        backup(guarded, guarded.with_name("copy"))
    assert os.listdir(guarded.parent) == ["book.sqlite"]
    assert len(everything(place)["visits"]) == 1


@pytest.mark.parametrize("content", [b"key,name\nkiln,Kiln\n" * 99, b"SQLite format 3\0" * 99])
def test_a_file_that_is_no_database_is_named_and_left_alone(tmp_path: Path, content: bytes) -> None:
    place = tmp_path / "book.sqlite"
    place.write_bytes(content)
    with pytest.raises(StoreProblem, match=r"the book .*book\.sqlite (is a file but no|is dam)"):
        open_book(place)
    assert place.read_bytes() == content


def test_a_folder_in_the_place_of_the_book_is_said(tmp_path: Path) -> None:
    with pytest.raises(StoreProblem, match="cannot be opened; check that it is a file in a folder"):
        open_book(tmp_path)


def test_a_file_in_the_place_of_the_folder_is_said(place: Path) -> None:
    with pytest.raises(StoreProblem, match=r"cannot be read or written .*; check that its folder"):
        open_book(place / "book.sqlite")


def test_a_damaged_book_is_said_to_be_damaged(place: Path) -> None:
    content = place.read_bytes()
    place.write_bytes(content[:4096] + b"\xa5" * (len(content) - 4096))
    with pytest.raises(StoreProblem, match="is damaged; restore a copy of it"):
        open_book(place)


def test_a_book_that_is_held_is_not_restored(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    before = everything(place)
    with closing(sqlite3.connect(place, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreProblem, match="is held by another windowcast that writes"):
            restore(place, tmp_path / "copy", busy_s=0.2)
    assert everything(place) == before


def test_a_run_that_was_killed_is_taken_over_after_its_lease(place: Path) -> None:
    with closing(open_book(place)) as book:
        book.claim_slot(SLOT, HERE, NOW, timedelta(minutes=5))
    with closing(open_book(place)) as later:
        claim = later.claim_slot(SLOT, HERE, NOW + timedelta(minutes=5), timedelta(minutes=5))
        assert claim is not None
        later.end_slot(claim, NOW + timedelta(minutes=6))
        assert [run.state for run in later.runs(SLOT.day)] == ["done"]
