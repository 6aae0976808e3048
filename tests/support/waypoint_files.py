"""Files of places in every format: the payloads, and small ones written on the spot."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Mapping, Sequence

from openpyxl import Workbook
from support.tree import ROOT

from windowcast.sources.waypoints.reading import read_waypoints
from windowcast.sources.waypoints.words import Found

PAYLOADS = ROOT / "fixtures" / "payloads" / "waypoints"

KML = (
    "<kml><Placemark><name>Kiln</name>"
    "<Point><coordinates>{}</coordinates></Point></Placemark></kml>"
)


def payload(name: str) -> bytes:
    """A file of fixtures/payloads/waypoints."""
    return (PAYLOADS / name).read_bytes()


def cells(body: bytes, file: str = "places") -> list[dict[str, str]]:
    """The cells of every waypoint in a file."""
    return [dict(waypoint.cells) for waypoint in found(body, file).waypoints]


def found(body: bytes, file: str = "places") -> Found:
    return read_waypoints(body, file)


def gpx(inside: str) -> bytes:
    return f'<gpx version="1.1">{inside}</gpx>'.encode()


def wpt(name: str, lat: str = "46.079", lon: str = "-119.774") -> str:
    return f'<wpt lat="{lat}" lon="{lon}"><name>{name}</name></wpt>'


def geojson(value: object) -> bytes:
    return json.dumps(value).encode()


def point(*position: object) -> dict[str, object]:
    return {"type": "Point", "coordinates": list(position)}


def workbook(sheets: Mapping[str, Sequence[Sequence[object]]]) -> bytes:
    """An XLSX with these sheets, written by openpyxl."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    packed = io.BytesIO()
    book.save(packed)
    return packed.getvalue()


def packed(parts: Mapping[str, bytes]) -> bytes:
    """A zip with these parts."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return whole.getvalue()


def with_part(body: bytes, old: bytes, new: bytes, or_old: bytes = b"\0") -> bytes:
    """The workbook with another text in its first sheet."""
    with zipfile.ZipFile(io.BytesIO(body)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    sheet = "xl/worksheets/sheet1.xml"
    changed = parts[sheet].replace(old, new).replace(or_old, new)
    assert changed != parts[sheet]
    return packed({**parts, sheet: changed})
