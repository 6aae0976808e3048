"""``windowcast visits``: listed, struck out, exported, imported, with a terminal and without."""

from __future__ import annotations

import csv
import json
import os
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from support.books import visit
from support.visiting import NOW, booked, on_a_terminal, open_at, outfit, run_alone, said, typed

from windowcast.terms.visit import Treated, Visit, VisitWeather
from windowcast.wording.plain import cost

LOGGED = datetime(2027, 1, 12, 19, tzinfo=UTC)
HARMFUL = visit(
    day=date(2027, 1, 11), logged_at=LOGGED, yard_name="=cmd|' /C calc'!A1", person="@Ines 😀",
    note='-1+1\nsecond "line"; with, marks\r\n', crew="'A",
    began_at=datetime(2027, 1, 11, 18, 30, tzinfo=UTC),
    treated=(Treated(kind="doubles", colonies=12, acid_g=47.3), Treated(kind="nucs", colonies=3)),
    weather=VisitWeather(
        hour=datetime(2027, 1, 11, 18, tzinfo=UTC), source="nws", temp_c=-0.1 / 3, wind_mps=1e-7
    ),
)  # fmt: skip
OLD = visit(day=date(2026, 6, 30), logged_at=LOGGED, treated=(), yard_key="gone-yard")
NEW = visit(day=date(2026, 7, 1), logged_at=LOGGED, note="x" * 200)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = outfit(tmp_path / "bees")
    keep(folder, HARMFUL, OLD, NEW)
    return folder


def keep(folder: Path, *some: Visit) -> None:
    with closing(open_at(folder)) as book:
        book.add_visits(some, LOGGED)


def bare(some: tuple[Visit, ...]) -> list[Visit]:
    return [replace(one, number=None) for one in some]


def numbers(listing: str) -> list[str]:
    return [line.split()[0] for line in listing.splitlines()[1:]]


def test_the_list_is_of_the_running_season_with_the_newest_last(folder: Path) -> None:
    ran = typed(folder, "visits")
    assert ran.returncode == 0
    assert numbers(ran.stdout) == ["3", "1"]
    assert max(map(len, ran.stdout.splitlines())) <= 100
    assert ran.stderr == "2 visits of season 2026-2027, 27 colonies counted\n"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--all"], ["2", "3", "1"]), (["--season", "2025"], ["2"]), (["kiln"], ["3", "1"]),
        (["Kiln", "--season", "2026"], ["3", "1"]), (["gone-yard", "--all"], ["2"]),
    ],
)  # fmt: skip
def test_the_list_is_narrowed_by_season_and_yard(
    folder: Path, words: list[str], told: list[str]
) -> None:
    assert numbers(typed(folder, "visits", *words).stdout) == told


@pytest.mark.parametrize(
    ("at", "told"), [("2026-06-30T23:59-07:00", ["2"]), ("2026-07-01T00:00-07:00", ["3", "1"])]
)
def test_a_season_begins_on_the_first_of_july(folder: Path, at: str, told: list[str]) -> None:
    assert numbers(typed(folder, "visits", at=at).stdout) == told


def test_visits_of_this_season_whose_yard_is_not_listed_are_named(folder: Path) -> None:
    assert "gone-yard" not in typed(folder, "visits", "--all").stderr  # of a season gone by
    keep(folder, *[visit(yard_key="old-kiln", logged_at=LOGGED, round_no=no) for no in (1, 2)])
    told = "2 visits of old-kiln, which is not in yards.csv: they count for no yard"
    for words in ([], ["--all"], ["old-kiln"], ["--json"]):
        assert typed(folder, "visits", *words).stderr.splitlines()[-1] == told
    for words in (["kiln"], ["--season", "2025"]):
        assert "old-kiln" not in typed(folder, "visits", *words).stderr
    ran = typed(folder, "check")
    assert (ran.returncode, f"worth a look\n  {told}\n" in ran.stdout) == (0, True)
    assert told in json.loads(typed(folder, "check", "--json").stdout)["remarks"]


def test_check_makes_no_book_and_says_why_one_cannot_be_read(tmp_path: Path) -> None:
    folder = outfit(tmp_path / "bees")
    assert "old-kiln" not in typed(folder, "check").stdout
    assert not (folder / "state").exists()
    (folder / "state").mkdir()
    (folder / "state" / "book.sqlite").write_bytes(b"no book at all" * 99)
    ran = typed(folder, "check")
    assert (ran.returncode, ran.stdout.count("  the book ")) == (0, 1)


