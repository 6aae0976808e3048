"""Reports from a table that a person wrote or a spreadsheet saved."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from support.books import NOW, report
from support.configs import told

from windowcast.records.reports import COLUMNS, new_among, read_reports, reports_text
from windowcast.terms.report import BroodSeen, MiteBoard, MiteWash, RainMeasured

HEAD = "at,yard,kind,seen,plant,colony,colonies,of,bees,days,person,note,logged_at\n"
WHEN = "2027-01-12T05:00-08:00"


def read(text: str):
    return read_reports(text, file="reports.csv", now=NOW)


def faults(text: str) -> list[str]:
    return told(lambda: read(text))


def test_a_row_is_a_report_in_full():
    (found,) = read(f"{HEAD}{WHEN},kiln,brood,Capped,,,3,10,,,Ines,by the gate,\n")
    assert found == report(
        at=datetime(2027, 1, 12, 13, tzinfo=UTC),
        seen=BroodSeen(stage="capped", colonies=3, looked_into=10),
        person="Ines",
        note="by the gate",
    )


def test_a_table_of_another_country_is_read():
    text = "kind;seen;days;at;yard\nboard;12;2,5;{0};kiln\nrain;8,5 mm;;{0};kiln\n"
    board, rain = (found.seen for found in read(text.format(WHEN)))
    assert board == MiteBoard(mites=12, over_d=2.5)
    assert rain == RainMeasured(rain_mm=8.5)


def test_the_heading_of_an_export_is_read_again():
    text = reports_text([report(number=7)], zones={})
    assert text.splitlines()[0] == ",".join(COLUMNS)
    assert read(text) == (report(),)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (f"{WHEN},kiln,wash,6,,,,,,,,,", "seen: a wash has no bees beside it"),
        (f"{WHEN},kiln,wash,six,,,,,300,,,,", 'seen: "six" is not a whole number'),
        (f"{WHEN},kiln,board,6,,,,,,,,,", "seen: a board has no days beside it"),
        (f"{WHEN},kiln,board,6,,,,,300,2,,,", "bees: means nothing for board"),
        (f"{WHEN},kiln,rain,20,,,,,,,,,", "seen: 20 has no unit"),
        (f"{WHEN},kiln,brood,some,,,,,,,,,", "seen: brood 'some' is not known"),
        (f"{WHEN},kiln,brood,open,,,3,,,,,,", "seen: so many colonies of so many"),
        (f"{WHEN},kiln,pollen,perhaps,,,,,,,,,", 'seen: "perhaps" is neither; write yes or no'),
        (f"{WHEN},kiln,bloom,first,,,,,,,,,", "seen: plant '' is no name"),
        (f"{WHEN},kiln,road,wet,,,,,,,,,", "seen: road 'wet' is not known"),
        (f"{WHEN},kiln,queen,yes,,,,,,,,,", 'kind: "queen" is no kind of report'),
        (f"{WHEN},,road,firm,,,,,,,,,", "yard '' is no name"),
        ("2027-01-12T05:00,kiln,road,firm,,,,,,,,,", "at: "),
        ("2027-01-12T07:00-08:00,kiln,road,firm,,,,,,,,,", "it was seen after it was logged"),
        (f"{WHEN},kiln,road,firm,,,,,,,,,2027-01-13T05:00-08:00", "logged_at: "),
    ],
)
def test_a_fault_is_told_with_its_line_and_column(row, said):
    (sentence,) = faults(HEAD + f"{WHEN},kiln,road,firm,,,,,,,,,\n" + row + "\n")
    assert sentence.startswith("reports.csv:3: ")
    assert said in sentence


def test_all_faults_of_a_table_are_told():
    text = f"{HEAD}x,kiln,queen,,,,,,few,,,,\n{WHEN},kiln,road,wet,,,,,,,,,\n"
    assert [line.split(": ")[0] for line in faults(text)] == ["reports.csv:2"] * 3 + [
        "reports.csv:3"
    ]


def test_two_washes_alike_are_two_reports_and_known_ones_are_skipped_one_for_one():
    wash = report(seen=MiteWash(mites=0, bees=300))
    assert new_among([wash, wash], []) == (wash, wash)
    assert new_among([wash, wash], [wash]) == (wash,)
    later = report(seen=MiteWash(mites=0, bees=300), logged_at=NOW.replace(day=13), number=4)
    assert new_among([wash], [later]) == ()
