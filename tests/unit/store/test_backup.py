"""Copies of a book, made and put back."""

from __future__ import annotations

import sqlite3
import stat
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest
from support.books import NOW, everything, later_migrations, visit

from windowcast.problems import StoreProblem
from windowcast.store.backup import backup, keep_aside, restore
from windowcast.store.book import open_book


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Path]:
    """A book with one visit."""
    place = tmp_path / "state" / "book.sqlite"
    with closing(open_book(place)) as book:
        book.add_visit(visit(), NOW)
        yield place


def add(place: Path) -> None:
    with closing(open_book(place)) as book:
        book.add_visit(visit(round_no=2), NOW)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_copy_holds_all_that_the_book_holds_and_nothing_lies_beside_it(
    place: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "copies" / "monday's 100 % copy?"
    copy.parent.mkdir()
    backup(place, copy)
    assert everything(copy) == everything(place)
    assert names(copy.parent) == [copy.name]


def test_a_newer_copy_replaces_an_older_one(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    add(place)
    backup(place, tmp_path / "copy")
    assert everything(tmp_path / "copy") == everything(place)


def test_a_copy_is_made_while_somebody_reads(place: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(place, isolation_level=None)) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM visits").fetchall()
        backup(place, tmp_path / "copy")
    assert everything(tmp_path / "copy") == everything(place)


@pytest.mark.parametrize("content", [b"key,name\nkiln,Kiln\n", b"", b"SQLite format 3\0 not"])
def test_a_file_that_is_no_copy_of_a_book_is_never_replaced(
    place: Path, tmp_path: Path, content: bytes
) -> None:
    other = tmp_path / "yards.csv"
    other.write_bytes(content)
    with pytest.raises(StoreProblem, match="is no copy of a book, and is not replaced"):
        backup(place, other)
    assert other.read_bytes() == content


def test_a_book_is_not_copied_onto_itself(place: Path) -> None:
    (place.parent / "link").symlink_to(place)
    for same in (place, place.parent / "link"):
        with pytest.raises(StoreProblem, match="is no copy of a book, and is not replaced"):
            backup(place, same)
        with pytest.raises(StoreProblem, match="is the book itself; name a copy of it"):
            restore(place, same)


def test_a_folder_that_is_not_there_is_said(place: Path, tmp_path: Path) -> None:
    with pytest.raises(StoreProblem, match="check that its folder exists"):
        backup(place, tmp_path / "nowhere" / "copy")


def test_where_there_is_no_book_nothing_is_copied(tmp_path: Path) -> None:
    with pytest.raises(StoreProblem, match=r"there is no book .*book\.sqlite; name the file"):
        backup(tmp_path / "book.sqlite", tmp_path / "copy")
    assert names(tmp_path) == []


def test_a_damaged_book_is_not_copied(place: Path, tmp_path: Path) -> None:
    damage(place)
    with pytest.raises(StoreProblem, match="damaged"):
        backup(place, tmp_path / "copy")
    assert names(tmp_path) == ["state"]


def test_a_restored_book_is_the_copy_and_the_present_one_is_kept_aside(
    place: Path, tmp_path: Path
) -> None:
    backup(place, tmp_path / "copy")
    add(place)
    copied, present = everything(tmp_path / "copy"), everything(place)
    aside = restore(place, tmp_path / "copy")
    assert aside == place.with_name("book.sqlite.before-restore")
    assert everything(place) == copied
    assert everything(aside) == present
    assert names(place.parent) == ["book.sqlite", "book.sqlite.before-restore"]


def test_a_second_restore_leaves_what_the_first_put_aside(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    restore(place, tmp_path / "copy")
    aside = restore(place, tmp_path / "copy")
    assert aside == place.with_name("book.sqlite.before-restore-2")


def test_whoever_has_the_book_open_sees_the_restored_one(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    with closing(open_book(place)) as book:
        book.add_visit(visit(round_no=2), NOW)
        restore(place, tmp_path / "copy")
        assert [v.round_no for v in book.visits()] == [1]
        assert book.add_visit(visit(round_no=3), NOW).number == 2


def test_a_lost_book_is_restored_with_its_folder(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    new = tmp_path / "new" / "book.sqlite"
    assert restore(new, tmp_path / "copy") is None
    assert everything(new) == everything(place)


@pytest.mark.parametrize("damaged", [b"", b"nothing of a book" * 99, None])
def test_a_damaged_book_is_put_aside_as_it_is(
    place: Path, tmp_path: Path, damaged: bytes | None
) -> None:
    backup(place, tmp_path / "copy")
    damage(place) if damaged is None else place.write_bytes(damaged)
    before = place.read_bytes()
    aside = restore(place, tmp_path / "copy")
    assert aside is not None
    assert aside.read_bytes() == before
    assert everything(place) == everything(tmp_path / "copy")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (None, "there is no book"),
        (b"", "is empty and no copy of a book"),
        (b"nothing of a book" * 99, "is a file but no book"),
    ],
)
def test_what_is_no_copy_is_refused_before_anything_changes(
    place: Path, tmp_path: Path, content: bytes | None, sentence: str
) -> None:
    copy, before = tmp_path / "copy", place.read_bytes()
    if content is not None:
        copy.write_bytes(content)
    with pytest.raises(StoreProblem, match=sentence):
        restore(place, copy)
    assert place.read_bytes() == before
    assert names(place.parent) == ["book.sqlite"]


def test_a_database_of_something_else_is_not_restored(place: Path, tmp_path: Path) -> None:
    for statement in ("CREATE TABLE bees (n)", "PRAGMA user_version = 3"):
        copy = tmp_path / statement[:6]
        with closing(sqlite3.connect(copy)) as other:
            other.execute(statement)
        with pytest.raises(StoreProblem, match="is a database but no book of windowcast"):
            restore(place, copy)


def test_a_damaged_copy_is_not_restored(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    damage(tmp_path / "copy")
    with pytest.raises(StoreProblem, match="damaged"):
        restore(place, tmp_path / "copy")
    assert names(place.parent) == ["book.sqlite"]


def test_a_copy_of_a_newer_windowcast_is_not_restored(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    open_book(tmp_path / "copy", migrations=later_migrations(tmp_path / "later")).close()
    with pytest.raises(StoreProblem, match="has version 0003, made by a newer windowcast"):
        restore(place, tmp_path / "copy")
    assert names(place.parent) == ["book.sqlite"]


def damage(path: Path) -> None:
    """Overwrite every page but the first."""
    content = path.read_bytes()
    path.write_bytes(content[:4096] + b"\xa5" * (len(content) - 4096))


def test_a_book_whose_index_lost_a_row_is_damaged(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    for path in (place, tmp_path / "copy"):
        unindex(path)
    with pytest.raises(StoreProblem, match="is damaged and was not copied; restore a copy"):
        backup(place, tmp_path / "another")
    with pytest.raises(StoreProblem, match=r"the copy .*copy is damaged; name another one"):
        restore(place, tmp_path / "copy")
    assert names(tmp_path) == ["copy", "state"]


def unindex(path: Path) -> None:
    """Let an index point to nothing: every page is well formed, and the book is not whole."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("DELETE FROM sqlite_master WHERE name = 'ix_visits_day'")
        connection.commit()


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_copies_are_read_by_their_owner_alone(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    assert mode(tmp_path / "copy") == 0o600


@pytest.mark.parametrize("damaged", [False, True])
def test_a_restored_book_has_the_mode_of_the_one_before(
    place: Path, tmp_path: Path, damaged: bool
) -> None:
    backup(place, tmp_path / "copy")
    place.chmod(0o640)
    if damaged:
        place.write_bytes(b"nothing of a book" * 99)
    aside = restore(place, tmp_path / "copy")
    assert aside is not None
    assert (mode(place), mode(aside)) == (0o640, 0o640)


def test_a_lost_book_is_restored_for_its_owner_alone(place: Path, tmp_path: Path) -> None:
    backup(place, tmp_path / "copy")
    (tmp_path / "copy").chmod(0o644)
    place.unlink()
    restore(place, tmp_path / "copy")
    assert mode(place) == 0o600


def test_copies_that_are_made_at_once_each_get_a_name(place: Path) -> None:
    with ThreadPoolExecutor(6) as pool:
        made = list(pool.map(lambda _: keep_aside(place, "aside"), range(12)))
    assert len(set(made)) == 12
    assert [everything(copy) == everything(place) for copy in made] == [True] * 12
    assert len(names(place.parent)) == 13


@pytest.mark.parametrize("ending", ["-journal", "-wal", "-shm"])
def test_a_copy_takes_no_name_that_belongs_to_the_book(tmp_path: Path, ending: str) -> None:
    book = tmp_path / "book.sqlite"
    open_book(book).close()
    with pytest.raises(StoreProblem, match="belongs to the book itself"):
        backup(book, tmp_path / f"book.sqlite{ending}")