def test_an_empty_list_says_how_to_fill_it(folder: Path) -> None:
    ran = typed(folder, "visits", "quarry-bench")
    assert (ran.returncode, ran.stdout) == (0, "")
    assert ran.stderr == (
        "no visit of season 2026-2027 at quarry-bench is in the book; windowcast visit YARD adds"
        " one\n"
    )


def test_on_a_narrow_terminal_no_line_wraps(folder: Path) -> None:
    done = on_a_terminal(folder, ["visits", "--all"], "", columns=60)
    lines = done.seen.splitlines()
    assert "no." in lines[0]
    assert max(map(cost, lines[:4])) <= 60


def test_the_document_lists_the_same(folder: Path) -> None:
    document = json.loads(typed(folder, "visits", "--json", "--all").stdout)
    assert [one["number"] for one in document["visits"]] == [2, 3, 1]
    assert document["season"] is None
    empty = json.loads(typed(folder, "visits", "--json", "--season", "1999").stdout)
    assert empty["visits"] == []


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--undo", "1", "--export", "-"], "--undo and --export are two acts"),
        (["--json", "--import", "x"], "are two acts"),
        (["--all", "--season", "2026"], "--season and --all are two acts"),
        (["klin"], 'did you mean "kiln"?'),
        (["--export", ""], '"" is no file; name one, or - to print'),
        (["--export", "."], '"." is no file; name one, or - to print'),
        (["--undo", "9", "--yes"], "the book has no visit 9; windowcast visits --all"),
    ],
)
def test_wrong_use_changes_nothing(folder: Path, words: list[str], told: str) -> None:
    before = booked(folder)
    ran = typed(folder, "visits", *words)
    assert ran.returncode == 2
    assert told in said(ran)
    assert booked(folder) == before


def test_what_is_struck_out_is_named_and_listed_no_more(folder: Path) -> None:
    ran = typed(folder, "visits", "--undo", "3", "--yes")
    assert ran.returncode == 0
    assert ran.stderr == (
        "struck out: visit 3: kiln, Wed 1 Jul 2026, round 1, 12 doubles (48 g), Ines\n"
    )
    assert [one.number for one in booked(folder)] == [2, 1]
    assert typed(folder, "visits", "--undo", "3", "--yes").returncode == 2


def test_nothing_is_struck_out_where_nobody_can_be_asked(folder: Path) -> None:
    ran = typed(folder, "visits", "--undo", "3")
    assert ran.returncode == 2
    assert len(booked(folder)) == 3


@pytest.mark.parametrize(("typing", "left"), [("y\n", 2), ("n\n", 3), ("\n", 3)])
def test_on_a_terminal_a_person_is_asked_before_striking_out(
    folder: Path, typing: str, left: int
) -> None:
    done = on_a_terminal(folder, ["visits", "--undo", "3"], typing)
    assert done.returncode == 0
    assert "Strike out visit 3: kiln, Wed 1 Jul 2026" in done.seen.replace("\r\n", "")
    assert len(booked(folder)) == left


def test_an_export_fills_an_empty_book_with_the_same_visits(folder: Path, tmp_path: Path) -> None:
    table = tmp_path / "all visits.csv"
    ran = typed(folder, "visits", "--all", "--export", str(table))
    assert ran.stderr == f"3 visits of all seasons written to {table}\n"
    other = outfit(tmp_path / "other")
    ran = typed(other, "visits", "--import", str(table), "--yes")
    assert ran.returncode == 0
    assert ran.stderr.splitlines()[-1].endswith(
        "3 visits new, 0 in the book already; 3 visits added"
    )
    assert "yards.csv has no gone-yard" in ran.stderr
    assert bare(booked(other)) == bare(booked(folder))


def test_no_cell_of_an_export_is_a_formula(folder: Path) -> None:
    text = typed(folder, "visits", "--all", "--export", "-").stdout
    cells = [cell for row in csv.reader(text.splitlines()) for cell in row]
    assert [cell for cell in cells if cell[:1] in tuple("=+@\t\r")] == []
    assert all(float(cell) < 0 for cell in cells if cell.startswith("-"))


