"""Whose files the book and its copies are, also where root made them; and who made them first."""

from __future__ import annotations

import os
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest
from support.book_workers import VISITS, together
from support.books import NOW, add_first_visit, claimed, everything, first_migrations, visit
from support.rights import NOBODY

from windowcast.store.backup import backup, restore
from windowcast.store.book import open_book
from windowcast.store.versions import VERSION_TABLE

# Who is not root can give nothing away: then everything belongs to whoever runs the tests.
OTHER = NOBODY if os.geteuid() == 0 else os.geteuid()


@pytest.fixture
def state(tmp_path: Path) -> Path:
    """The state folder of a service that is not root."""
    folder = tmp_path / "state"
    folder.mkdir()
    os.chown(folder, OTHER, -1)
    return folder


def make(place: Path) -> None:
    with closing(open_book(place)) as book:
        book.add_visit(visit(), NOW)


def test_a_new_book_belongs_to_the_owner_of_its_folder(state: Path) -> None:
    make(state / "book.sqlite")
    assert (state / "book.sqlite").stat().st_uid == OTHER


def test_a_lost_book_that_is_restored_belongs_to_the_owner_of_its_folder(state: Path) -> None:
    make(state / "book.sqlite")
    backup(state / "book.sqlite", state.parent / "copy")
    (state / "book.sqlite").unlink()
    restore(state / "book.sqlite", state.parent / "copy")
    assert (state / "book.sqlite").stat().st_uid == OTHER


@pytest.mark.parametrize("damaged", [False, True])
def test_a_restored_book_belongs_to_whom_the_one_before_did(tmp_path: Path, damaged: bool) -> None:
    place = tmp_path / "book.sqlite"
    make(place)
    backup(place, tmp_path / "copy")
    os.chown(place, OTHER, -1)
    if damaged:
        place.write_bytes(b"nothing of a book" * 99)
    aside = restore(place, tmp_path / "copy")
    assert aside is not None
    assert (place.stat().st_uid, aside.stat().st_uid) == (OTHER, OTHER)


def test_processes_that_carry_a_book_forward_at_once_leave_one_copy_of_the_old(
    tmp_path: Path,
) -> None:
    place = tmp_path / "book.sqlite"
    with closing(open_book(place, migrations=first_migrations(tmp_path / "first"))) as first:
        add_first_visit(place)
        first.end_slot(claimed(first), NOW)
    before = everything(place)
    with closing(sqlite3.connect(place, isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN IMMEDIATE")  # until all of them want to
        release = threading.Timer(3.0, lambda: other.execute("ROLLBACK"))
        release.start()
        together("write", place, ["office", "truck", "shed"])
        release.join()
    (copy,) = tmp_path.glob("book.sqlite.*-backup*")
    assert copy.name == "book.sqlite.0001-backup"
    assert everything(copy) == before
    assert everything(place)[VERSION_TABLE] != before[VERSION_TABLE]
    assert len(everything(place)["visits"]) == 1 + 3 * VISITS
