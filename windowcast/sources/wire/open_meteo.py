"""Answers of Open-Meteo's forecast interface: one point as an object, several as a list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.json_body import (
    Place,
    as_list,
    as_number,
    as_object,
    dotted,
    plain,
    read_json,
    refuse,
)
from windowcast.sources.wire.open_meteo_axis import read_axis, told_offset_s
from windowcast.sources.wire.open_meteo_layers import (
    FREEZING_CODES,
    OPTIONAL,
    PRECIPITATION,
    RAIN,
    REQUIRED,
    SHOWERS,
    SNOW_DEPTH_PER_WATER,
    THUNDER_CODES,
    WEATHER,
    Layer,
    Reading,
    read_layer,
)
from windowcast.terms.outlook import Floats
from windowcast.times import Hours, zone

SOURCE = "open_meteo"
MOST_POINTS = 1000  # the service's own bound on places in one call, from memory


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PointForecast:
    """What the service tells about one point; ``lat_deg`` and ``lon_deg`` are its cell's.

    ``utc_offset_s`` is that of the place's clock when it was asked, None where it is not told.
    ``arrays`` holds names of ``terms.outlook.VARIABLES``, each of shape (hour,).
    """

    lat_deg: float
    lon_deg: float
    elev_m: float | None
    tz: str | None
    hours: Hours
    arrays: Mapping[str, Floats]
    remarks: tuple[str, ...] = ()
    utc_offset_s: int | None = None

    @property
    def tells_thunder(self) -> bool:
        """Whether any hour has a code of the sky, which alone speaks of thunder and ice."""
        return "thunder" in self.arrays and bool(np.isfinite(self.arrays["thunder"]).any())


def read_forecasts(body: bytes) -> tuple[PointForecast, ...]:
    """Every point of an answer, in the order asked for; SourceGarbled if one cannot be read."""
    points = read_points(body)
    for point in points:
        if isinstance(point, SourceGarbled):
            raise point
    return tuple(point for point in points if isinstance(point, PointForecast))


def read_points(body: bytes) -> tuple[PointForecast | SourceGarbled, ...]:
    """Every point of an answer, or what is wrong with it, in the order asked for.

    Raises SourceGarbled where nothing of the answer can be used: an error in its place, no JSON,
    no point, or no point without a fault.
    """
    answer = read_json(body, SOURCE)
    if isinstance(answer, list):
        raw = as_list(answer, SOURCE, most=MOST_POINTS)
        points = tuple(_tried(value, (SOURCE, n)) for n, value in enumerate(raw))
    else:
        points = (_tried(answer, (SOURCE,)),)
    if not points:
        raise SourceGarbled(f"{SOURCE}: the answer is an empty list, expected one point or more")
    if all(isinstance(point, SourceGarbled) for point in points):
        raise points[0]  # type: ignore[misc]  # every one of them is a SourceGarbled
    return points


def _tried(value: object, place: Place) -> PointForecast | SourceGarbled:
    try:
        return _read_point(value, place)
    except SourceGarbled as problem:
        return problem


def _read_point(value: object, place: Place) -> PointForecast:
    answer = as_object(value, *place)
    if answer.get("error"):
        reason = answer.get("reason")
        told = f'"{plain(reason)}"' if isinstance(reason, str) else "no reason"
        raise SourceGarbled(f"{dotted(place)}: the service answers with an error: {told}")
    hourly = as_object(answer.get("hourly"), *place, "hourly")
    units = as_object(answer.get("hourly_units"), *place, "hourly_units")
    axis = read_axis(hourly.get("time"), answer.get("utc_offset_seconds"), place)

    def layer_of(layer: Layer) -> Reading | None:
        return read_layer(layer, hourly, units, axis, place)

    arrays, remarks = _arrays(layer_of, place)
    elev_m, odd_height = _elevation(answer.get("elevation"), place)
    return PointForecast(
        lat_deg=_coordinate(answer, "latitude", 90.0, place),
        lon_deg=_coordinate(answer, "longitude", 180.0, place),
        elev_m=elev_m,
        tz=_zone(answer.get("timezone")),
        hours=axis.hours,
        arrays=arrays,
        remarks=remarks + odd_height,
        utc_offset_s=told_offset_s(answer.get("utc_offset_seconds")),
    )


# --- the head ---------------------------------------------------------------------------------


def _coordinate(answer: Mapping[str, object], key: str, most: float, place: Place) -> float:
    value = as_number(answer.get(key), *place, key)
    if abs(value) > most:
        refuse((*place, key), value, f"degrees from -{most:g} to {most:g}")
    return value


def _elevation(value: object, place: Place) -> tuple[float | None, tuple[str, ...]]:
    """The height of the point; one that no ground has is left out with a remark."""
    if value is None:
        return None, ()
    elev_m = as_number(value, *place, "elevation")
    if -500.0 <= elev_m <= 9000.0:
        return elev_m, ()
    return None, (f"{dotted((*place, 'elevation'))}: {elev_m:g} m cannot be; it is left out",)


def _zone(name: object) -> str | None:
    """The zone's name where one was told; GMT is what was asked for, not where the point lies."""
    if not isinstance(name, str) or "/" not in name or len(name) > 60:
        return None
    try:
        zone(name)
    except ValueError:
        return None
    return name


# --- the layers -------------------------------------------------------------------------------


class Arrays(NamedTuple):
    """Our arrays by name and what was left out of them."""

    by_name: Mapping[str, Floats]
    remarks: tuple[str, ...]


def _arrays(layer_of: Callable[[Layer], Reading | None], place: Place) -> Arrays:
    readings = {name: layer_of(layer) for name, layer in {**REQUIRED, **OPTIONAL}.items()}
    for name, layer in REQUIRED.items():
        where = (*place, "hourly", layer.keys[0])
        reading = readings[name]
        if reading is None:
            raise SourceGarbled(f"{dotted(where)}: the layer is missing, nothing stands in for it")
        if np.isnan(reading.values).all():
            raise SourceGarbled(f"{dotted(where)}: not one hour is told, nothing stands in for it")
    readings["rain_mm"] = _rain(layer_of, readings["snow_mm"])
    readings |= _weather(layer_of(WEATHER))
    told = {name: reading for name, reading in readings.items() if reading is not None}
    remarks = [remark for reading in told.values() for remark in reading.remarks]
    return Arrays(
        {name: reading.values for name, reading in told.items()}, tuple(dict.fromkeys(remarks))
    )


def _rain(layer_of: Callable[[Layer], Reading | None], snow: Reading | None) -> Reading | None:
    """All precipitation as water: as told, else the sum of its three kinds where all are told."""
    whole = layer_of(PRECIPITATION)
    if whole is not None and not np.isnan(whole.values).all():
        return whole
    rain, showers = layer_of(RAIN), layer_of(SHOWERS)
    if rain is None or showers is None or snow is None:
        return whole
    total = rain.values + showers.values + snow.values / SNOW_DEPTH_PER_WATER
    believable = np.where(total <= PRECIPITATION.bounds[1], total, np.nan)
    return Reading(believable, rain.remarks + showers.remarks)


def _weather(codes: Reading | None) -> dict[str, Reading | None]:
    """Whether thunder or freezing rain is spoken of, from the code of the sky's state."""
    if codes is None:
        return {}
    told = ~np.isnan(codes.values)
    return {
        name: Reading(np.where(told, np.isin(codes.values, which) * 1.0, np.nan), codes.remarks)
        for name, which in (("thunder", THUNDER_CODES), ("freezing_rain", FREEZING_CODES))
    }
