"""Daily station files as they lie on disk: plain or gzip, long or wide, to numbers by day.

The long form has a row for each day and element (ID, DATE, ELEMENT, VALUE, M-FLAG, Q-FLAG,
S-FLAG, OBS-TIME), with or without a header; the wide form a row for each day and a column for
each element, perhaps followed by its attributes ("M,Q,S,time"). Both are those of NOAA's
GHCN-Daily. Units are no matter of this module.
"""

from __future__ import annotations

import csv
import io
import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.ghcn_cells import Element, coordinate, days_of, element_of, flags_of
from windowcast.sources.wire.json_body import plain, shown

ELEMENTS = ("TMAX", "TMIN", "PRCP", "SNOW", "MDPR", "DAPR")
NEEDED = ("TMAX", "TMIN", "PRCP")
LARGEST_BYTES = 256 * 2**20  # 150 years with every element are about 30 MB

_GZIP = b"\x1f\x8b"
_LONG_NAMES = ("ID", "DATE", "ELEMENT", "VALUE", "MFLAG", "QFLAG", "SFLAG", "OBSTIME")
_ALIASES = {"STATION": "ID", "DATAVALUE": "VALUE"}
_LONG_ROW = re.compile(r'"?[A-Z]{2}[A-Z0-9_-]{9}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?,', re.ASCII)
_COLUMN = re.compile(r"([A-Z]{2}[A-Z0-9]{2})\s*[(\[](.+)[)\]]")
_STATION = re.compile(r"\(([A-Z]{2}[A-Z0-9_-]{9})\)")
_LINES_BEFORE_HEADER = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StationFile:
    """What a file tells about one station, in the file's own units.

    ``header_units`` holds what the header says in brackets beside an element's name.
    """

    station: str | None
    elements: Mapping[str, Element]
    is_long: bool
    has_attributes: bool
    header_units: Mapping[str, str] = field(default_factory=dict)
    lat_deg: float | None = None
    lon_deg: float | None = None


def read_station_file(body: bytes, station: str | None = None) -> StationFile:
    """The numbers of one station; the named one where a file holds several.

    Raises SourceGarbled with a clause that has neither source nor place.
    """
    text = _text(body)
    lines = text.splitlines()[:_LINES_BEFORE_HEADER]
    if lines and _LONG_ROW.match(lines[0]):
        return _long(_rows(text, 0, None), station)
    for number, line in enumerate(lines):
        names = _names(line)
        if {"DATE", "ELEMENT"} <= {_long_name(name) for name in names}:
            return _long(_rows(text, number, names), station)
        if "DATE" in names:
            before = _STATION.search(" ".join(lines[:number]))
            return _wide(_rows(text, number, names), station, before and before.group(1))
    first = shown(lines[0]) if lines else "nothing"
    semicolons = " (are its columns parted by semicolons?)" if ";" in first else ""
    raise SourceGarbled(
        f"no header with DATE and TMAX, TMIN or PRCP is there; it begins with {first}{semicolons}"
    )


# --- bytes to rows ----------------------------------------------------------------------------


def _text(body: bytes) -> str:
    plain_body = _unzipped(body) if body.startswith(_GZIP) else body
    if not plain_body.strip():
        raise SourceGarbled("the file is empty")
    if b"\x00" in plain_body[:4096]:
        raise SourceGarbled("it is not text; expected CSV, plain or gzip")
    try:
        return plain_body.decode("utf-8-sig")
    except UnicodeDecodeError:
        return plain_body.decode("latin-1")  # names of stations; numbers are ASCII in both


def _unzipped(body: bytes) -> bytes:
    whole, rest = bytearray(), body
    try:
        while rest:
            member = zlib.decompressobj(16 + zlib.MAX_WBITS)
            whole += member.decompress(rest, LARGEST_BYTES + 1 - len(whole))
            if len(whole) > LARGEST_BYTES:
                raise SourceGarbled(f"it unfolds to more than {LARGEST_BYTES >> 20} MB")
            if not member.eof:
                raise SourceGarbled("its gzip breaks off in the middle")
            rest = member.unused_data
    except zlib.error:
        raise SourceGarbled("its gzip is damaged") from None
    return bytes(whole)


def _names(line: str) -> list[str]:
    try:
        cells = next(csv.reader([line]), [])
    except csv.Error:
        return []
    return [cell.strip().strip('"').strip().upper() for cell in cells]


def _long_name(name: str) -> str:
    bare = re.sub(r"[ _-]", "", name)
    return _ALIASES.get(bare, bare)


