"""Cells that no spreadsheet runs, and tables as spreadsheets of many countries save them."""

from __future__ import annotations

import pytest

from windowcast.problems import ConfigProblem
from windowcast.records.cells import (
    Row,
    count_of,
    decoded,
    each_read,
    guarded,
    number_of,
    shown,
    table_rows,
    table_text,
    unguarded,
)

COLUMNS = ("day", "yard", "note")
NEEDED = ("day", "yard")


def rows(text: str) -> tuple[Row, ...]:
    return table_rows(text, file="v.csv", columns=COLUMNS, needed=NEEDED)


def faults(text: str) -> list[str]:
    with pytest.raises(ConfigProblem) as caught:
        each_read(rows(text), lambda row: row.told("day"))
    return [str(fault) for fault in caught.value.faults]


# The beginnings are those of "CSV injection", OWASP Foundation, community pages, read from memory.
@pytest.mark.parametrize(
    "text",
    [
        "=1+1", "+1+1", "-1-1", "@SUM(A1)", "\t=1", "\rx", "\nx", "  =1", "'=1", "' =1", "''@x",
        "＝1", "-", "=", "+1 509 555", "-3,5", " -3.5", "'-3.5",
    ],
)  # fmt: skip
def test_a_cell_that_a_spreadsheet_may_run_gets_one_apostrophe(text: str) -> None:
    assert guarded(text) == f"'{text}"
    assert unguarded(guarded(text)) == text


@pytest.mark.parametrize(
    "text", ["", "-3.5", "+4", "12", "-0", "1e-7", "-1.5E+3", "kiln", "'s", "a=b", " x", "😀 = bee"]
)
def test_numbers_and_ordinary_text_stay_as_they_are(text: str) -> None:
    assert guarded(text) == text
    assert unguarded(text) == text


def test_a_table_ends_its_lines_as_the_standard_says_and_guards_its_cells() -> None:
    text = table_text(COLUMNS, [["2027-01-12", "kiln", "=1"], ["-3.5", 'a "b", c', "x\ny"]])
    assert text == ('day,yard,note\r\n2027-01-12,kiln,\'=1\r\n-3.5,"a ""b"", c","x\ny"\r\n')


def test_rows_know_the_line_on_which_they_begin() -> None:
    found = rows('day,yard,note\r\n1,kiln,"a\nb"\r\n\r\n2,mill-ditch,\'=x\r\n')
    assert [(row.line, dict(row.cells)) for row in found] == [
        (2, {"day": "1", "yard": "kiln", "note": "a\nb"}),
        (5, {"day": "2", "yard": "mill-ditch", "note": "=x"}),
    ]


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_other_separators_and_line_ends_are_read(mark: str, end: str) -> None:
    lines = [["Note", "YARD", " day "], ["a, b; c", "kiln", "1"], ["", "mill-ditch", "2"]]
    text = end.join(mark.join(f'"{cell}"' for cell in line) for line in lines)
    found = rows(f"\ufeff{text}{end}")
    assert [(r.told("day"), r.told("yard"), r.told("note")) for r in found] == [
        ("1", "kiln", "a, b; c"), ("2", "mill-ditch", ""),
    ]  # fmt: skip
    assert {row.commas for row in found} == {mark != ","}


def test_a_line_that_names_the_separator_is_no_row() -> None:
    (row,) = rows("sep=;\r\nday;yard\r\n1;kiln\r\n")
    assert (row.line, row.told("yard")) == (3, "kiln")


def test_a_short_row_and_empty_columns_at_the_end_are_no_fault() -> None:
    (row,) = rows("day,yard,note,,\n1,kiln,,,\n,,,,\n")
    assert row.told("note") == row.told("elsewhere") == ""


