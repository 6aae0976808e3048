"""Cells and rows of a table that goes to a spreadsheet and comes back from one.

What is written is comma separated text after RFC 4180 (lines end in CR LF). What is read may have
been saved by a spreadsheet of another country: with semicolons or tabs, decimal commas, a byte
order mark, columns in another order.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from windowcast.problems import ConfigProblem, Fault

SEPARATORS = (",", ";", "\t", "|")
MOST_ROWS = 100_000
SHOWN_CHARS = 60

_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]*)?(?:[eE][+-]?[0-9]+)?")
_LEAD = re.compile(r"[\s']*")
_FORMULA = frozenset("=+-@＝＋－＠")
_BREAKS = frozenset("\t\r\n")
_UTF16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_SAVE_AS = 'save it again as "CSV UTF-8"'

Found = TypeVar("Found")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of a table: the line on which it begins, and what stands below each column.

    ``commas`` is whether decimal commas are to be expected. ``fault`` is what is wrong with a row
    that does not fit its heading.
    """

    file: str
    line: int
    cells: Mapping[str, str]
    commas: bool = False
    fault: Fault | None = None

    def told(self, column: str) -> str:
        """The cell below a column without the blanks round it, "" where there is none."""
        return self.cells.get(column, "").strip()

    def wrong(self, column: str, error: ValueError) -> Fault:
        """A fault of this row in the words of an error: what was found; the cure."""
        found, _, cure = f"{error}".rpartition("; ")
        if not found:
            found, cure = cure, "correct it"
        return Fault(file=self.file, line=self.line, field=column, found=found, cure=cure)

    def read(self, readers: Mapping[str, Callable[[str], Any]]) -> dict[str, Any]:
        """What a reader for each column made of its exact cell; ConfigProblem with all faults."""
        made, faults = {}, []
        for column, reader in readers.items():
            try:
                made[column] = reader(self.cells.get(column, ""))
            except ValueError as error:
                faults.append(self.wrong(column, error))
        if faults:
            raise ConfigProblem(faults)
        return made


def guarded(text: str) -> str:
    """The text as a cell that no spreadsheet runs as a formula; plain numbers stay as they are."""
    return f"'{text}" if _runs(text) else text


def unguarded(text: str) -> str:
    """The text that ``guarded`` made this cell of."""
    return text[1:] if text.startswith("'") and _runs(text[1:]) else text


def _runs(text: str) -> bool:
    """Whether a spreadsheet may run it. What runs also does behind one more apostrophe.

    Otherwise a text with an apostrophe of its own would not come back as it was.
    """
    if _NUMBER.fullmatch(text):
        return False
    lead = _LEAD.match(text)
    width = lead.end() if lead else 0
    return text[width : width + 1] in _FORMULA or not _BREAKS.isdisjoint(text[:width])


