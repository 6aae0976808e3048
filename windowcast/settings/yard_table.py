"""A CSV table with the line of every row: separators, headings and rows that do not fit."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from windowcast.problems import Fault
from windowcast.settings.spelling import printable, shown

SEPARATORS = (",", ";", "\t", "|")
MOST_COLUMNS = 200
MOST_ROWS = 10_000

Cells = tuple[int, list[str]]  # line on which the row begins, its cells


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: its line, the cells of known columns that hold something, and all others."""

    line: int
    cells: Mapping[str, str]
    others: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """The rows that fit the heading, and what is wrong with the rest.

    ``columns`` holds the known name of each column, None for one that is the owner's own.
    """

    headings: tuple[str, ...]
    columns: tuple[str | None, ...]
    rows: tuple[Row, ...]
    faults: tuple[Fault, ...]
    heading_line: int


def read_table(text: str, file: str, known: Callable[[str], str | None]) -> Table:
    """The table in a text. ``known`` gives the name of the column that a heading stands for."""
    separator, body, skipped = _separator(text, known)
    found, faults = _records(body, separator, skipped, file)
    if not found:
        return Table(headings=(), columns=(), rows=(), faults=tuple(faults), heading_line=1)
    (line, headings), *records = found
    if len(headings) > MOST_COLUMNS:
        told = f"has {len(headings)} columns"
        faults.append(Fault(file=file, line=line, found=told, cure="keep those that you need"))
        headings, records = headings[:MOST_COLUMNS], []
    columns = tuple(known(heading) for heading in headings)
    faults += _heading_faults(headings, columns, line, file)
    rows = []
    for at, cells in records:
        if len(cells) > len(headings):
            faults.append(_long_row(cells, headings, at, file))
        else:
            rows.append(_row(at, cells, headings, columns))
    return Table(
        headings=tuple(headings),
        columns=columns,
        rows=tuple(rows),
        faults=tuple(faults),
        heading_line=line,
    )


def _separator(text: str, known: Callable[[str], str | None]) -> tuple[str, str, int]:
    """The separator, the text without a line that only names it, and the lines left out."""
    first, _, rest = text.partition("\n")
    named = re.fullmatch(r'"?sep=(.)"?', first.strip(" "))
    if named:
        return named.group(1), rest, 1
    heading = next((line for line in text.split("\n") if line.strip(' ,;\t|"')), "")
    fitting = {
        mark: sum(known(word.strip(' "')) is not None for word in heading.split(mark))
        for mark in SEPARATORS
    }
    return max(SEPARATORS, key=lambda mark: fitting[mark]), text, 0


def _records(body: str, separator: str, skipped: int, file: str) -> tuple[list[Cells], list[Fault]]:
    """Rows that hold anything, each with the line on which it begins."""
    reader = csv.reader(
        (f"{line}\n" for line in body.split("\n")), delimiter=separator, strict=True,
        skipinitialspace=True,
    )  # fmt: skip
    records: list[Cells] = []
    line = skipped + 1
    try:
        for cells in reader:
            tidy = _tidy(cells)
            if tidy:
                records.append((line, tidy))
            line = reader.line_num + skipped + 1
            if len(records) > MOST_ROWS + 1:
                cure = "check that it is the right file"
                found = f"has more than {MOST_ROWS} yards"
                return records, [Fault(file=file, line=line, found=found, cure=cure)]
    except csv.Error as error:
        return records, [_quote_fault(file, line, str(error))]
    return records, []


def _tidy(cells: Sequence[str]) -> list[str]:
    """Cells without the blanks round them and without empty ones at the end."""
    tidy = [" ".join(cell.split()) for cell in cells]
    while tidy and not tidy[-1]:
        tidy.pop()
    return tidy


def _quote_fault(file: str, line: int, told: str) -> Fault:
    if "field larger" in told:
        found, cure = "has a cell of more than 131072 characters", "shorten it"
    else:
        found = "has a double quote that is not closed, or one inside of a quoted cell"
        cure = 'close it, or write two ("") for one that belongs to the text'
    return Fault(file=file, line=line, found=found, cure=cure)


def _heading_faults(
    headings: Sequence[str], columns: Sequence[str | None], line: int, file: str
) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    for heading, column in zip(headings, columns, strict=True):
        name = column or heading
        if name and name in seen:
            twice = (
                "stands twice"
                if heading == seen[name]
                else f"means the same as {shown(seen[name])}"
            )
            yield Fault(
                file=file, line=line, field=printable(heading), found=twice, cure="keep one column"
            )
        seen.setdefault(name, heading)


def _long_row(cells: Sequence[str], headings: Sequence[str], line: int, file: str) -> Fault:
    extra = len(cells) - len(headings)
    split = next((pair for pair in pairwise(cells) if _comma_halves(*pair)), None)
    if split:
        cure = f"a decimal comma? write {split[0]}.{split[1]}"
    else:
        cure = "put a cell that holds the separator itself in double quotes"
    found = f"has {extra} more cell{'s' if extra > 1 else ''} than the heading has columns"
    return Fault(file=file, line=line, found=found, cure=cure)


def _comma_halves(before: str, after: str) -> bool:
    """Whether two cells look like a number that a decimal comma has cut in two."""
    whole = re.fullmatch(r"[+-]?[0-9]{1,3}", before)
    return whole is not None and re.fullmatch(r"[0-9]{2,}", after) is not None


def _row(
    line: int, cells: Sequence[str], headings: Sequence[str], columns: Sequence[str | None]
) -> Row:
    told = [
        (heading, column, cell)
        for heading, column, cell in zip(headings, columns, cells, strict=False)
        if cell
    ]
    return Row(
        line=line,
        cells={column: cell for _, column, cell in told if column},
        others={heading: cell for heading, column, cell in told if not column},
    )
