"""Places told by another file laid beside ``yards.csv``: what is added, moved, filled, kept."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.coordinates import decimal
from windowcast.settings.yard_columns import COLUMNS, column, made_key
from windowcast.settings.yard_import import empty_yards_text
from windowcast.settings.yard_pairs import (
    Waypoint,
    metres_between,
    once,
    pairings,
    place_of,
    told_twice,
    wanted_key,
)
from windowcast.settings.yard_table import Row, Table, read_table
from windowcast.settings.yards import FILE, YardFile, key_of_row, yards_of

SAME_M = 1.0  # below this a yard has not moved: seven decimals and six are one place


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a waypoint does to one row; ``row`` is the row as it will be written.

    ``moved_m`` is None for a new row. ``kept`` holds what the row says otherwise than the file, as
    (column, what stays, what the file told); ``called`` is the name in the file, "" for none.
    """

    key: str
    name: str
    called: str
    row: Row
    at: str
    lon_first: bool
    is_new: bool
    moved_m: float | None = None
    filled: tuple[tuple[str, str], ...] = ()
    kept: tuple[tuple[str, str, str], ...] = ()

    @property
    def changes(self) -> bool:
        """Whether the row will differ from what stands in ``yards.csv``."""
        return self.is_new or bool(self.filled) or (self.moved_m or 0.0) >= SAME_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Merge:
    """The new text of ``yards.csv`` and how it came about; ``absent`` are keys not in the file."""

    text: str
    changes: tuple[Change, ...]
    absent: tuple[str, ...]
    remarks: tuple[str, ...]


def old_table(text: str | None, *, us_only: bool) -> tuple[Table, tuple[str, ...]]:
    """The rows of ``yards.csv`` and its remarks; ConfigProblem where it has faults of its own.

    None stands for a file that is not there. A file that holds its heading alone is sound here.
    """
    table = read_table(empty_yards_text() if text is None else text, FILE, column)
    if not table.headings and not table.faults:
        table = read_table(empty_yards_text(), FILE, column)
    if text is None or not (table.rows or table.faults):
        return table, ()
    return table, yards_of(text, FILE, us_only=us_only).remarks


def merged(
    old: Table, told: Sequence[Waypoint], *, us_only: bool, known_remarks: Iterable[str] = ()
) -> Merge:
    """``yards.csv`` with the waypoints in it; ConfigProblem with every fault that it would have."""
    faults = list(told_twice(told))
    second = {fault.file for fault in faults}
    kept_once, remarks = once([w for w in told if w.at not in second])
    pairs = pairings(old.rows, kept_once)
    met = {
        at: _met(old.rows[at], w) for at, w in zip(pairs, kept_once, strict=True) if at is not None
    }
    lone = [w for at, w in zip(pairs, kept_once, strict=True) if at is None]
    new = list(_new(lone, old))
    rows = [met[at].row if at in met else row for at, row in enumerate(old.rows)]
    text = _text(old, [*rows, *(change.row for change in new)])
    origins = [*(met.get(at) or row.line for at, row in enumerate(old.rows)), *new]
    found = _validated(text, origins, faults, us_only=us_only)
    absent = [key_of_row(row) for at, row in enumerate(old.rows) if at not in met]
    return Merge(
        text=text,
        changes=(*met.values(), *new),
        absent=tuple(absent),
        remarks=(*remarks, *(r for r in found.remarks if r not in {*known_remarks})),
    )


def _met(row: Row, waypoint: Waypoint) -> Change:
    """The row of a yard that stands in ``yards.csv``: it moves, gaps are filled, the rest stays."""
    here, there = place_of(row.cells), place_of(waypoint.cells)
    moved_m = metres_between(here, there) if here and there else None
    stays = moved_m is not None and moved_m < SAME_M
    told = {n: c for n, c in waypoint.cells.items() if n not in ("key", "name", "lat", "lon")}
    filled = {name: cell for name, cell in told.items() if name not in row.cells}
    kept = [
        (name, row.cells[name], cell)
        for name, cell in told.items()
        if name in row.cells and _plain(row.cells[name]) != _plain(cell)
    ]
    cells = {**row.cells, **filled, **({} if stays else _place_cells(waypoint))}
    return Change(
        key=key_of_row(row),
        name=row.cells.get("name", ""),
        called=waypoint.cells.get("name", "") if waypoint.named else "",
        row=replace(row, cells=cells),
        at=waypoint.at,
        lon_first=waypoint.lon_first,
        is_new=False,
        moved_m=moved_m,
        filled=tuple(filled.items()),
        kept=tuple(kept),
    )


