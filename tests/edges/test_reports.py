"""``windowcast reports``: the list, undoing, and the way to a spreadsheet and back."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest
from support.office import windowcast
from support.reporting import booked, outfit, plain, typed
from support.tree import ROOT
from support.visiting import on_a_terminal

SEEN = [
    ("kiln", "brood capped --colonies 3 --of 10", "2025-01-10 09:00"),
    ("kiln", "mites 6 --bees 300 --colony =1+1", "2025-01-12 07:40"),
    ("heron-slough", "mites 12 --board-days 3", "2025-01-12 08:00"),
    ("heron-slough", "bloom hazel first", "2025-02-01 12:00"),
]


@pytest.fixture
def folder(tmp_path):
    made = outfit(tmp_path / "bees")
    for yard, line, at in SEEN:
        assert typed(made, "seen", yard, *line.split(), "--at", at).returncode == 0
    return made


def listed(folder, *words):
    return [line.split()[0] for line in typed(folder, "reports", *words).stdout.splitlines()]


def test_the_list_is_by_the_time_of_seeing_with_number_and_words(folder):
    ran = typed(folder, "reports")
    assert ran.stdout.splitlines() == [
        "     1  kiln, Fri 10 Jan 2025 09:00: capped brood in 3 of 10 colonies",
        "     2  kiln, Sun 12 Jan 2025 07:40: 6 mites washed from 300 bees, colony =1+1",
        "     3  heron-slough, Sun 12 Jan 2025 08:00: 12 mites on a board in 3 days",
        "     4  heron-slough, Sat 1 Feb 2025 12:00: hazel: first flowers",
    ]


def test_the_list_is_narrowed_by_yard_day_and_kind(folder):
    assert listed(folder, "kiln") == ["1", "2"]
    assert listed(folder, "--since", "2025-01-12") == ["2", "3", "4"]
    assert listed(folder, "--since", "2025-01-13") == ["4"]
    assert listed(folder, "--kind", "Mites") == ["2", "3"]
    assert listed(folder, "Heron slough", "--kind", "bloom") == ["4"]


def test_a_day_of_the_list_is_the_yard_s_own(folder):
    typed(folder, "seen", "kiln", "road", "firm", "--at", "2025-02-03 23:30")
    assert listed(folder, "--since", "2025-02-03") == ["5"]
    assert listed(folder, "--since", "2025-02-04") == []


def test_an_empty_list_says_how_to_fill_it(folder):
    ran = typed(folder, "reports", "--kind", "rain")
    assert (ran.returncode, ran.stdout) == (0, "")
    assert "windowcast seen --help" in ran.stderr


def test_json_lists_the_same_and_an_empty_list_is_a_document_too(folder):
    told = json.loads(typed(folder, "reports", "--kind", "mites", "--json").stdout)
    assert told["schema_version"] == 1
    assert [(r["number"], r["bees"], r["over_d"]) for r in told["reports"]] == [
        (2, 300, None),
        (3, None, 3.0),
    ]
    assert told["reports"][0]["at"] == "2025-01-12T07:40:00-08:00"
    assert json.loads(typed(folder, "reports", "--kind", "rain", "--json").stdout)["reports"] == []


def test_an_undone_report_is_listed_no_more(folder):
    ran = typed(folder, "reports", "--undo", 2, "--yes")
    assert ran.returncode == 0
    assert "struck out: report 2: kiln" in ran.stderr
    assert listed(folder) == ["1", "3", "4"]


def test_nothing_is_undone_where_nobody_can_be_asked(folder):
    ran = typed(folder, "reports", "--undo", 2)
    assert ran.returncode == 2
    assert "--yes" in ran.stderr
    assert len(booked(folder)) == 4


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("--undo", "9", "--yes"), 2, "the book has no report 9"),
        (("--undo", "2", "--export", "-"), 2, "--undo and --export are two acts"),
        (("--export", "-", "--json"), 2, "--export and --json are two acts"),
        (("--kind", "queens"), 2, '"queens" is no kind; use brood, pollen, mites'),
        (("--since", "soon"), 2, '"soon" is not a day'),
        (("--since", "0001-01-01"), 2, "is out of reach"),
        (("klin",), 2, 'did you mean "kiln"?'),
        (("--import", "no/such.csv"), 3, "there is no such file"),
        (("--export", "no/such/folder/x.csv"), 2, "cannot be written"),
        (("--export", ""), 2, "names no file"),
        (("--export", "."), 2, "names no file"),
        (("--import", "."), 3, "is not a plain file"),
    ],
)
def test_wrong_use_is_one_sentence(folder, words, status, said):
    ran = typed(folder, "reports", *words)
    assert ran.returncode == status
    assert said in plain(ran.stderr)
    assert len(booked(folder)) == 4


def test_an_export_fills_an_empty_book_with_the_same_reports(folder, tmp_path):
    table = tmp_path / "reports.csv"
    assert typed(folder, "reports", "--export", table).returncode == 0
    other = outfit(tmp_path / "other")
    ran = typed(other, "reports", "--import", table, "--yes")
    assert "4 reports new, 0 in the book already; 4 reports added" in ran.stderr
    assert booked(other) == booked(folder)


def test_no_cell_of_an_export_is_a_formula(folder):
    text = typed(folder, "reports", "--export", "-").stdout
    assert ",'=1+1," in text
    assert "2025-01-12T07:40:00-08:00,kiln,wash,6" in text


def test_what_the_book_has_is_skipped_and_counted(folder, tmp_path):
    table = tmp_path / "reports.csv"
    typed(folder, "reports", "--export", table)
    typed(folder, "reports", "--undo", 3, "--yes")
    ran = typed(folder, "reports", "--import", table, "--yes")
    assert "1 report new, 3 in the book already; 1 report added" in ran.stderr
    again = typed(folder, "reports", "--import", table)
    assert again.returncode == 0
    assert "0 reports new, 4 in the book already; nothing was changed" in again.stderr


def test_a_table_is_not_taken_in_where_nobody_can_be_asked(folder, tmp_path):
    table = tmp_path / "reports.csv"
    table.write_text("at,yard,kind,seen\n2025-03-01T08:00-08:00,kiln,road,firm\n")
    assert typed(folder, "reports", "--import", table).returncode == 2
    assert len(booked(folder)) == 4


def test_a_table_with_a_fault_changes_nothing_and_names_every_line(folder, tmp_path):
    table = tmp_path / "reports.csv"
    table.write_text(
        "at,yard,kind,seen,bees\n2025-03-01T08:00-08:00,kiln,road,firm,\n"
        "2025-03-01T08:00,kiln,road,wet,\n2025-03-01T08:00-08:00,kiln,wash,6,\n"
    )
    ran = typed(folder, "reports", "--import", table, "--yes")
    assert ran.returncode == 3
    assert "reports.csv:3: at:" in ran.stderr
    assert "reports.csv:4: seen: a wash has no bees" in ran.stderr
    assert len(booked(folder)) == 4


def test_a_yard_that_the_list_has_not_is_named_and_kept(folder, tmp_path):
    table = tmp_path / "reports.csv"
    table.write_text("at,yard,kind,seen\n2025-03-01T08:00-08:00,klin,road,firm\n")
    ran = typed(folder, "reports", "--import", table, "--yes")
    assert ran.returncode == 0
    assert "yards.csv has no klin" in ran.stderr
    assert booked(folder)[-1].yard_key == "klin"


def test_a_file_that_is_there_is_not_replaced_without_a_word(folder, tmp_path):
    table = tmp_path / "reports.csv"
    table.write_text("mine\n")
    ran = typed(folder, "reports", "--export", table)
    assert (ran.returncode, table.read_text()) == (2, "mine\n")
    assert typed(folder, "reports", "--export", table, "--yes").returncode == 0
    assert table.read_bytes().startswith(b"\xef\xbb\xbfnumber,at,yard")


def test_the_book_outlives_a_yard(folder):
    (folder / "yards.csv").write_text("key,name,lat,lon\nkiln,Kiln,45.9,-119.6\n")
    assert "     4  heron-slough, Sat 1 Feb 2025 20:00" in typed(folder, "reports").stdout
    assert listed(folder, "heron-slough") == ["3", "4"]


def test_a_folder_without_configuration_is_status_3(tmp_path):
    ran = windowcast("reports", "--config", tmp_path / "nowhere")
    assert ran.returncode == 3


@pytest.mark.parametrize(("answer", "left"), [("y\n", 3), ("n\n", 4), ("\n", 4)])
def test_on_a_terminal_a_person_is_asked_before_a_report_is_struck_out(folder, answer, left):
    done = on_a_terminal(folder, ["reports", "--undo", "2"], answer)
    assert done.returncode == 0
    assert "Strike out report 2: kiln, Sun 12 Jan 2025 07:40" in done.seen
    assert len(booked(folder)) == left


def test_a_table_comes_in_by_a_pipe(folder, tmp_path):
    text = typed(folder, "reports", "--export", "-").stdout
    other = outfit(tmp_path / "other")
    command = [sys.executable, "-m", "windowcast", "reports", "--import", "-", "--yes"]
    done = subprocess.run(
        [*command, "--config", str(other)], input=text, cwd=ROOT, capture_output=True, text=True,
        check=True,
    )  # fmt: skip
    assert "4 reports added" in done.stderr
    assert booked(other) == booked(folder)