def test_a_spreadsheet_knows_the_file_for_utf_8_and_stdout_is_plain(
    folder: Path, tmp_path: Path
) -> None:
    table = tmp_path / "v.csv"
    typed(folder, "visits", "--export", str(table))
    assert table.read_bytes().startswith(b"\xef\xbb\xbfnumber,date,")
    assert typed(folder, "visits", "--export", "-").stdout.startswith("number,date,")


def test_what_is_there_is_replaced_only_when_a_person_agrees(folder: Path, tmp_path: Path) -> None:
    table = tmp_path / "v.csv"
    table.write_text("mine")
    assert typed(folder, "visits", "--export", str(table)).returncode == 2
    done = on_a_terminal(folder, ["visits", "--export", str(table)], "n\n")
    assert f"Replace {table}?"[:20] in done.seen
    assert table.read_text() == "mine"
    assert typed(folder, "visits", "--export", str(table), "--yes").returncode == 0
    assert len(table.read_text("utf-8-sig").splitlines()) > 2


def test_a_full_disk_leaves_the_file_that_is_there(folder: Path, tmp_path: Path) -> None:
    table = tmp_path / "v.csv"
    table.write_text("mine")
    full = (
        "import resource, signal\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (300, 300))"
    )
    done = run_alone(folder, full, "visits", "--export", str(table), "--yes")
    assert done.returncode == 2
    assert "cannot be written" in done.stderr
    assert table.read_text() == "mine"
    assert sorted(os.listdir(tmp_path)) == ["bees", "v.csv"]


def test_what_the_book_has_is_skipped_and_counted(folder: Path, tmp_path: Path) -> None:
    table = tmp_path / "v.csv"
    text = typed(folder, "visits", "--all", "--export", "-").stdout
    table.write_bytes(text.encode())
    before = booked(folder)
    ran = typed(folder, "visits", "--import", str(table))
    assert ran.returncode == 0
    assert ran.stderr.endswith("0 visits new, 3 in the book already; nothing was changed\n")
    table.write_bytes(text.replace("2026-07-01", "2026-07-02").encode())
    ran = typed(folder, "visits", "--import", str(table), "--yes")
    assert ran.stderr.endswith("1 visit new, 2 in the book already; 1 visit added\n")
    assert len(booked(folder)) == len(before) + 1


@pytest.mark.parametrize(("typing", "more"), [("y\n", 1), ("n\n", 0)])
def test_a_table_is_taken_in_once_a_person_agrees(
    folder: Path, tmp_path: Path, typing: str, more: int
) -> None:
    table = tmp_path / "v.csv"
    table.write_text("date,yard,round\n2026-12-01,kiln,1\n")
    assert typed(folder, "visits", "--import", str(table)).returncode == 2
    assert len(booked(folder)) == 3
    done = on_a_terminal(folder, ["visits", "--import", str(table)], typing)
    assert done.returncode == 0
    assert len(booked(folder)) == 3 + more


def test_a_table_with_faults_changes_nothing_and_names_every_line(
    folder: Path, tmp_path: Path
) -> None:
    table = tmp_path / "v.csv"
    table.write_text(
        "date;yard;round;doubles\n2026-12-01;kiln;1;12\n12/2/2026;kiln;1;\n"
        "2026-12-03;kiln;one;x\n2027-12-03;kiln;1;1\n"
    )
    ran = typed(folder, "visits", "--import", str(table), "--yes")
    assert ran.returncode == 3
    places = [line.removeprefix(str(table)).split(":")[1] for line in ran.stderr.splitlines()]
    assert places == ["3", "4", "4", "5"]
    assert len(booked(folder)) == 3


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "is empty"), (b"date,yard\n1,2\n", "round: is missing"),
        (b"PK\x03\x04", "is a spreadsheet workbook"), (b"date,yard,round\n\xff", "no UTF-8"),
    ],
)  # fmt: skip
def test_what_is_no_table_is_a_fault_with_a_cure(
    folder: Path, tmp_path: Path, content: bytes, told: str
) -> None:
    table = tmp_path / "v.csv"
    table.write_bytes(content)
    ran = typed(folder, "visits", "--import", str(table), "--yes")
    assert (ran.returncode, told in ran.stderr) == (3, True)


def test_a_machine_without_a_book_has_no_visits(tmp_path: Path) -> None:
    ran = typed(outfit(tmp_path / "bees"), "visits", at=NOW)
    assert (ran.returncode, ran.stdout) == (0, "")
    assert "no visit of season 2026-2027 is in the book" in ran.stderr
