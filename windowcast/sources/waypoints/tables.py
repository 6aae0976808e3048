"""A spreadsheet of yards under people's own headings, as CSV text."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.spelling import printable, shown
from windowcast.settings.yard_columns import (
    UNSURE,
    column_by_any_name,
    heading_and_unit,
    nearest_column,
    plain_heading,
)
from windowcast.settings.yard_pairs import Waypoint
from windowcast.settings.yard_table import Row, Table, read_table
from windowcast.sources.waypoints.words import Found, clean_cells, demand_some, problem

_DEGREES_WITH_COMMA = re.compile(r"([NSEWnsew]?\s*[+-]?\s*\d{1,3}),(\d+\s*°?\s*[NSEWnsew]?)")
_BARE = re.compile(r"-?[0-9]+([.,][0-9]+)?")
_WHOLE_WITH_COMMA = re.compile(r"([0-9]+),0{1,2}")
_COUNTS = ("doubles", "singles", "nucs", "nucs_above")
_LENGTHS = ("lane_length", "elevation")


def read_csv(text: str, file: str) -> Found:
    """The rows of a table with a heading; ConfigProblem with every fault of its form."""
    table = read_table(text, file, column_by_any_name)
    faults = [*table.faults, *_heading_faults(table, file)]
    if faults:
        raise ConfigProblem(faults)
    demand_some(len(table.rows), file, "no row below its heading", "add a row for each yard")
    units = dict(_units(table))
    return Found(
        waypoints=tuple(_waypoint(row, units, file) for row in table.rows),
        remarks=tuple(_readings(table, file)),
    )


def has_heading(headings: list[str]) -> bool:
    """Whether a row of cells can be the heading of a table of yards."""
    known = {column_by_any_name(heading) for heading in headings if heading}
    return {"lat", "lon"} <= known and bool(known & {"key", "name"})


def _heading_faults(table: Table, file: str) -> Iterator[Fault]:
    known = {*table.columns}
    lacking = [name for name in ("lat", "lon") if name not in known]
    if not known & {"key", "name"}:
        lacking.append("name")
    if len(lacking) == 3 and not any(nearest_column(h) for h in table.headings if h):
        found = "no points found (it is no format that is read here, nor a table with a heading)"
        raise problem(file, found, "begin a table with a heading such as name,lat,lon")
    for name in lacking:
        near = next((h for h in table.headings if h and nearest_column(h) == name), None)
        cure = f"write {name} for {shown(near)}" if near else f"add a column {name}"
        found = "there is no such column"
        yield Fault(file=file, line=table.heading_line, field=name, found=found, cure=cure)


def _units(table: Table) -> Iterator[tuple[str, str]]:
    """The unit that stands in the heading of a length, as in ``lane length (ft)``."""
    for heading, name in zip(table.headings, table.columns, strict=True):
        unit = heading_and_unit(heading)[1]
        if name in _LENGTHS and name and unit:
            yield name, unit


def _waypoint(row: Row, units: Mapping[str, str], file: str) -> Waypoint:
    cells = {name: _tidied(name, cell, units) for name, cell in row.cells.items()}
    clean = clean_cells({"lat": "", "lon": "", **cells})
    named = bool(clean.get("name") or clean.get("key"))
    if not named:
        clean = {**clean, "name": f"Waypoint {row.line}"}
    return Waypoint(at=f"{file}:{row.line}", cells=clean, named=named)


def _tidied(name: str, cell: str, units: Mapping[str, str]) -> str:
    """A cell without a decimal comma, and with the unit that its heading tells."""
    if name in ("lat", "lon") and (match := _DEGREES_WITH_COMMA.fullmatch(cell)):
        return f"{match[1]}.{match[2]}"
    if name in _COUNTS and (match := _WHOLE_WITH_COMMA.fullmatch(cell)):
        return match[1]
    if name in units and _BARE.fullmatch(cell):
        return f"{cell.replace(',', '.')} {units[name]}"
    return cell


def _readings(table: Table, file: str) -> Iterator[str]:
    for heading in table.headings:
        if plain_heading(heading) in UNSURE:
            yield f"{file}: {shown(heading)} was read as doubles (colonies in double deeps)"
    held = {heading for row in table.rows for heading in row.others}
    unread = [printable(heading) or "a column without a heading" for heading in sorted(held)]
    if unread:
        yield f"{file}: not taken: {', '.join(unread)}"
