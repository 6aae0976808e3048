"""A folder of recorded answers of weather services, told apart by what is in them.

The names of the files do not matter, nor whether a body was kept as gzip. A file that cannot be
read, or that no parser knows, is named in a remark and never stops the others.
"""

from __future__ import annotations

import gzip
import io
import zlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from windowcast.problems import SourceGarbled
from windowcast.sources.failure import reason_told
from windowcast.sources.service import shown
from windowcast.sources.wire.json_body import read_json
from windowcast.sources.wire.nws_grid import Grid, read_grid
from windowcast.sources.wire.nws_observations import StationHours, read_observations
from windowcast.sources.wire.nws_points import GridPoint, read_point
from windowcast.sources.wire.nws_stations import Station, read_stations
from windowcast.sources.wire.open_meteo import PointForecast, read_points

LARGEST_BYTES = 16 * 2**20
_GZIP_BEGINS = b"\x1f\x8b"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPoint:
    """A point answer and the place it is about, None where it does not say."""

    point: GridPoint
    lat_deg: float | None
    lon_deg: float | None

    @property
    def cell(self) -> str:
        """The cell that the point leads to, as ``Grid.cell`` names it."""
        return f"{self.point.office} {self.point.x},{self.point.y}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stations:
    stations: tuple[Station, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Forecasts:
    points: tuple[PointForecast | SourceGarbled, ...]


_Word = Grid | PlacedPoint | _Stations | StationHours | _Forecasts


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Recordings:
    """What the readable files of a folder hold; ``remarks`` name the others."""

    grids: tuple[Grid, ...] = ()
    points: tuple[PlacedPoint, ...] = ()
    stations: Mapping[str, Station]
    reports: tuple[StationHours, ...] = ()
    forecasts: tuple[PointForecast, ...] = ()
    remarks: tuple[str, ...] = ()


def read_folder(folder: Path) -> Recordings:
    """Every ``*.json`` and ``*.json.gz`` of a folder, in the order of their names."""
    words: list[_Word] = []
    remarks: list[str] = []
    for path in _paths(folder, remarks):
        try:
            words.append(_read(path))
        except SourceGarbled as problem:
            remarks.append(f"files: {shown(path.name)}: {problem}; this file is not used")
    points = [point for word in words if isinstance(word, _Forecasts) for point in word.points]
    remarks += [f"files: {point}" for point in points if isinstance(point, SourceGarbled)]
    listed = (word.stations for word in words if isinstance(word, _Stations))
    return Recordings(
        grids=tuple(word for word in words if isinstance(word, Grid)),
        points=tuple(word for word in words if isinstance(word, PlacedPoint)),
        stations={station.id: station for stations in listed for station in stations},
        reports=tuple(word for word in words if isinstance(word, StationHours)),
        forecasts=tuple(point for point in points if isinstance(point, PointForecast)),
        remarks=tuple(remarks),
    )


def _paths(folder: Path, remarks: list[str]) -> Iterable[Path]:
    try:
        entries = sorted(folder.iterdir())
    except OSError as problem:
        remarks.append(
            f"files: the folder {shown(str(folder))} cannot be read ({problem.strerror});"
            " see folder in outfit.toml"
        )
        return []
    return [path for path in entries if path.name.lower().endswith((".json", ".json.gz"))]


def _read(path: Path) -> _Word:
    body = _body_of(path)
    content = read_json(body, "the answer")
    for knows, read in _KINDS:
        if knows(content):
            return read(body)
    reason = reason_told(body)
    if reason:
        raise SourceGarbled(f'the error of a service, "{shown(reason)}", and no weather')
    raise SourceGarbled(
        "not a recorded answer that windowcast knows: expected an NWS grid, point, list of"
        " stations or observations, or an Open-Meteo forecast"
    )


def _body_of(path: Path) -> bytes:
    try:
        if not path.is_file():
            raise SourceGarbled("not a plain file")
        with path.open("rb") as file:
            body = file.read(LARGEST_BYTES + 1)
        if body.startswith(_GZIP_BEGINS):
            with gzip.GzipFile(fileobj=io.BytesIO(body)) as unfolded:
                body = unfolded.read(LARGEST_BYTES + 1)
    except (OSError, EOFError, zlib.error) as problem:
        raise SourceGarbled(f"cannot be read ({_why(problem)})") from None
    if len(body) > LARGEST_BYTES:
        raise SourceGarbled(f"larger than {LARGEST_BYTES // 2**20} MB, too large for one answer")
    return body


def _why(problem: Exception) -> str:
    told = problem.strerror if isinstance(problem, OSError) else None
    return told or "damaged gzip"


# --- what is what -----------------------------------------------------------------------------


def _has_properties(*names: str, content: object) -> bool:
    """Whether it is a GeoJSON feature with these properties."""
    properties = content.get("properties") if isinstance(content, dict) else None
    return isinstance(properties, dict) and all(name in properties for name in names)


def _lists(*names: str, content: object) -> bool:
    """Whether it is a GeoJSON collection whose first feature has these properties."""
    features = content.get("features") if isinstance(content, dict) else None
    if not isinstance(features, list) or not features:
        return False
    return _has_properties(*names, content=features[0])


def _is_grid(content: object) -> bool:
    return any(
        _has_properties("gridId", name, content=content) for name in ("updateTime", "temperature")
    )


def _is_forecast(content: object) -> bool:
    """Whether it is what Open-Meteo answers, its error bodies included."""
    first = content[0] if isinstance(content, list) and content else content
    return isinstance(first, dict) and ("hourly" in first or {"error", "reason"} <= first.keys())


def _placed(body: bytes) -> PlacedPoint:
    point = read_point(body)
    return PlacedPoint(point=point, lat_deg=point.lat_deg, lon_deg=point.lon_deg)


_KINDS: tuple[tuple[Callable[[object], bool], Callable[[bytes], _Word]], ...] = (
    (lambda content: _has_properties("forecastGridData", content=content), _placed),
    (_is_grid, read_grid),
    (
        lambda content: _lists("stationIdentifier", "name", content=content),
        lambda body: _Stations(stations=read_stations(body)),
    ),
    (lambda content: _lists("station", "timestamp", content=content), read_observations),
    (_is_forecast, lambda body: _Forecasts(points=read_points(body))),
)
