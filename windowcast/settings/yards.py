"""``yards.csv``: one row for each yard; every fault with its line and column."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.complaints import MISSING, found_and_cure
from windowcast.settings.coordinates import decimal, latitude, longitude
from windowcast.settings.spelling import Slip, printable, shown
from windowcast.settings.text_files import read_text
from windowcast.settings.yard_columns import (
    COLUMNS,
    YardRow,
    column,
    made_key,
    nearest_column,
    own_column,
)
from windowcast.settings.yard_places import Spot, doublet_remarks, lone_remarks, place_faults
from windowcast.settings.yard_table import Row, Table, read_table
from windowcast.terms.yard import Yard

FILE = "yards.csv"
CAP_BYTES = 8 * 1024 * 1024
EXAMPLE_ROW = "kiln,Kiln,43.6105,-116.2023"


@dataclass(frozen=True, slots=True, kw_only=True)
class YardFile:
    """The yards, the rows they come from, and what is odd without being wrong."""

    yards: tuple[Yard, ...]
    rows: tuple[Row, ...]
    headings: tuple[str, ...]
    remarks: tuple[str, ...] = ()


def read_yards(folder: Path, *, us_only: bool = False) -> YardFile:
    """The yards of a configuration folder."""
    cure = f"write one with the heading key,name,lat,lon and a row such as {EXAMPLE_ROW}"
    text = read_text(folder / FILE, cap_bytes=CAP_BYTES, if_missing=cure)
    return yards_of(text, FILE, us_only=us_only)


def yards_of(
    text: str,
    file: str,
    *,
    us_only: bool = False,
    known: Callable[[str], str | None] = column,
    tidy: Callable[[Table], Table] = lambda table: table,
) -> YardFile:
    """The yards that a text tells; ConfigProblem with every fault in it.

    ``known`` names the column that a heading stands for, ``tidy`` mends what a forgiving reader
    may mend. ``us_only`` as in ``yard_places.place_faults``.
    """
    table = tidy(read_table(text, file, known))
    faults = [*table.faults, *_heading_faults(table, file)]
    if not table.rows and not faults:
        cure = f"add a row for each, such as {EXAMPLE_ROW}"
        faults.append(Fault(file=file, found="holds no yard yet", cure=cure))
    built = [_yard(row, file, table.columns) for row in table.rows if any(table.columns)]
    faults += [fault for one in built if not isinstance(one, Yard) for fault in one]
    faults += _doubled_keys(table.rows, file)
    spots = [spot for row in table.rows if (spot := _spot(row))]
    whole = len(spots) == len(table.rows) and not table.faults
    faults += place_faults(spots, file=file, us_only=us_only, all_known=whole)
    if faults:
        raise ConfigProblem(sorted(faults, key=_place))
    remarks = (
        *_unread(table, file),
        *doublet_remarks(spots, file=file),
        *lone_remarks(spots, file=file),
    )
    return YardFile(
        yards=tuple(one for one in built if isinstance(one, Yard)),
        rows=table.rows,
        headings=table.headings,
        remarks=remarks,
    )


def key_of_row(row: Row) -> str:
    """The key of a row as it stands, or made from the name; "" where there is neither."""
    return row.cells.get("key") or made_key(row.cells.get("name", ""))


def _place(fault: Fault) -> tuple[int, int, str]:
    order = COLUMNS.index(fault.field) if fault.field in COLUMNS else -1
    return (fault.line or 0, order, fault.found)


def _heading_faults(table: Table, file: str) -> list[Fault]:
    """What is wrong with the columns as a whole."""
    if not table.headings:
        return []
    at = table.heading_line
    slips = list(_heading_slips(table))
    if not any(table.columns) and not _misspelt(table):
        slips = [("", Slip("is not a heading", _HEADING))]
    faults = [
        Fault(file=file, line=at, field=name, found=slip.found, cure=slip.cure)
        for name, slip in slips
    ]
    unnamed = (row.line for row in table.rows if "" in row.others)
    cure = "give the column a heading, or empty it"
    found = "has a cell under a column without a heading"
    return faults + [Fault(file=file, line=line, found=found, cure=cure) for line in unnamed]


def _heading_slips(table: Table) -> Iterator[tuple[str, Slip]]:
    near = _misspelt(table)
    for heading, name in near.items():
        cure = f'did you mean "{name}"? (a column of your own begins with x_)'
        yield printable(heading), Slip("is not a known column", cure)
    present = {*table.columns, *near.values()}
    for name in ("lat", "lon"):
        if name not in present:
            yield name, Slip("there is no such column", _HEADING)
    if not present & {"key", "name"}:
        yield "", Slip("there is neither a column key nor a column name", _HEADING)


def _misspelt(table: Table) -> dict[str, str]:
    """Headings that are no column, with the column that each most likely means."""
    return {
        heading: near
        for heading, name in zip(table.headings, table.columns, strict=True)
        if not name and heading and not own_column(heading) and (near := nearest_column(heading))
    }


_HEADING = f"begin the file with a heading such as {','.join(COLUMNS[:4])}"


def _yard(row: Row, file: str, columns: Sequence[str | None]) -> Yard | list[Fault]:
    """The yard of a row, or every fault in it."""
    slips = dict(_cell_slips(row, columns))
    if not key_of_row(row) and {"key", "name"} & {*columns}:
        slips["name"] = Slip("gives no key", "write a name with letters or digits, or a key")
    if slips or not {"lat", "lon"} <= {*columns} or not key_of_row(row):
        return [
            Fault(file=file, line=row.line, field=name, found=slip.found, cure=slip.cure)
            for name, slip in slips.items()
        ]
    return _word(YardRow.model_validate(row.cells), key_of_row(row))


def _cell_slips(row: Row, columns: Sequence[str | None]) -> Iterator[tuple[str, Slip]]:
    swapped = _swapped(row)
    if swapped is not None:
        yield "lat", swapped
    try:
        YardRow.model_validate(row.cells)
    except ValidationError as error:
        for one in error.errors(include_url=False):
            name = str(one["loc"][0])
            if (swapped and name in ("lat", "lon")) or (
                one["type"] == "missing" and name not in columns
            ):
                continue
            found, cure = found_and_cure(dict(one), YardRow.model_fields[name], name)
            if found == MISSING:
                found, cure = "is empty", f"write a number such as {_EXAMPLE[name]}"
            yield name, Slip(found, cure)


_EXAMPLE = {"lat": "43.6105", "lon": "-116.2023"}


def _swapped(row: Row) -> Slip | None:
    """The slip of a row whose latitude and longitude are only right the other way round."""
    lat, lon = row.cells.get("lat", ""), row.cells.get("lon", "")
    if _read(lat, lon) is not None or (other := _read(lon, lat)) is None:
        return None
    found = f"{shown(lat)} and lon {shown(lon)} are swapped, it seems"
    return Slip(found, f"write lat {decimal(other[0])}, lon {decimal(other[1])}")


def _read(lat: str, lon: str) -> tuple[float, float] | None:
    try:
        return latitude(lat), longitude(lon)
    except Slip:
        return None


def _spot(row: Row) -> Spot | None:
    place = _read(row.cells.get("lat", ""), row.cells.get("lon", ""))
    if place is None:
        return None
    return Spot(
        line=row.line,
        key=key_of_row(row) or "this yard",
        lat_deg=place[0],
        lon_deg=place[1],
        state=row.cells.get("state", ""),
        far=row.cells.get("far", "").casefold() in ("yes", "y", "true", "1", "x"),
    )


def _doubled_keys(rows: Sequence[Row], file: str) -> Iterator[Fault]:
    lines: dict[str, int] = {}
    for row in rows:
        key = key_of_row(row)
        first = lines.setdefault(key.casefold(), row.line)
        if key and first != row.line:
            made = "" if "key" in row.cells else ", made from the name,"
            found = f"{shown(key)}{made} stands in line {first} already"
            cure = "give each yard a key of its own in a column key"
            yield Fault(file=file, line=row.line, field="key", found=found, cure=cure)


def _unread(table: Table, file: str) -> Iterator[str]:
    for heading, name in zip(table.headings, table.columns, strict=True):
        if heading and name is None and not own_column(heading):
            yield f"{file}: column {shown(heading)} is not read (begin it with x_ to say you know)"


def _word(row: YardRow, key: str) -> Yard:
    return Yard(
        key=key,
        name=row.name or key,
        lat_deg=row.lat,
        lon_deg=row.lon,
        elev_m=row.elevation,
        tz=row.zone,
        state=row.state,
        doubles=row.doubles,
        singles=row.singles,
        nucs=row.nucs,
        nucs_above=row.nucs_above,
        lane_surface=row.lane_surface,
        lane_m=row.lane_length,
        notes=row.notes,
    )
