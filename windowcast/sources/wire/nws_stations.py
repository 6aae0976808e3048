"""Stations near a grid cell, nearest first: ``/gridpoints/{office}/{x},{y}/stations``."""

from __future__ import annotations

from dataclasses import dataclass

from windowcast.sources.wire.json_body import as_list, as_object, as_text, plain, refuse
from windowcast.sources.wire.nws_feature import read_feature, read_point_geometry, station_id

_SOURCE = "nws stations"
_STATIONS_AT_MOST = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A weather station."""

    id: str
    name: str
    lat_deg: float
    lon_deg: float


def read_stations(body: bytes) -> tuple[Station, ...]:
    """The stations in the order told; SourceGarbled with source, field and value."""
    answer = read_feature(body, _SOURCE)
    features = as_list(answer.get("features"), _SOURCE, "features", most=_STATIONS_AT_MOST)
    return tuple(_station(feature, index) for index, feature in enumerate(features))


def _station(feature: object, index: int) -> Station:
    place = (_SOURCE, "features", index)
    told = as_object(feature, *place)
    properties = as_object(told.get("properties"), *place, "properties")
    position = read_point_geometry(told.get("geometry"), *place, "geometry")
    if position is None:
        refuse((*place, "geometry"), None, "a point")
    name = properties.get("name")
    return Station(
        id=station_id(properties.get("stationIdentifier"), *place, "stationIdentifier"),
        name="" if name is None else plain(as_text(name, *place, "name")),
        lat_deg=position[1],
        lon_deg=position[0],
    )
