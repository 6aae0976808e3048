"""Which grid cell a place lies in: ``/points/{lat},{lon}``."""

from __future__ import annotations

from dataclasses import dataclass

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.json_body import as_object, as_text, refuse
from windowcast.sources.wire.nws_feature import read_cell, read_feature, read_point_geometry
from windowcast.times import zone

_SOURCE = "nws point"
_LINK_AT_MOST = 300  # characters


@dataclass(frozen=True, slots=True, kw_only=True)
class GridPoint:
    """The cell of a place, the links to its grid and its stations, its zone, and the place.

    Stations, zone and place are None where the answer does not tell them.
    """

    grid_link: str
    stations_link: str | None
    tz: str | None
    office: str
    x: int
    y: int
    lat_deg: float | None = None
    lon_deg: float | None = None


def read_point(body: bytes) -> GridPoint:
    """The cell of a point answer; SourceGarbled with source, field and value."""
    answer = read_feature(body, _SOURCE)
    properties = as_object(answer.get("properties"), _SOURCE, "properties")
    if properties.get("forecastGridData") is None:
        raise SourceGarbled(
            f"{_SOURCE}: forecastGridData: the service names no forecast grid for this place; it"
            " has grids for the land of the United States"
        )
    office, x, y = read_cell(properties, _SOURCE)
    stations = properties.get("observationStations")
    place = read_point_geometry(answer.get("geometry"), _SOURCE, "geometry")
    lon_deg, lat_deg = place or (None, None)
    return GridPoint(
        grid_link=_link(properties.get("forecastGridData"), "forecastGridData"),
        stations_link=None if stations is None else _link(stations, "observationStations"),
        tz=_zone(properties.get("timeZone")),
        office=office,
        x=x,
        y=y,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
    )


def _link(value: object, field: str) -> str:
    link = as_text(value, _SOURCE, field)
    if not link or len(link) > _LINK_AT_MOST or not link.isascii() or not link.isprintable():
        refuse((_SOURCE, field), value, "a link")
    return link


def _zone(value: object) -> str | None:
    """The zone if it is one; a name that this computer does not know is as if it were not told."""
    if value is None:
        return None
    name = as_text(value, _SOURCE, "timeZone")
    try:
        zone(name)
    except ValueError:
        return None
    return name
