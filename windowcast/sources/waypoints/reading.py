"""Which format a file is, by its content and not by its name, and the waypoints in it."""

from __future__ import annotations

from dataclasses import replace

from windowcast.settings.spelling import printable
from windowcast.sources.waypoints.geojson import read_geojson
from windowcast.sources.waypoints.gpx import read_gpx
from windowcast.sources.waypoints.kml import read_kml
from windowcast.sources.waypoints.tables import read_csv
from windowcast.sources.waypoints.text import first_sign, text_of
from windowcast.sources.waypoints.words import Found, problem, with_short_text
from windowcast.sources.waypoints.workbook import read_workbook
from windowcast.sources.waypoints.xml_tree import local_name, read_tree
from windowcast.sources.waypoints.zipped import main_kml, packed_names

_FORMATS = "GPX, KML, KMZ, GeoJSON, CSV or XLSX"


def read_waypoints(body: bytes, file: str) -> Found:
    """The waypoints of a file of any format that is read here; ConfigProblem in all other cases.

    ``file`` is the name by which messages call it.
    """
    found = _found(body, file)
    waypoints, cuts = zip(*with_short_text(found.waypoints), strict=True)
    return replace(
        found, waypoints=waypoints, remarks=(*found.remarks, *(cut for cut in cuts if cut))
    )


def _found(body: bytes, file: str) -> Found:
    if body.startswith(b"PK\x03\x04"):
        return _from_packed(body, file)
    if body.startswith(b"\xd0\xcf\x11\xe0"):
        found = "is an Excel workbook of the old format (.xls) or one with a password"
        raise problem(file, found, "save it as XLSX without a password, or as CSV UTF-8")
    sign = first_sign(body)
    if not sign:
        raise problem(file, "no points found (the file is empty)", f"save it again as {_FORMATS}")
    if sign == "<":
        return _from_xml(body, file)
    text = text_of(body, file)
    return read_geojson(text, file) if sign in "{[" else read_csv(text, file)


def _from_packed(body: bytes, file: str) -> Found:
    names = packed_names(body, file)
    if any(name.startswith("xl/") for name in names):
        return read_workbook(body, file)
    if any(name.lower().endswith(".kml") for name in names):
        return _from_xml(main_kml(body, names, file), file)
    raise problem(
        file,
        "no points found (it is a packed file that holds neither a KML nor a workbook)",
        f"unpack it, and save what is in it as {_FORMATS}",
    )


def _from_xml(body: bytes, file: str) -> Found:
    root = read_tree(body, file)
    name = local_name(root).lower()
    if name == "gpx":
        return read_gpx(root, file)
    if name in ("kml", "document", "folder", "placemark"):
        return read_kml(root, file)
    found = f"no points found (it is XML of the kind {printable(name)}, neither GPX nor KML)"
    raise problem(file, found, f"save it as {_FORMATS}")
