"""GeoJSON (RFC 7946): points, alone, in features and in collections; longitude comes first."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import NoReturn

from windowcast.settings.coordinates import decimal
from windowcast.settings.spelling import printable
from windowcast.settings.summary import counted
from windowcast.settings.yard_columns import column, column_by_any_name
from windowcast.sources.waypoints.words import (
    Found,
    demand_some,
    left_out,
    one_waypoint,
    problem,
)

_AREAS = ("LineString", "MultiLineString", "Polygon", "MultiPolygon")
_CURE = "export the points, one for each yard"


def read_geojson(text: str, file: str) -> Found:
    """Every point of a GeoJSON text; ConfigProblem where there is none."""
    features = list(_features(_value(text, file), file))
    told = [(feature, list(_points(feature.get("geometry")))) for feature in features]
    points = [(feature, place) for feature, places in told for place in places]
    others = sum(not places for _, places in told)
    what = f"it holds {counted(others, 'feature')} without a point" if others else "it is empty"
    demand_some(len(points), file, what, _CURE)
    lines = [counted(others, "feature") + " without a point"] if others else []
    return Found(
        waypoints=tuple(
            one_waypoint(_cells(feature, place), file=file, number=at, kind="point", lon_first=True)
            for at, (feature, place) in enumerate(points, 1)
        ),
        remarks=left_out(file, lines),
    )


def _value(text: str, file: str) -> Mapping[str, object]:
    try:
        value = json.loads(text, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        found = f"is not whole JSON (line {error.lineno}, column {error.colno})"
        raise problem(file, found, "export it again, or check that it is the right file") from error
    except (ValueError, RecursionError) as error:
        raise problem(file, "is JSON, but holds what no place is", "export it again") from error
    if not isinstance(value, dict) or not isinstance(value.get("type"), str):
        found = "is JSON, but not GeoJSON (it has no type)"
        raise problem(file, found, "export it as GeoJSON")
    return value


def _no_number(word: str) -> NoReturn:
    raise ValueError(word)


def _features(value: Mapping[str, object], file: str) -> Iterator[Mapping[str, object]]:
    """The features; a bare geometry is one without properties."""
    kind = value["type"]
    if kind == "FeatureCollection":
        held = value.get("features")
        if not isinstance(held, list):
            raise problem(file, "is GeoJSON without a list of features", "export it again")
        yield from (feature for feature in held if isinstance(feature, dict))
    elif kind == "Feature":
        yield value
    elif kind in ("Point", "MultiPoint", "GeometryCollection", *_AREAS):
        yield {"geometry": value}
    else:
        found = f'is JSON of type "{printable(str(kind))}", not GeoJSON'
        raise problem(file, found, "export it as GeoJSON")


def _points(geometry: object) -> Iterator[object]:
    """The positions of a point or of several; whatever else it is, it has none."""
    if not isinstance(geometry, dict):
        return
    held = geometry.get("coordinates")
    if geometry.get("type") == "Point":
        yield held
    elif geometry.get("type") == "MultiPoint":
        yield from held if isinstance(held, list) else ()
    elif geometry.get("type") == "GeometryCollection":
        inner = geometry.get("geometries")
        flat = [g for g in inner if isinstance(g, dict)] if isinstance(inner, list) else []
        for part in flat:
            if part.get("type") in ("Point", "MultiPoint"):
                yield from _points(part)


def _cells(feature: Mapping[str, object], place: object) -> dict[str, str]:
    told = feature.get("properties")
    properties = told if isinstance(told, dict) else {}
    cells = dict(_named(properties))
    pair = place if isinstance(place, list) and len(place) >= 2 else ["", ""]
    return {**cells, "lat": _degrees(pair[1]), "lon": _degrees(pair[0])}


def _named(properties: Mapping[str, object]) -> Iterator[tuple[str, str]]:
    """Properties that are columns; names and notes under any name that people give them."""
    for heading, value in properties.items():
        name = column_by_any_name(heading)
        if name in ("name", "notes") and column(heading) is None and isinstance(value, str):
            yield name, value
    for heading, value in properties.items():
        name = column(heading)
        if name and isinstance(value, str | int | float):
            yield name, _text(value)


def _text(value: str | int | float) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else _number(value)


def _degrees(value: object) -> str:
    """A number as the reader of coordinates takes it; anything else as text that it refuses."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return "" if value == "" else printable(json.dumps(value))
    return _number(value)


def _number(value: float) -> str:
    try:
        return decimal(float(value))
    except OverflowError:
        return "a number beyond all bounds"
