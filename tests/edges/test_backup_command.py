"""``windowcast backup`` and ``restore`` on real folders and a real terminal."""

from __future__ import annotations

import io
import os
import pty
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import date, time, timedelta
from pathlib import Path

import pytest
from support.books import HERE, NOW, everything, first_migrations, later_migrations, visit
from support.configs import OUTFIT, write_config
from support.rights import without_privileges
from support.tree import ROOT

from windowcast.cli import main
from windowcast.settings import load_settings
from windowcast.store.book import open_book
from windowcast.terms.kept import SlotKey
from windowcast.wiring import book_of


@dataclass(frozen=True)
class Done:
    """What a command printed, and its exit status."""

    status: int
    stdout: str
    stderr: str


def run(*arguments: str | Path) -> Done:
    """The whole program, in this process; nobody sits before it."""
    argv, out, err = sys.argv, io.StringIO(), io.StringIO()
    sys.argv = ["windowcast", *map(str, arguments)]
    try:
        with redirect_stdout(out), redirect_stderr(err), pytest.raises(SystemExit) as ended:
            main()
    finally:
        sys.argv = argv
    return Done(int(ended.value.code or 0), out.getvalue(), err.getvalue())


def typed_into(terminal: str, *arguments: str | Path) -> tuple[int, str]:
    """The status of the program in a process of its own, and what its terminal shows."""
    ours, theirs = pty.openpty()
    os.write(ours, terminal.encode())
    code = "import windowcast.cli as c; c.main()"
    ended = subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        cwd=ROOT,
        stdin=theirs,
        stderr=theirs,
        timeout=60,
        check=False,
    )
    seen = os.read(ours, 65536).decode()
    os.close(theirs)
    os.close(ours)
    return ended.returncode, seen


def refused(done: Done, status: int, sentence: str) -> None:
    """One sentence on stderr, nothing on stdout, and the status."""
    assert (done.status, done.stdout) == (status, "")
    (line,) = done.stderr.splitlines()
    assert sentence in line


@pytest.fixture
def bees(tmp_path: Path) -> Path:
    """A configuration with a book of one visit."""
    folder = write_config(tmp_path / "bees")
    add(folder)
    return folder


def place(bees: Path) -> Path:
    return bees / "state" / "book.sqlite"


def add(bees: Path, round_no: int = 1) -> None:
    with closing(book_of(load_settings(bees))) as book:
        book.add_visit(visit(round_no=round_no), NOW)


def rounds(bees: Path) -> list[int]:
    with closing(book_of(load_settings(bees))) as book:
        return [done.round_no for done in book.visits()]


def copied(bees: Path) -> Path:
    copy = bees.parent / "monday.sqlite"
    assert run("backup", copy, "--config", bees).status == 0
    return copy


def test_a_copy_is_made_and_said_on_stderr(bees: Path, tmp_path: Path) -> None:
    done = run("backup", tmp_path / "monday.sqlite", "--config", bees)
    assert (done.status, done.stdout) == (0, "")
    assert done.stderr == f"the book {place(bees)} is copied to {tmp_path / 'monday.sqlite'}\n"
    assert everything(tmp_path / "monday.sqlite") == everything(place(bees))


def test_an_older_copy_is_replaced(bees: Path) -> None:
    copied(bees)
    add(bees, 2)
    assert everything(copied(bees)) == everything(place(bees))


def test_the_book_is_copied_while_somebody_has_it_open(bees: Path) -> None:
    with closing(book_of(load_settings(bees))) as book:
        copy = copied(bees)
        book.add_visit(visit(round_no=2), NOW)
    assert len(everything(copy)["visits"]) == 1


def test_faulty_yards_do_not_stand_between_a_book_and_its_copy(bees: Path) -> None:
    (bees / "yards.csv").write_text("nothing")
    (bees / "practice.toml").unlink()
    assert everything(copied(bees)) == everything(place(bees))


def test_a_copy_is_put_back_and_the_present_book_is_kept(bees: Path) -> None:
    copy = copied(bees)
    add(bees, 2)
    present = everything(place(bees))
    done = run("restore", copy, "--config", bees, "--yes")
    assert (done.status, done.stdout) == (0, "")
    aside = place(bees).with_name("book.sqlite.before-restore")
    assert done.stderr.splitlines() == [
        f"the book {place(bees)} is now as in {copy}",
        f"the one before is kept as {aside}",
    ]
    assert rounds(bees) == [1]
    assert everything(aside) == present


def test_a_lost_book_is_put_back_with_its_folder(bees: Path) -> None:
    copy = copied(bees)
    place(bees).unlink()
    place(bees).parent.rmdir()
    done = run("restore", copy, "--config", bees, "--yes")
    assert done.status == 0
    assert done.stderr.endswith("\nthere was none before\n")
    assert rounds(bees) == [1]


