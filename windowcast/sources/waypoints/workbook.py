"""XLSX: the first sheet that has a heading for places; stored values, never formulas."""

from __future__ import annotations

import csv
import io
import struct
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, datetime, time
from itertools import zip_longest
from typing import TYPE_CHECKING, Any

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.spelling import printable
from windowcast.settings.yard_columns import column_by_any_name
from windowcast.settings.yard_table import MOST_COLUMNS, MOST_ROWS
from windowcast.sources.waypoints.tables import has_heading, read_csv
from windowcast.sources.waypoints.words import Found, problem
from windowcast.sources.waypoints.zipped import BROKEN

if TYPE_CHECKING:
    from openpyxl import Workbook

_HEADING_WITHIN = 20  # rows from the top, for a title and a date above the heading
_MOST_SHEETS = 50
_MOST_ROWS = MOST_ROWS + _HEADING_WITHIN + 2
_ODD = (*BROKEN, TypeError, AttributeError, LookupError, SyntaxError, ArithmeticError, struct.error)

Cells = list[str]


def read_workbook(body: bytes, file: str) -> Found:
    """The rows of the first sheet with a heading; ConfigProblem for any that cannot be read."""
    with _opened(body, file, stored=True) as book:
        tops = {at: _rows(sheet, _HEADING_WITHIN) for at, sheet in _sheets(book)}
        names = {at: printable(str(sheet.title)) for at, sheet in _sheets(book)}
        chosen = next((at for at, top in tops.items() if _heading_at(top) is not None), None)
        rows = [] if chosen is None else _rows(book.worksheets[chosen], _MOST_ROWS)
    if chosen is None:
        told = ", ".join(names.values()) or "none"
        found = f"no points found (no sheet has a heading with name, lat and lon; sheets: {told})"
        raise problem(file, found, "write name, lat and lon above the columns")
    place, heading = f"{file} ({names[chosen]})", _heading_at(rows) or 0
    with _opened(body, file, stored=False) as book:
        formulas = _rows(book.worksheets[chosen], _MOST_ROWS)
    _refuse_untold(place, rows, formulas, heading)
    read = read_csv(_as_text(rows, heading), place)
    others = [names[at] for at, top in tops.items() if at != chosen and any(map(any, top))]
    remark = f"{file}: sheet {names[chosen]} was read; not read: {', '.join(others)}"
    return replace(read, remarks=(*read.remarks, *([remark] if others else [])))


def _sheets(book: Workbook) -> Iterator[tuple[int, Any]]:
    yield from enumerate(book.worksheets[:_MOST_SHEETS])


def _rows(sheet: Any, most: int) -> list[Cells]:
    """The rows of a sheet from its first on, without empty cells at their ends."""
    sheet.reset_dimensions()  # some writers tell a size of one cell
    rows = sheet.iter_rows(max_row=most, max_col=MOST_COLUMNS + 1, values_only=True)
    return [_trimmed([_text(value) for value in row]) for row in rows]


def _trimmed(cells: Cells) -> Cells:
    last = max((at for at, cell in enumerate(cells, 1) if cell), default=0)
    return cells[:last]


@contextmanager
def _opened(body: bytes, file: str, *, stored: bool) -> Iterator[Workbook]:
    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about styles and checks that are not read here
        try:
            book = load_workbook(io.BytesIO(body), read_only=True, data_only=stored)
            yield book
            book.close()
        except ConfigProblem:
            raise
        except (*_ODD, InvalidFileException) as error:
            found = "is an Excel workbook that cannot be read"
            cure = "open it and save it again, or save the sheet as CSV UTF-8"
            raise problem(file, found, cure) from error


def _heading_at(rows: Sequence[Cells]) -> int | None:
    return next((at for at, row in enumerate(rows[:_HEADING_WITHIN]) if has_heading(row)), None)


def _refuse_untold(
    place: str, rows: Sequence[Cells], formulas: Sequence[Cells], heading: int
) -> None:
    """Refuse formulas whose result is not stored, and results that are an error."""
    columns = [column_by_any_name(cell) if cell else None for cell in rows[heading]]
    faults = [
        Fault(file=place, line=line, field=name, found=why, cure=_CURE)
        for line, (stored, written) in enumerate(zip(rows, formulas, strict=False), 1)
        if line > heading + 1
        for name, value, formula in zip_longest(columns, stored, written, fillvalue="")
        if name and (why := _untold(value or "", formula or ""))
    ]
    if faults:
        raise ConfigProblem(faults)


_CURE = "open it in the spreadsheet program and save it, or type the value"
_ERRORS = ("#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A")


def _untold(value: str, formula: str) -> str | None:
    if value in _ERRORS:
        return f"the cell holds the error {value}"
    if not value and formula.startswith("="):
        return "is a formula whose result is not stored in the file"
    return None


def _as_text(rows: Sequence[Cells], heading_at: int) -> str:
    """The sheet as CSV, each row on the line of its number; what stands above the heading goes."""
    table = io.StringIO()
    writer = csv.writer(table, lineterminator="\n")
    for at, row in enumerate(rows):
        writer.writerow(row if at >= heading_at else [])
    return table.getvalue()


def _text(value: object) -> str:
    """A stored value as a person would type it, on one line."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.12f}".rstrip("0").rstrip(".") if abs(value) < 1e15 else str(value)
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    return " ".join(str(value).split())