def table_text(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table as comma separated text, each cell guarded."""
    written = io.StringIO(newline="")
    writer = csv.writer(written, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([guarded(cell) for cell in row] for row in rows)
    return written.getvalue()


def decoded(body: bytes, *, file: str) -> str:
    """The text of a file: UTF-8, or the UTF-16 that some spreadsheets save; else ConfigProblem."""
    if body.startswith(_WORKBOOKS):
        raise _refused(file, "is a spreadsheet workbook", _SAVE_AS)
    try:
        text = body.decode("utf-16" if body.startswith(_UTF16) else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = body.count(b"\n", 0, error.start) + 1
        raise _refused(file, "holds bytes that are no UTF-8", _SAVE_AS, line=line) from error
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise _refused(file, "has a NUL byte, as damaged files do", _SAVE_AS, line=line)
    return text


def table_rows(
    text: str, *, file: str, columns: Collection[str], needed: Collection[str]
) -> tuple[Row, ...]:
    """The rows of a table, cells as they were before they were guarded.

    ConfigProblem where the heading has columns that are not among ``columns``, has one twice, or
    lacks one that is ``needed``. Rows that do not fit the heading carry a fault for ``each_read``.
    """
    separator, body, skipped = _separator(text.removeprefix("\ufeff"), columns)
    records = _records(body, separator, skipped, file)
    heading = next(records, None)
    if heading is None:
        raise _refused(file, "is empty", f"write a heading with {', '.join(needed)}")
    line, names, fault = heading
    if fault is not None:
        raise ConfigProblem([fault])
    names = [_folded(name) for name in names]
    while names and not names[-1]:
        names.pop()
    faults = list(_heading_faults(names, columns, needed, file, line))
    if faults:
        raise ConfigProblem(faults)
    return tuple(
        _row(file, record, names, commas=separator != ",")
        for record in records
        if record[2] or any(cell.strip() for cell in record[1])
    )


def each_read(rows: Iterable[Row], read: Callable[[Row], Found]) -> tuple[Found, ...]:
    """What every row says; ConfigProblem with every fault of every row.

    ``read`` raises ConfigProblem with the faults of its row.
    """
    made: list[Found] = []
    faults: list[Fault] = []
    for row in rows:
        if row.fault is not None:
            faults.append(row.fault)
            continue
        try:
            made.append(read(row))
        except ConfigProblem as problem:
            faults.extend(problem.faults)
    if faults:
        raise ConfigProblem(faults)
    return tuple(made)


def number_of(text: str, *, commas: bool) -> float:
    """A number as a spreadsheet writes it, with a decimal comma where those are expected."""
    plain = text.strip()
    if commas and plain.count(",") == 1 and "." not in plain:
        plain = plain.replace(",", ".")
    if not _NUMBER.fullmatch(plain):
        raise ValueError(f"{shown(text)} is not a number; write one such as 4.5")
    return float(plain)


def count_of(text: str) -> int:
    """A whole number."""
    if not re.fullmatch(r"[0-9]{1,9}", text.strip()):
        raise ValueError(f"{shown(text)} is not a whole number; write one such as 12")
    return int(text.strip())


def shown(text: str) -> str:
    """A cell as a message shows it: in quotes, on one line, cut to 60 characters."""
    cut = text if len(text) <= SHOWN_CHARS else f"{text[: SHOWN_CHARS - 3]}..."
    plain = (char if char.isprintable() else f"<U+{ord(char):04X}>" for char in cut)
    return f'"{"".join(plain)}"'


_Record = tuple[int, list[str], Fault | None]  # line on which it begins, cells, what is wrong


def _separator(text: str, columns: Collection[str]) -> tuple[str, str, int]:
    """The separator, the text without a line that only names it, and the lines left out."""
    first, _, rest = text.partition("\n")
    named = re.fullmatch(r'"?sep=(.)"?\r?', first)
    if named:
        return named.group(1), rest, 1
    fitting = {
        mark: sum(_folded(word.strip(' "')) in columns for word in first.split(mark))
        for mark in SEPARATORS
    }
    return max(SEPARATORS, key=lambda mark: fitting[mark]), text, 0


def _records(body: str, separator: str, skipped: int, file: str) -> Iterator[_Record]:
    reader = csv.reader(io.StringIO(body, newline=""), delimiter=separator, strict=True)
    line = skipped + 1
    for count in range(MOST_ROWS + 2):
        try:
            cells = next(reader, None)
        except csv.Error as error:
            yield line, [], _quote_fault(file, line, str(error))
            return
        if cells is None:
            return
        if count > MOST_ROWS:
            found, cure = f"has more than {MOST_ROWS} rows", "check that it is the right file"
            yield line, [], Fault(file=file, line=line, found=found, cure=cure)
        else:
            yield line, cells, None
        line = reader.line_num + skipped + 1


def _quote_fault(file: str, line: int, told: str) -> Fault:
    if "field larger" in told:
        found, cure = "has a cell of more than 131072 characters", "shorten it"
    else:
        found = "has a double quote that is not closed, or one inside of a quoted cell"
        cure = 'close it, or write two ("") for one that belongs to the text'
    return Fault(file=file, line=line, found=found, cure=cure)


def _heading_faults(
    names: Sequence[str], columns: Collection[str], needed: Collection[str], file: str, line: int
) -> Iterator[Fault]:
    for at, name in enumerate(names):
        if name in names[:at]:
            yield Fault(
                file=file, line=line, field=name, found="stands twice", cure="keep one column"
            )
        elif name not in columns:
            cure = f"take it out; known are {', '.join(columns)}"
            yield Fault(
                file=file, line=line, found=f"{shown(name)} is not a known column", cure=cure
            )
    for name in needed:
        if name not in names:
            yield Fault(
                file=file, line=line, field=name, found="is missing", cure="add this column"
            )


def _row(file: str, record: _Record, names: Sequence[str], *, commas: bool) -> Row:
    line, cells, fault = record
    extra = [cell for cell in cells[len(names) :] if cell.strip()]
    if extra and fault is None:
        found = f"has {len(extra)} more cell{'s' * (len(extra) > 1)} than the heading has columns"
        cure = "put a cell that holds the separator itself in double quotes"
        fault = Fault(file=file, line=line, found=found, cure=cure)
    told = {name: unguarded(cell) for name, cell in zip(names, cells, strict=False)}
    return Row(file=file, line=line, cells=told, commas=commas, fault=fault)


def _folded(heading: str) -> str:
    return "_".join(heading.split()).casefold()


def _refused(file: str, found: str, cure: str, *, line: int | None = None) -> ConfigProblem:
    return ConfigProblem([Fault(file=file, line=line, found=found, cure=cure)])