def test_a_damaged_book_is_put_aside_as_it_is(bees: Path) -> None:
    copy = copied(bees)
    place(bees).write_bytes(b"nothing of a book" * 99)
    assert run("restore", copy, "--config", bees, "--yes").status == 0
    aside = place(bees).with_name("book.sqlite.before-restore")
    assert aside.read_bytes() == b"nothing of a book" * 99
    assert rounds(bees) == [1]


def test_without_a_terminal_restore_wants_yes_and_changes_nothing(bees: Path) -> None:
    copy = copied(bees)
    add(bees, 2)
    refused(run("restore", copy, "--config", bees), 2, "run it again with --yes")
    assert rounds(bees) == [1, 2]


@pytest.mark.parametrize(("typed", "left"), [("y\n", [1]), ("n\n", [1, 2]), ("\n", [1, 2])])
def test_on_a_terminal_a_person_is_asked(bees: Path, typed: str, left: list[int]) -> None:
    copy = copied(bees)
    add(bees, 2)
    status, seen = typed_into(typed, "restore", copy, "--config", bees)
    assert status == 0
    assert seen.count(f"Put {copy} in the place of {place(bees)}?") == 1
    assert ("nothing was changed" in seen) is (typed != "y\n")
    assert rounds(bees) == left


def test_an_older_copy_is_carried_forward_by_the_next_command(bees: Path, tmp_path: Path) -> None:
    older = tmp_path / "older.sqlite"
    open_book(older, migrations=first_migrations(tmp_path)).close()
    assert run("restore", older, "--config", bees, "--yes").status == 0
    assert rounds(bees) == []
    assert list(place(bees).parent.glob("book.sqlite.0001-backup"))


def test_where_there_is_no_book_nothing_is_copied(tmp_path: Path) -> None:
    bees = write_config(tmp_path / "bees")
    refused(run("backup", tmp_path / "copy", "--config", bees), 2, "there is no book ")
    assert [path.name for path in tmp_path.iterdir()] == ["bees"]
    assert not place(bees).parent.exists()


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_the_book_itself_is_no_copy(bees: Path, command: str) -> None:
    (bees / "link").symlink_to(place(bees))
    before = place(bees).read_bytes()
    for same in (place(bees), bees / "link", bees / "state" / ".." / "state" / "book.sqlite"):
        done = run(command, same, "--config", bees, *(["--yes"] * (command == "restore")))
        refused(done, 2, "is the book itself; name another file")
    assert place(bees).read_bytes() == before


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_what_is_no_plain_file_is_no_copy(bees: Path, command: str) -> None:
    os.mkfifo(bees / "pipe")
    for file in (bees, bees / "pipe", Path("/dev/null")):
        done = run(command, file, "--config", bees, *(["--yes"] * (command == "restore")))
        refused(done, 2, "is no plain file; name a file")


def test_a_folder_that_is_not_there_is_said(bees: Path) -> None:
    done = run("backup", bees / "nowhere" / "copy", "--config", bees)
    refused(done, 2, f"there is no folder {bees / 'nowhere'}; make it, or name another place")


def test_a_copy_that_is_not_there_is_said(bees: Path) -> None:
    done = run("restore", bees / "nowhere", "--config", bees, "--yes")
    refused(done, 2, f"there is no file {bees / 'nowhere'}; name a copy")


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_a_name_that_no_disk_takes_is_one_sentence(bees: Path, command: str) -> None:
    done = run(command, bees / ("x" * 300), "--config", bees)
    refused(done, 1, "cannot be read or written (File name too long)")


def test_a_file_that_is_no_copy_is_not_replaced(bees: Path) -> None:
    done = run("backup", bees / "yards.csv", "--config", bees)
    refused(done, 1, "is no copy of a book, and is not replaced; name another file")
    assert (bees / "yards.csv").read_text().startswith("key,name,")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "is empty and no copy of a book; name another file"),
        (b"key,name\n" * 99, "is a file but no book"),
        (b"SQLite format 3\0" + b"\xa5" * 8000, "cop"),
    ],
)
def test_garbage_is_not_put_back(bees: Path, content: bytes, sentence: str) -> None:
    (bees / "copy").write_bytes(content)
    before = place(bees).read_bytes()
    refused(run("restore", bees / "copy", "--config", bees, "--yes"), 1, sentence)
    assert place(bees).read_bytes() == before
    assert [path.name for path in place(bees).parent.iterdir()] == ["book.sqlite"]


