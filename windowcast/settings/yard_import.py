"""Somebody's own spreadsheet of yards, read forgivingly and written as ``yards.csv``."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from windowcast.settings.coordinates import decimal
from windowcast.settings.spelling import shown
from windowcast.settings.text_files import read_text
from windowcast.settings.yard_columns import (
    COLUMNS,
    UNSURE,
    column_by_any_name,
    heading_and_unit,
    own_column,
    plain_heading,
)
from windowcast.settings.yard_table import Row, Table
from windowcast.settings.yards import CAP_BYTES, YardFile, yards_of
from windowcast.terms.yard import Yard

_LENGTHS = ("lane_length", "elevation")
_BARE = re.compile(r"-?[0-9]+(\.[0-9]+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Import:
    """The text of a ``yards.csv``, and what its owner should know about how it came about."""

    text: str
    count: int
    remarks: tuple[str, ...]


def import_yards(path: Path, *, us_only: bool) -> Import:
    """The yards of a spreadsheet; ConfigProblem with every fault. Nothing of it is lost."""
    text = read_text(path, cap_bytes=CAP_BYTES, if_missing="check the name after --from")
    found = yards_of(text, path.name, us_only=us_only, known=column_by_any_name, tidy=_with_units)
    return Import(
        text=yards_text(found),
        count=len(found.yards),
        remarks=(
            *_readings(found, path.name),
            *(r for r in found.remarks if "is not read" not in r),
        ),
    )


def yards_text(found: YardFile) -> str:
    """The yards as a canonical ``yards.csv``; columns that it does not know begin with x_."""
    own = _own_headings(found.headings, found.rows)
    table = io.StringIO()
    writer = csv.writer(table, lineterminator="\n")
    used = [name for name in COLUMNS if name in _ALWAYS or any(name in r.cells for r in found.rows)]
    writer.writerow([*used, *own.values()])
    for yard, row in zip(found.yards, found.rows, strict=True):
        cells = _cells(yard, row)
        writer.writerow(
            [cells.get(name, "") for name in used] + [row.others.get(h, "") for h in own]
        )
    return table.getvalue()


def empty_yards_text() -> str:
    """A ``yards.csv`` that holds its heading and nothing else: CSV knows no remarks."""
    return f"{','.join(_ALWAYS)}\n"


_ALWAYS = tuple(name for name in COLUMNS if name not in ("zone", "elevation", "far"))


def _cells(yard: Yard, row: Row) -> Mapping[str, object]:
    return {
        **row.cells,
        "key": yard.key,
        "name": yard.name,
        "lat": decimal(yard.lat_deg),
        "lon": decimal(yard.lon_deg),
        "doubles": yard.doubles,
        "singles": yard.singles,
        "nucs": yard.nucs,
        "nucs_above": yard.nucs_above,
        "lane_surface": yard.lane_surface or "",
    }


def _own_headings(headings: Sequence[str], rows: Sequence[Row]) -> dict[str, str]:
    """Headings of the owner's own columns that hold anything, each with its name in the file."""
    held = {heading for row in rows for heading in row.others}
    names: dict[str, str] = {}
    for heading in (h for h in headings if h in held):
        plain = re.sub(r"\W+", "_", heading.casefold()).strip("_") or "column"
        name = plain if own_column(plain) else f"x_{plain}"
        while name in names.values():
            name += "_"
        names[heading] = name
    return names


def _with_units(table: Table) -> Table:
    """Bare lengths with the unit that stands in their heading, as in ``lane length (ft)``."""
    units = {
        name: unit
        for heading, name in zip(table.headings, table.columns, strict=True)
        if name in _LENGTHS and (unit := heading_and_unit(heading)[1])
    }

    def cell(name: str, told: str) -> str:
        return f"{told} {units[name]}" if name in units and _BARE.fullmatch(told) else told

    rows = (
        replace(row, cells={name: cell(name, told) for name, told in row.cells.items()})
        for row in table.rows
    )
    return replace(table, rows=tuple(rows))


def _readings(found: YardFile, file: str) -> Iterator[str]:
    """How headings were understood where a person might have meant something else."""
    for heading in found.headings:
        if plain_heading(heading) in UNSURE:
            yield (
                f"{file}: {shown(heading)} was read as doubles (colonies in double deeps);"
                " move the others to singles, nucs or nucs_above"
            )
    own = _own_headings(found.headings, found.rows)
    if own:
        yield f"{file}: kept but not read: {', '.join(own.values())}"
