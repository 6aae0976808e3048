"""A CSV table with the line of every row."""

from __future__ import annotations

import pytest

from windowcast.settings.yard_columns import column
from windowcast.settings.yard_table import MOST_ROWS, Table, read_table


def read(text: str) -> Table:
    return read_table(text, "yards.csv", column)


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_the_separator_is_the_one_that_makes_a_heading(mark: str) -> None:
    table = read(f"key{mark}lat{mark}lon\nkiln{mark}43.6{mark}-116.2\n")
    assert table.columns == ("key", "lat", "lon")
    assert dict(table.rows[0].cells) == {"key": "kiln", "lat": "43.6", "lon": "-116.2"}


def test_a_line_that_names_the_separator_is_not_a_heading() -> None:
    table = read("sep=;\nkey;lat\nkiln;43\n")
    assert (table.columns, table.rows[0].line) == (("key", "lat"), 3)


def test_rows_know_their_line_past_blank_lines_and_cells_of_several_lines() -> None:
    table = read('key,notes\n\na,"one\ntwo"\n,\nb,x\n')
    assert [(row.line, dict(row.cells)) for row in table.rows] == [
        (3, {"key": "a", "notes": "one two"}),
        (6, {"key": "b", "notes": "x"}),
    ]


def test_a_heading_may_stand_below_blank_lines() -> None:
    table = read("\n,,\nkey,lat\na,1\n")
    assert (table.heading_line, table.rows[0].line) == (3, 4)


def test_quotes_hold_separators_quotes_and_blanks() -> None:
    table = read('key, notes\na, "x, ""y"""\n')
    assert table.rows[0].cells["notes"] == 'x, "y"'


def test_a_quote_inside_of_a_bare_cell_is_a_quote() -> None:
    assert read("key,lat\na,43°36'30\"N\n").rows[0].cells["lat"] == "43°36'30\"N"


def test_a_short_row_lacks_its_last_cells_and_a_long_row_is_a_fault() -> None:
    table = read("key,lat,lon,notes\na,1\nb,1,2,x,y,z\nc,1,2,x,,\n")
    assert [row.line for row in table.rows] == [2, 4]
    assert "notes" not in table.rows[0].cells
    (fault,) = table.faults
    assert (fault.line, fault.found) == (3, "has 2 more cells than the heading has columns")


def test_a_decimal_comma_that_cuts_a_cell_in_two_is_guessed() -> None:
    (fault,) = read("key,lat,lon\na,43,61,-116\n").faults
    assert fault.cure == "a decimal comma? write 43.61"


@pytest.mark.parametrize("text", ['key,lat\na,"1\nb,2\n', 'key,lat\na,"1"x\n'])
def test_a_quote_that_is_not_closed_is_a_fault_at_its_row(text: str) -> None:
    (fault,) = read(text).faults
    assert fault.line == 2
    assert "double quote" in fault.found


def test_a_huge_cell_is_a_fault() -> None:
    (fault,) = read(f"key,lat\na,{'1' * 140_000}\n").faults
    assert "more than 131072 characters" in fault.found


def test_two_columns_of_one_meaning_are_a_fault() -> None:
    assert [f.found for f in read("lat,lat,Lat\n1,2,3\n").faults] == [
        "stands twice",
        'means the same as "lat"',
    ]


def test_more_yards_than_anybody_keeps_are_a_fault() -> None:
    assert not read("key\n" + "a\n" * MOST_ROWS).faults
    assert "has more than 10000 yards" in read("key\n" + "a\n" * (MOST_ROWS + 1)).faults[0].found


def test_more_columns_than_anybody_needs_are_one_fault() -> None:
    assert not read(",".join(f"x_{n}" for n in range(200)) + "\n").faults
    (fault,) = read(",".join(f"x_{n}" for n in range(201)) + "\n" + "1," * 150 + "\n").faults
    assert fault.found == "has 201 columns"


@pytest.mark.parametrize("text", ["", "\n\n", ",,,\n"])
def test_nothing_is_a_table_without_a_heading(text: str) -> None:
    assert (read(text).headings, read(text).rows) == ((), ())