def test_a_copy_of_a_newer_windowcast_is_not_put_back(bees: Path, tmp_path: Path) -> None:
    copy = copied(bees)
    open_book(copy, migrations=later_migrations(tmp_path)).close()
    before = place(bees).read_bytes()
    done = run("restore", copy, "--config", bees, "--yes")
    refused(done, 1, "made by a newer windowcast")
    assert place(bees).read_bytes() == before


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_a_book_in_postgresql_is_its_servers_business(tmp_path: Path, command: str) -> None:
    book = 'book = "postgresql://bees@127.0.0.1:1/windowcast?application_name=x"\n'
    bees = write_config(tmp_path, outfit=book + OUTFIT)
    done = run(command, tmp_path / "copy", "--config", bees)
    refused(done, 2, "postgresql://bees@127.0.0.1:1/windowcast is in PostgreSQL; copy it with pg_")
    assert not (tmp_path / "copy").exists()


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_without_a_configuration_nothing_is_done(tmp_path: Path, command: str) -> None:
    refused(run(command, tmp_path / "copy", "--config", tmp_path), 3, "outfit.toml: is missing")


@pytest.fixture
def open_to_all() -> Iterator[Path]:
    """A folder that everybody may enter, unlike those of the tests."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)


def test_a_place_that_cannot_be_written_is_one_sentence(open_to_all: Path) -> None:
    bees, shut = write_config(open_to_all / "bees"), open_to_all / "shut"
    add(bees)
    copied(bees)  # and everything is loaded that somebody without rights may not load
    shut.mkdir(mode=0o555)
    with without_privileges():
        done = run("backup", shut / "copy", "--config", bees)
    refused(done, 1, "check that its folder exists and that this user may write in it")
    assert list(shut.iterdir()) == []


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_a_book_behind_a_shut_door_is_one_sentence(open_to_all: Path, command: str) -> None:
    bees = write_config(open_to_all / "bees")
    add(bees)
    copy = copied(bees)
    (bees / "state").chmod(0o600)
    with without_privileges():
        done = run(command, copy, "--config", bees, *(["--yes"] * (command == "restore")))
    refused(done, 1, "cannot be read or written (Permission denied)")
    (bees / "state").chmod(0o700)
    assert rounds(bees) == [1]


TIMES = 'run_at = ["06:00"]\nzone = "America/Los_Angeles"\n'


def ran_at_six(bees: Path, day: int) -> None:
    """What a run of that morning left in the book."""
    with closing(book_of(load_settings(bees))) as book:
        slot = SlotKey(day=date(2027, 1, day), at=time(6))
        held = book.claim_slot(slot, HERE, NOW, timedelta(minutes=30))
        assert held is not None
        book.end_slot(held, NOW, "2 letters")


def runs(bees: Path) -> list[tuple[int, str, str]]:
    with closing(book_of(load_settings(bees))) as book:
        found = book.runs(date(2027, 1, 1))
    return [(run.slot.day.day, run.state, run.remark) for run in found]


@pytest.fixture
def timed(tmp_path: Path) -> Path:
    """An outfit with times to run at; of its mornings only that of the 8th is in the copy."""
    bees = write_config(tmp_path / "bees", outfit=TIMES + OUTFIT)
    ran_at_six(bees, 8)
    copied(bees)
    ran_at_six(bees, 12)
    return bees


def put_back(bees: Path, at: str) -> Done:
    copy = bees.parent / "monday.sqlite"
    return run("restore", copy, "--config", bees, "--at", at, "--yes")


def test_the_newest_morning_counts_as_told_after_a_restore(timed: Path) -> None:
    done = put_back(timed, "2027-01-12T09:00-08:00")
    assert (done.status, done.stdout) == (0, "")
    assert done.stderr.splitlines()[-1] == (
        "the morning of Tue 12 Jan 06:00 counts as told; `windowcast run` sends it to those whom"
        " the copy does not know to have it"
    )
    told = (12, "done", "counted as told when a copy was put back")
    assert runs(timed) == [(8, "done", "2 letters"), told]


def test_a_restore_before_the_morning_leaves_that_of_today_to_come(timed: Path) -> None:
    done = put_back(timed, "2027-01-13T05:59-08:00")
    assert done.stderr.splitlines()[-1] == "the morning of Tue 12 Jan 06:00 counts as told"
    assert [day for day, _, _ in runs(timed)] == [8, 12]


def test_a_copy_that_knows_the_newest_morning_is_left_as_it_is(timed: Path) -> None:
    copied(timed)
    done = put_back(timed, "2027-01-12T09:00-08:00")
    assert "counts as told" not in done.stderr
    assert runs(timed) == [(8, "done", "2 letters"), (12, "done", "2 letters")]


def test_without_times_to_run_at_nothing_is_counted_as_told(bees: Path) -> None:
    copy = copied(bees)
    done = run("restore", copy, "--config", bees, "--yes")
    assert "counts as told" not in done.stderr
    assert runs(bees) == []


def test_a_copy_that_is_put_back_under_a_run_does_not_run_it_again(timed: Path) -> None:
    with closing(book_of(load_settings(timed))) as book:
        slot = SlotKey(day=date(2027, 1, 13), at=time(6))
        book.claim_slot(slot, HERE, NOW, timedelta(minutes=30))
    copied(timed)
    put_back(timed, "2027-01-13T09:00-08:00")
    assert runs(timed)[-1] == (13, "done", "counted as told when a copy was put back")
