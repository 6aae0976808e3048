"""Whatever is written into a table comes back as it was, and never as a formula."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as some

from windowcast.problems import ConfigProblem, Fault
from windowcast.records.cells import each_read, guarded, table_rows, table_text, unguarded

TRICKY = some.text(alphabet="'=+-@\t\r\n \",;.0e5a＝😀", max_size=12)
TEXT = some.one_of(TRICKY, some.text(some.characters(exclude_categories=["Cs"])))
COLUMNS = ("a", "b", "c")


@given(TEXT)
def test_a_guarded_cell_comes_back_and_begins_no_formula(text: str) -> None:
    cell = guarded(text)
    assert unguarded(cell) == text
    number = re.fullmatch(r"[+-]?[0-9]+(\.[0-9]*)?([eE][+-]?[0-9]+)?", cell)
    assert number or cell[:1] not in tuple("=+-@＝＋－＠\t\r\n")


@given(some.lists(some.tuples(TEXT, TEXT, TEXT), max_size=5), some.booleans())
def test_a_table_comes_back_whole(table: list[tuple[str, str, str]], marked: bool) -> None:
    text = "\ufeff" * marked + table_text(COLUMNS, table)
    found = table_rows(text, file="t.csv", columns=COLUMNS, needed=COLUMNS)
    kept = [row for row in table if any(guarded(cell).strip() for cell in row)]
    assert [tuple(row.cells[name] for name in COLUMNS) for row in found] == kept


@given(some.text(alphabet="abc,;\t\n\r\" ='", max_size=60))
def test_a_garbled_table_is_read_or_refused_in_our_words(text: str) -> None:
    faults: tuple[Fault, ...] = ()
    try:
        rows = table_rows(text, file="t.csv", columns=COLUMNS, needed=["a"])
        each_read(rows, lambda row: row.cells)
    except ConfigProblem as problem:
        faults = problem.faults
    assert all(fault.file == "t.csv" and fault.cure for fault in faults)