def _new(waypoints: Sequence[Waypoint], old: Table) -> Iterator[Change]:
    """Rows for waypoints that are no yard of ``yards.csv`` yet, each with a key of its own."""
    used = {key_of_row(row).casefold() for row in old.rows}
    used |= {w.cells["key"].casefold() for w in waypoints if "key" in w.cells}
    for waypoint in waypoints:
        made = waypoint.cells.get("key") or distinct_key(wanted_key(waypoint) or "waypoint", used)
        used.add(made.casefold())
        cells = {**waypoint.cells, **_place_cells(waypoint)}
        if "key" in old.columns or made != made_key(cells.get("name", "")):
            cells["key"] = made
        yield Change(
            key=made,
            name=cells.get("name", ""),
            called=cells.get("name", "") if waypoint.named else "",
            row=Row(line=0, cells=cells, others={}),
            at=waypoint.at,
            lon_first=waypoint.lon_first,
            is_new=True,
        )


def distinct_key(wanted: str, used: Iterable[str]) -> str:
    """``kiln``, or ``kiln-2`` where that key is taken, and so on; keys in ``used`` are folded."""
    taken, key, number = {*used}, wanted, 1
    while key.casefold() in taken:
        number += 1
        key = f"{wanted[: 40 - len(f'-{number}')]}-{number}"
    return key


def _place_cells(waypoint: Waypoint) -> Mapping[str, str]:
    """Decimal degrees, or what the file says where that is no place."""
    place = place_of(waypoint.cells)
    if place is None:
        return {name: waypoint.cells.get(name, "") for name in ("lat", "lon")}
    return {"lat": decimal(place[0]), "lon": decimal(place[1])}


def _plain(cell: str) -> str:
    """A cell as it is compared: 24.0 is 24, and capitals do not matter."""
    return " ".join(cell.casefold().split()).removesuffix(".0")


def _text(old: Table, rows: Sequence[Row]) -> str:
    """The table, its own headings first and as they are; a row is a line."""
    more = [
        name
        for name in COLUMNS
        if name not in old.columns and any(name in row.cells for row in rows)
    ]
    table = io.StringIO()
    writer = csv.writer(table, lineterminator="\n")
    writer.writerow([*old.headings, *more])
    for row in rows:
        cells = [
            row.cells.get(name, "") if name else row.others.get(heading, "")
            for heading, name in zip(old.headings, old.columns, strict=True)
        ]
        writer.writerow([*cells, *(row.cells.get(name, "") for name in more)])
    return table.getvalue()


def _validated(
    text: str, origins: Sequence[Change | int], faults: list[Fault], *, us_only: bool
) -> YardFile:
    """The yards of the new text; faults are told where the words stand that caused them."""
    try:
        found = yards_of(text, FILE, us_only=us_only)
    except ConfigProblem as problem:
        faults += [_at_origin(fault, origins) for fault in problem.faults]
        raise ConfigProblem(faults) from problem
    if faults:
        raise ConfigProblem(faults)
    return found


def _at_origin(fault: Fault, origins: Sequence[Change | int]) -> Fault:
    origin = origins[fault.line - 2] if fault.line and fault.line >= 2 else None
    if isinstance(origin, int):
        return replace(fault, line=origin)
    if origin is None:
        return fault
    swap = origin.lon_first and fault.field in ("lat", "lon")
    cure = f"{fault.cure} (this format puts lon before lat)" if swap else fault.cure
    return replace(fault, file=origin.at, line=None, cure=cure)
