"""Writes answers of the US National Weather Service in their documented form.

Everything starts from plain hourly lists, one value an hour from ``start`` on; ``None`` becomes
``null`` and ``GAP`` leaves the hours out. The numbers are invented by whoever calls; the form is
that of the service's OpenAPI description: GeoJSON features, run-length coded layers, amounts over
whole periods, times as ISO 8601 start and duration.

A whole set for one yard::

    start = utc("2027-01-11T12:00:00Z")
    written = {
        "/points/43.61,-116.2": point(43.61, -116.2, office="BOI", x=118, y=77),
        "/gridpoints/BOI/118,77": grid(start=start, issued=start, layers=hourly_layers(
            start, temp_c=[from_f(41)] * 192, wind_kmh=[from_mph(5)] * 192)),
        "/gridpoints/BOI/118,77/stations": stations([("KXYZ", "Nowhere Field", 43.6, -116.1)]),
        "/stations/KXYZ/observations": observations("KXYZ", [observation(start, temp_c=4.0)]),
    }
    body(written["/gridpoints/BOI/118,77"])     # bytes
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from itertools import groupby
from pathlib import Path
from typing import Any

HOST = "https://api.weather.gov"
FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "payloads" / "nws"
GAP = ...  # an hour that a layer does not speak of at all

Layer = dict[str, Any]
Mention = dict[str, Any]

# Layers of the raw grid that are often there without a unit and without a value.
EMPTY_LAYERS = ("snowLevel", "hainesIndex", "waveHeight", "pressure", "probabilityOfThunder")


def utc(text: str) -> datetime:
    """An aware UTC datetime from ISO 8601 text."""
    return datetime.fromisoformat(text).astimezone(UTC)


def from_f(temp_f: float) -> float:
    """°C as the service writes a whole number of °F."""
    return (temp_f - 32) * 5 / 9


def from_mph(speed_mph: float) -> float:
    """km/h from miles per hour."""
    return speed_mph * 1.609344


def body(answer: object) -> bytes:
    """The bytes on the wire."""
    return json.dumps(answer, indent=1).encode()


def payload(name: str) -> bytes:
    """An answer that is written out in fixtures/payloads/nws."""
    return (FOLDER / f"{name}.json").read_bytes()


def duration(hours: int) -> str:
    """``PT6H``, ``P1D``, ``P2DT3H``."""
    days, rest = divmod(hours, 24)
    return "P" + (f"{days}D" if days else "") + (f"T{rest}H" if rest else "")


def _short(angle: float) -> str:
    return f"{angle:.4f}".rstrip("0").rstrip(".")


def interval(start: datetime, hours: int) -> str:
    """``2027-01-11T12:00:00+00:00/PT6H``."""
    return f"{start.astimezone(UTC).isoformat(timespec='seconds')}/{duration(hours)}"


# --- layers ---------------------------------------------------------------------------------


def runs(start: datetime, hourly: Sequence[Any], uom: str | None = None) -> Layer:
    """A state, hour by hour, written as the service does: equal hours in a row become one."""
    values = []
    place = 0
    for _, group in groupby(hourly, key=lambda v: "gap" if v is GAP else json.dumps(v)):
        run = list(group)
        if run[0] is not GAP:
            when = interval(start + timedelta(hours=place), len(run))
            values.append({"validTime": when, "value": run[0]})
        place += len(run)
    return {"values": values} if uom is None else {"uom": uom, "values": values}


def amounts(
    start: datetime, hourly: Sequence[float | None], uom: str = "wmoUnit:mm", step_h: int = 6
) -> Layer:
    """Hourly amounts as totals of periods that begin at whole multiples of ``step_h`` UTC.

    The first period may be short. A period with a ``None`` in it is left out.
    """
    values = []
    place = 0
    while place < len(hourly):
        here = start + timedelta(hours=place)
        length = min(step_h - here.hour % step_h, len(hourly) - place)
        part = [amount for amount in hourly[place : place + length] if amount is not None]
        if len(part) == length:
            values.append({"validTime": interval(here, length), "value": math.fsum(part)})
        place += length
    return {"uom": uom, "values": values}


def mention(
    weather: str | None,
    coverage: str | None = "slight_chance",
    intensity: str | None = "light",
    attributes: Sequence[str] = (),
) -> Mention:
    """One object of the weather layer; ``mention(None, None, None)`` is the "no weather" object."""
    return {
        "coverage": coverage,
        "weather": weather,
        "intensity": intensity,
        "visibility": {"unitCode": "wmoUnit:km", "value": None},
        "attributes": list(attributes),
    }


NO_WEATHER = mention(None, None, None)


def hazards(told: Sequence[tuple[datetime, int, str, str]]) -> Layer:
    """Official hazards: (first hour, hours, VTEC phenomenon, significance) each."""
    return {
        "values": [
            {
                "validTime": interval(first, hours),
                "value": [
                    {"phenomenon": phenomenon, "significance": significance, "event_number": None}
                ],
            }
            for first, hours, phenomenon, significance in told
        ]
    }


# Keyword of hourly_layers -> name on the wire, unit, whether it is an amount of a period.
WRITTEN = {
    "temp_c": ("temperature", "wmoUnit:degC", False),
    "dewpoint_c": ("dewpoint", "wmoUnit:degC", False),
    "wind_kmh": ("windSpeed", "wmoUnit:km_h-1", False),
    "gust_kmh": ("windGust", "wmoUnit:km_h-1", False),
    "wind_from_deg": ("windDirection", "wmoUnit:degree_(angle)", False),
    "cloud_percent": ("skyCover", "wmoUnit:percent", False),
    "rain_prob_percent": ("probabilityOfPrecipitation", "wmoUnit:percent", False),
    "rain_mm": ("quantitativePrecipitation", "wmoUnit:mm", True),
    "snow_mm": ("snowfallAmount", "wmoUnit:mm", True),
    "ice_mm": ("iceAccumulation", "wmoUnit:mm", True),
}


def hourly_layers(
    start: datetime, *, mentions: Sequence[Sequence[Mention]] | None = None, **hourly: Sequence[Any]
) -> dict[str, Layer]:
    """Layers from hourly lists, keywords as in ``WRITTEN``; ``mentions`` holds the weather.

    ``hourly_layers(start, temp_c=[...], wind_kmh=[...], mentions=[[NO_WEATHER], ...])``
    """
    layers = {}
    for keyword, values in hourly.items():
        name, uom, summed = WRITTEN[keyword]
        layers[name] = amounts(start, values, uom) if summed else runs(start, values, uom)
    if mentions is not None:
        layers["weather"] = runs(start, [list(hour) for hour in mentions])
    return layers


# --- answers --------------------------------------------------------------------------------


def polygon(lat: float, lon: float, half_km: float = 1.25) -> dict[str, Any]:
    """A cell of 2.5 km around a place, five points, longitude first."""
    up = half_km / 111.2
    side = up / math.cos(math.radians(lat))
    corners = [(-side, up), (-side, -up), (side, -up), (side, up), (-side, up)]
    return {"type": "Polygon", "coordinates": [[[lon + dx, lat + dy] for dx, dy in corners]]}


def point(
    lat: float,
    lon: float,
    *,
    office: str = "BOI",
    x: int = 118,
    y: int = 77,
    tz: str | None = "America/Boise",
    host: str = HOST,
) -> dict[str, Any]:
    """The answer of ``/points/{lat},{lon}``."""
    cell = f"{host}/gridpoints/{office}/{x},{y}"
    return {
        "id": f"{host}/points/{_short(lat)},{_short(lon)}",
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [lon, lat]},
        "properties": {
            "@id": f"{host}/points/{_short(lat)},{_short(lon)}",
            "@type": "wx:Point",
            "cwa": office,
            "forecastOffice": f"{host}/offices/{office}",
            "gridId": office,
            "gridX": x,
            "gridY": y,
            "forecast": f"{cell}/forecast",
            "forecastHourly": f"{cell}/forecast/hourly",
            "forecastGridData": cell,
            "observationStations": f"{cell}/stations",
            "timeZone": tz,
            "radarStation": f"K{office}",
        },
    }


def stations(told: Sequence[tuple[str, str, float, float]], *, host: str = HOST) -> dict[str, Any]:
    """The answer of ``/gridpoints/.../stations``: (identifier, name, lat, lon), nearest first."""
    return {
        "type": "FeatureCollection",
        "features": [
            {
                "id": f"{host}/stations/{key}",
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [lon, lat]},
                "properties": {
                    "@id": f"{host}/stations/{key}",
                    "@type": "wx:ObservationStation",
                    "elevation": {"unitCode": "wmoUnit:m", "value": 871.0},
                    "stationIdentifier": key,
                    "name": name,
                    "timeZone": "America/Boise",
                },
            }
            for key, name, lat, lon in told
        ],
        "observationStations": [f"{host}/stations/{key}" for key, *_ in told],
    }


def grid(
    *,
    start: datetime,
    issued: datetime,
    layers: Mapping[str, Layer],
    office: str = "BOI",
    x: int = 118,
    y: int = 77,
    lat: float = 43.61,
    lon: float = -116.2,
    elev_m: float | None = 823.0,
    host: str = HOST,
) -> dict[str, Any]:
    """The answer of ``/gridpoints/{office}/{x},{y}``: the cell lies around ``lat``, ``lon``."""
    cell = f"{host}/gridpoints/{office}/{x},{y}"
    return {
        "id": cell,
        "type": "Feature",
        "geometry": polygon(lat, lon),
        "properties": {
            "@id": cell,
            "@type": "wx:Gridpoint",
            "updateTime": issued.astimezone(UTC).isoformat(timespec="seconds"),
            "validTimes": interval(start, 186),
            "elevation": {"unitCode": "wmoUnit:m", "value": elev_m},
            "forecastOffice": f"{host}/offices/{office}",
            "gridId": office,
            "gridX": str(x),
            "gridY": str(y),
            **{name: {"values": []} for name in EMPTY_LAYERS},
            **layers,
        },
    }


def measured(value: float | None, unit: str, quality: str = "V") -> dict[str, Any]:
    """One measured value; a value that is missing carries the mark Z."""
    return {
        "unitCode": f"wmoUnit:{unit}" if ":" not in unit else unit,
        "value": value,
        "qualityControl": "Z" if value is None else quality,
    }


def observation(
    at: datetime,
    *,
    temp_c: float | None = None,
    dewpoint_c: float | None = None,
    wind_kmh: float | None = None,
    gust_kmh: float | None = None,
    wind_from_deg: float | None = None,
    rain_mm: float | None = None,
    cloud: Sequence[str] = (),
    raw: str = "KXYZ AUTO",
) -> dict[str, Any]:
    """One report, as ``features[].properties``; ``cloud`` names layers such as "SCT", "OVC"."""
    return {
        "@type": "wx:ObservationStation",
        "timestamp": at.astimezone(UTC).isoformat(timespec="seconds"),
        "rawMessage": raw,
        "textDescription": "",
        "presentWeather": [],
        "temperature": measured(temp_c, "degC"),
        "dewpoint": measured(dewpoint_c, "degC"),
        "windDirection": measured(wind_from_deg, "degree_(angle)"),
        "windSpeed": measured(wind_kmh, "km_h-1"),
        "windGust": measured(gust_kmh, "km_h-1"),
        "precipitationLastHour": measured(rain_mm, "mm"),
        "cloudLayers": [
            {"base": {"unitCode": "wmoUnit:m", "value": 1200}, "amount": amount} for amount in cloud
        ],
    }


def observations(
    station: str,
    reports: Sequence[Mapping[str, Any]],
    *,
    lat: float = 43.6,
    lon: float = -116.1,
    host: str = HOST,
) -> dict[str, Any]:
    """The answer of ``/stations/{id}/observations``: newest first, whatever order comes in."""
    newest_first = sorted(reports, key=lambda report: str(report["timestamp"]), reverse=True)
    return {
        "type": "FeatureCollection",
        "features": [
            {
                "id": f"{host}/stations/{station}/observations/{report['timestamp']}",
                "type": "Feature",
                "geometry": {"type": "Point", "coordinates": [lon, lat]},
                "properties": {"station": f"{host}/stations/{station}", **report},
            }
            for report in newest_first
        ],
    }


def problem(status: int, title: str, detail: str) -> dict[str, Any]:
    """A problem answer as the service writes it."""
    kind = title.replace(" ", "")
    return {
        "correlationId": "0000000",
        "title": title,
        "type": f"{HOST}/problems/{kind}",
        "status": status,
        "detail": detail,
        "instance": f"{HOST}/requests/0000000",
    }
