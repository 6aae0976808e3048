"""What all answers of the US National Weather Service share: GeoJSON, heights, cells, stations."""

from __future__ import annotations

import re
from collections.abc import Mapping

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.json_body import (
    Place,
    as_list,
    as_number,
    as_object,
    as_text,
    plain,
    read_json,
    refuse,
)
from windowcast.sources.wire.units import conversion

Polygon = tuple[tuple[float, float], ...]

_OFFICE = re.compile(r"[A-Z]{3,4}", re.ASCII)
_STATION = re.compile(r"[A-Z0-9]{3,12}", re.ASCII)
_CELLS_AT_MOST = 10_000  # the widest recorded office grid has some hundreds of cells a side
_CORNERS_AT_MOST = 1_000
_HEIGHTS_M = (-500.0, 9000.0)


def read_feature(body: bytes, source: str) -> dict[str, object]:
    """A GeoJSON answer; a problem answer in its place is refused with what it says."""
    answer = as_object(read_json(body, source), source)
    detail = answer.get("detail") or answer.get("title")
    if isinstance(detail, str) and "properties" not in answer and "features" not in answer:
        raise SourceGarbled(f'{source}: the service answered "{plain(detail, 200)}" instead')
    return dict(answer)


def read_cell(properties: Mapping[str, object], source: str) -> tuple[str, int, int]:
    """Office and place of a grid cell; the numbers come as text or as numbers."""
    office = as_text(properties.get("gridId"), source, "gridId")
    if not _OFFICE.fullmatch(office):
        refuse((source, "gridId"), office, "an office of three letters")
    return (
        office,
        _cell_number(properties.get("gridX"), (source, "gridX")),
        _cell_number(properties.get("gridY"), (source, "gridY")),
    )


def _cell_number(value: object, place: Place) -> int:
    if isinstance(value, str) and re.fullmatch(r"\d{1,5}", value, re.ASCII):
        value = int(value)
    number = as_number(value, *place)
    if number != int(number) or not 0 <= number < _CELLS_AT_MOST:
        refuse(place, value, "a whole number of a cell")
    return int(number)


def read_height_m(properties: Mapping[str, object], source: str) -> float | None:
    """Metres above the sea; None where it is not told or cannot be."""
    told = properties.get("elevation")
    if told is None:
        return None
    height = as_object(told, source, "elevation")
    if height.get("value") is None:
        return None
    value = as_number(height["value"], source, "elevation", "value")
    convert = conversion(as_text(height.get("unitCode"), source, "elevation", "unitCode"), "height")
    height_m = None if convert is None else convert(value)
    if height_m is None or not _HEIGHTS_M[0] <= height_m <= _HEIGHTS_M[1]:
        return None
    return height_m


def read_polygon(geometry: object, source: str) -> Polygon:
    """Corners (longitude, latitude) of the cell; none where the answer has no geometry."""
    if geometry is None:
        return ()
    shape = as_object(geometry, source, "geometry")
    place: Place = (source, "geometry")
    if shape.get("type") == "GeometryCollection":  # older answers: a point and the polygon
        parts = as_list(shape.get("geometries"), *place, "geometries", most=_CORNERS_AT_MOST)
        shapes = [as_object(part, *place, "geometries", n) for n, part in enumerate(parts)]
        shape = next((part for part in shapes if part.get("type") == "Polygon"), shape)
    if shape.get("type") != "Polygon":
        refuse((*place, "type"), shape.get("type"), "Polygon")
    rings = as_list(shape.get("coordinates"), *place, "coordinates", most=_CORNERS_AT_MOST)
    if not rings:
        refuse((*place, "coordinates"), rings, "the ring of a polygon")
    ring = as_list(rings[0], *place, "coordinates", 0, most=_CORNERS_AT_MOST)
    if len(ring) < 4:
        refuse((*place, "coordinates", 0), ring, "a closed ring of at least four points")
    return tuple(
        read_position(corner, *place, "coordinates", 0, n) for n, corner in enumerate(ring)
    )


def read_position(value: object, *place: str | int) -> tuple[float, float]:
    """A GeoJSON position as (longitude, latitude)."""
    pair = as_list(value, *place, most=3)
    if len(pair) < 2:
        refuse(place, value, "longitude and latitude")
    lon, lat = as_number(pair[0], *place, 0), as_number(pair[1], *place, 1)
    if not (-180 <= lon <= 180 and -90 <= lat <= 90):
        refuse(place, value, "longitude from -180 to 180 and latitude from -90 to 90")
    return lon, lat


def read_point_geometry(geometry: object, *place: str | int) -> tuple[float, float] | None:
    """(longitude, latitude) of a point feature; None where the answer has no geometry."""
    if geometry is None:
        return None
    shape = as_object(geometry, *place)
    if shape.get("type") != "Point":
        refuse((*place, "type"), shape.get("type"), "Point")
    return read_position(shape.get("coordinates"), *place, "coordinates")


def station_id(text: object, *place: str | int) -> str:
    """A station's identifier, from itself or from the last part of its address."""
    key = as_text(text, *place).rstrip("/").rsplit("/", 1)[-1]
    if not _STATION.fullmatch(key):
        refuse(place, text, "a station such as KXYZ")
    return key
