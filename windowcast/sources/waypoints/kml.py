"""KML of any age: placemarks with a point. Lines, areas and links to other files are no yards."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from windowcast.settings.summary import counted
from windowcast.settings.yard_columns import column
from windowcast.sources.waypoints.words import (
    Found,
    demand_some,
    left_out,
    one_waypoint,
)
from windowcast.sources.waypoints.xml_tree import child, local_name, words_of

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element


def read_kml(root: Element, file: str) -> Found:
    """Every point of every placemark, however deep in folders; ConfigProblem where none is."""
    marks = [part for part in root.iter() if local_name(part) == "Placemark"]
    points = [(mark, point) for mark in marks for point in _points(mark)]
    others = sum(not any(True for _ in _points(mark)) for mark in marks)
    linked = any(local_name(part) == "NetworkLink" for part in root.iter())
    why, cure = "it holds no placemark with a point", "export the placemarks, one for each yard"
    if others and not points:
        why = f"it holds {counted(others, 'placemark')} without a point"
    elif linked:
        why, cure = "it only links to another file", "open it, and save the places themselves"
    demand_some(len(points), file, why, cure)
    lines = [counted(others, "placemark") + " with lines or areas"] if others else []
    return Found(
        waypoints=tuple(
            one_waypoint(
                _cells(mark, point), file=file, number=at, kind="placemark", lon_first=True
            )
            for at, (mark, point) in enumerate(points, 1)
        ),
        remarks=left_out(file, lines),
    )


def _points(mark: Element) -> Iterator[Element]:
    """Points of a placemark: its own, and those of a collection right in it."""
    for part in mark:
        if local_name(part) == "Point":
            yield part
        elif local_name(part) == "MultiGeometry":
            yield from (inner for inner in part if local_name(inner) == "Point")


def _cells(mark: Element, point: Element) -> dict[str, str]:
    lat, lon = _lat_and_lon(words_of(point, "coordinates"))
    own = {"name": words_of(mark, "name"), "notes": words_of(mark, "description")}
    told = {column: words for column, words in own.items() if words}
    return {**dict(_told_apart(mark)), **told, "lat": lat, "lon": lon}


def _lat_and_lon(text: str) -> tuple[str, str]:
    """``lon,lat`` or ``lon,lat,height``; any other text stays as it is, to be refused by name."""
    numbers = [part for part in re.split(r"[\s,]+", text.strip(" ,\t\r\n")) if part]
    if len(numbers) in (2, 3):
        return numbers[1], numbers[0]
    return text, text


def _told_apart(mark: Element) -> Iterator[tuple[str, str]]:
    """Extended values whose name is a column of ``yards.csv``."""
    extended = child(mark, "ExtendedData")
    for part in extended if extended is not None else ():
        held = part if local_name(part) == "SchemaData" else [part]
        for value in held:
            name = column(value.get("name", ""))
            if name:
                inner = child(value, "value")
                yield name, "".join((value if inner is None else inner).itertext())