@pytest.mark.parametrize(
    ("heading", "told"),
    [
        ("day,yard,weight", ['v.csv:1: "weight" is not a known column']),
        ("day,yard,day", ["v.csv:1: day: stands twice"]),
        ("note", ["v.csv:1: day: is missing", "v.csv:1: yard: is missing"]),
        ("day,hive,hives", [
            'v.csv:1: "hive" is not a known column', 'v.csv:1: "hives" is not a known column',
            "v.csv:1: yard: is missing",
        ]),
        ("", ["v.csv: is empty"]),
        ('day,"yard', ["v.csv:1: has a double quote that is not closed"]),
    ],
)  # fmt: skip
def test_every_fault_of_a_heading_is_told(heading: str, told: list[str]) -> None:
    found = faults(f"{heading}\n1,2,3\n" if heading else "")
    assert [line.partition(";")[0].partition(", or")[0] for line in found] == told


def test_every_fault_of_every_row_is_told_at_once() -> None:
    def read(row: Row) -> object:
        return row.read({"day": count_of, "note": count_of})

    found = rows('day,yard,note\nx,kiln,y\n1,kiln,2,3\n4,kiln,5\n6,kiln,"7\n')
    with pytest.raises(ConfigProblem) as caught:
        each_read(found, read)
    assert [(f.line, f.field) for f in caught.value.faults] == [
        (2, "day"), (2, "note"), (3, ""), (5, ""),
    ]  # fmt: skip


def test_a_fault_has_the_words_of_the_error_and_always_a_cure() -> None:
    row = Row(file="v.csv", line=4, cells={})
    told = [str(row.wrong("day", ValueError(text))) for text in ('"a; b" is none; write 1', "no")]
    assert told == ['v.csv:4: day: "a; b" is none; write 1', "v.csv:4: day: no; correct it"]


def test_a_table_without_end_is_refused() -> None:
    told = faults("day,yard\n" + "1,kiln\n" * 100_001)
    assert told == ["v.csv:100002: has more than 100000 rows; check that it is the right file"]
    assert len(rows("day,yard\n" + "1,kiln\n" * 100_000)) == 100_000


@pytest.mark.parametrize(
    ("text", "commas", "value"),
    [("4.5", False, 4.5), ("4,5", True, 4.5), (" 4.5 ", True, 4.5), ("-1e3", False, -1000.0)],
)
def test_numbers_are_read(text: str, commas: bool, value: float) -> None:
    assert number_of(text, commas=commas) == value


@pytest.mark.parametrize(
    ("text", "commas"),
    [("4,5", False), ("1.200,5", True), ("1,2,3", True), ("nan", False), ("٣", False), ("", True)],
)
def test_what_is_no_number_is_refused(text: str, commas: bool) -> None:
    with pytest.raises(ValueError, match="is not a number; write one such as"):
        number_of(text, commas=commas)


@pytest.mark.parametrize("text", ["-1", "1.0", "", "twelve", "²", "1" * 10])
def test_what_is_no_whole_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not a whole number; write one such as"):
        count_of(text)
    assert count_of(" 12 ") == 12


@pytest.mark.parametrize(
    "body",
    ["é;ü".encode(), "é;ü".encode("utf-8-sig"), "é;ü".encode("utf-16"),
     b"\xfe\xff" + "é;ü".encode("utf-16-be")],
)  # fmt: skip
def test_files_of_several_spreadsheets_are_decoded(body: bytes) -> None:
    assert decoded(body, file="v.csv") == "é;ü"


@pytest.mark.parametrize(
    ("body", "told"),
    [
        (b"PK\x03\x04xyz", "v.csv: is a spreadsheet workbook"),
        ("a\né".encode("cp1252"), "v.csv:2: holds bytes that are no UTF-8"),
        (b"\xff\xfea", "v.csv:1: holds bytes that are no UTF-8"),
        (b"a\n\nb\0", "v.csv:3: has a NUL byte, as damaged files do"),
    ],
)
def test_what_is_no_text_is_refused_with_a_cure(body: bytes, told: str) -> None:
    with pytest.raises(ConfigProblem) as caught:
        decoded(body, file="v.csv")
    assert str(caught.value) == f'{told}; save it again as "CSV UTF-8"'


def test_a_cell_in_a_message_is_short_and_on_one_line() -> None:
    assert shown("a\nb\x1b") == '"a<U+000A>b<U+001B>"'
    assert len(shown("x" * 500)) == 62