def _rows(text: str, header_line: int, names: list[str] | None) -> pd.DataFrame:
    """All cells as text; the columns are named as in the header, or as the long form has them."""
    if names is not None and len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise SourceGarbled(f"the header names the column {shown(twice)} twice")
    columns = list(_LONG_NAMES) if names is None else names
    try:
        rows = pd.read_csv(
            io.StringIO(text),
            header=None,
            names=columns,
            skiprows=header_line + (names is not None),
            dtype=str,
            keep_default_na=False,
            na_filter=False,
            index_col=False,
            usecols=[n for n, name in enumerate(columns) if _is_used(name)],
        )
    except (pd.errors.ParserError, pd.errors.EmptyDataError, ValueError) as error:
        raise SourceGarbled(f"its rows cannot be read: {plain(str(error))}") from None
    if rows.empty:
        raise SourceGarbled("it has a header and no rows")
    return rows.fillna("")


def _is_used(name: str) -> bool:
    where = ("STATION", "DATE", "LATITUDE", "LONGITUDE")
    element = name.removesuffix("_ATTRIBUTES").split("(")[0].split("[")[0].strip()
    return name in where or element in ELEMENTS or _long_name(name) in _LONG_NAMES


# --- rows to elements -------------------------------------------------------------------------


def _long(rows: pd.DataFrame, station: str | None) -> StationFile:
    rows = rows.rename(columns={name: _long_name(name) for name in rows.columns})
    if not {"ID", "VALUE"} <= set(rows.columns):
        raise SourceGarbled("the long form needs the columns ID, DATE, ELEMENT and VALUE")
    rows, found = _one_station(rows, "ID", station)
    blank = pd.Series("", index=rows.index)
    flags = [rows.get(name, blank) for name in ("MFLAG", "QFLAG", "OBSTIME")]
    days = days_of(rows["DATE"])
    elements = {}
    for name in ELEMENTS:
        mine = (rows["ELEMENT"].str.strip() == name).to_numpy()
        if mine.any():
            cells = [column[mine] for column in (rows["VALUE"], *flags)]
            elements[name] = element_of(name, days[mine], *cells)
    return _checked(
        StationFile(station=found, elements=elements, is_long=True, has_attributes=True)
    )


def _wide(rows: pd.DataFrame, station: str | None, before: str | None) -> StationFile:
    found = before
    if "STATION" in rows.columns:
        rows, found = _one_station(rows, "STATION", station)
    elif station is not None and before not in (None, station):
        raise SourceGarbled(f"it is about the station {before}, not {station}")
    named = {name: _COLUMN.fullmatch(name) for name in rows.columns}
    column_of = {(m.group(1) if m else name): name for name, m in named.items()}
    units = {m.group(1): m.group(2).strip() for m in named.values() if m}
    days = days_of(rows["DATE"])
    elements = {}
    for name in ELEMENTS:
        if name in column_of:
            flags = flags_of(rows.get(f"{name}_ATTRIBUTES"), rows.index)
            elements[name] = element_of(name, days, rows[column_of[name]], *flags)
    return _checked(
        StationFile(
            station=found,
            elements=elements,
            is_long=False,
            has_attributes=any(name.endswith("_ATTRIBUTES") for name in rows.columns),
            header_units=units,
            lat_deg=coordinate(rows.get("LATITUDE"), "LATITUDE", 90.0),
            lon_deg=coordinate(rows.get("LONGITUDE"), "LONGITUDE", 180.0),
        )
    )


def _checked(file: StationFile) -> StationFile:
    told = [name for name in NEEDED if name in file.elements]
    if not told:
        raise SourceGarbled("it has none of TMAX, TMIN and PRCP")
    if not any(np.isfinite(file.elements[name].values).any() for name in told):
        raise SourceGarbled(f"it tells no value of {', '.join(told)}")
    return file


def _one_station(
    rows: pd.DataFrame, column: str, wanted: str | None
) -> tuple[pd.DataFrame, str | None]:
    ids = rows[column].str.strip().str.removeprefix("GHCND:")
    known = [name for name in ids.unique() if name]
    if wanted is None and len(known) > 1:
        raise SourceGarbled(
            f"it holds {len(known)} stations ({plain(', '.join(known[:3]))}, ...); name one in"
            ' outfit.toml, as in station = "USW00094728"'
        )
    if wanted is not None and wanted not in known:
        others = plain(", ".join(known[:3])) or "without a name"
        raise SourceGarbled(f"it is about the station {others}, not {wanted}")
    chosen = wanted or (known[0] if known else None)
    return (rows[ids == chosen] if len(known) > 1 else rows), chosen
