"""The raw forecast grid of the US National Weather Service, ``/gridpoints/{office}/{x},{y}``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.intervals import read_instant
from windowcast.sources.wire.json_body import as_object, as_text, shown
from windowcast.sources.wire.nws_feature import (
    Polygon,
    read_cell,
    read_feature,
    read_height_m,
    read_polygon,
)
from windowcast.sources.wire.nws_layers import (
    AMOUNTS,
    STATES,
    Told,
    hours_begun,
    hours_touched,
    read_layer,
    spread_amount,
    spread_state,
    spread_wild,
)
from windowcast.sources.wire.nws_weather import read_hazards, read_mentions
from windowcast.terms.outlook import Floats, Hazard
from windowcast.times import Hours, hour_index

SOURCE = "nws"
MOST_HOURS = 31 * 24  # the service tells about 200

# Without these two no hour can be scored.
REQUIRED = {"temp_c": "temperature", "wind_mps": "windSpeed"}

# A dew point cannot lie above the temperature. Forecasters edit the two layers apart, so a small
# excess in some hours is a slip; a large one in most hours is a wrong unit. Rule of this project.
_DEWPOINT_OVER_DC = 5.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """One cell's forecast: hours without a gap, arrays by our names, each of shape (hour,).

    ``polygon`` holds the cell's corners (longitude, latitude), none if the answer has no geometry.
    """

    office: str
    x: int
    y: int
    polygon: Polygon
    elev_m: float | None
    updated_at: datetime
    hours: Hours
    arrays: Mapping[str, Floats]
    hazards: tuple[Hazard, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def cell(self) -> str:
        """``BOI 118,77``."""
        return f"{self.office} {self.x},{self.y}"


def read_grid(body: bytes) -> Grid:
    """The forecast of a raw grid answer; SourceGarbled with source, field and value."""
    answer = read_feature(body, f"{SOURCE} grid")
    properties = as_object(answer.get("properties"), f"{SOURCE} grid", "properties")
    office, x, y = read_cell(properties, f"{SOURCE} grid")
    source = f"{SOURCE} grid {office} {x},{y}"
    states = {wanted.name: read_layer(properties, wanted, source) for wanted in STATES}
    amounts = {wanted.name: read_layer(properties, wanted, source) for wanted in AMOUNTS}
    states["thunder"], states["freezing_rain"] = read_mentions(properties, source)
    hazards, odd_hazards = read_hazards(properties, source)
    _demand_required(states, source)
    first, count = _span(states, amounts, source)
    arrays = _hourly(states, amounts, first, count)
    _refuse_wet_above_dry(arrays, source)
    polygon = read_polygon(answer.get("geometry"), source)
    unplaced = () if polygon else (f"{source}: the answer does not say where its cell lies",)
    told = [*states.values(), *amounts.values()]
    return Grid(
        office=office,
        x=x,
        y=y,
        polygon=polygon,
        elev_m=read_height_m(properties, source),
        updated_at=_updated_at(properties, source),
        hours=hour_index(np.datetime64(first, "h"), count),
        arrays=arrays,
        hazards=hazards,
        remarks=(*(r for layer in told for r in layer.remarks), *odd_hazards, *unplaced),
    )


def _demand_required(states: Mapping[str, Told], source: str) -> None:
    for name, layer in REQUIRED.items():
        if not np.isfinite(states[name].values).any():
            raise SourceGarbled(f"{source}: {layer} tells no value, and no hour is known without")


def _span(states: Mapping[str, Told], amounts: Mapping[str, Told], source: str) -> tuple[int, int]:
    """First hour since 1970 that a layer tells, and how many hours there are to the last."""
    bounds = [
        (begin, end)
        for layers, hours_of in ((states, hours_begun), (amounts, hours_touched))
        for told in layers.values()
        for begin, end in _told_bounds(told, hours_of(told))
    ]
    if not bounds:
        raise SourceGarbled(f"{source}: no layer tells a whole hour")
    first, end = min(begin for begin, _ in bounds), max(end for _, end in bounds)
    if end - first > MOST_HOURS:
        raise SourceGarbled(
            f"{source}: the layers span {end - first} hours, expected at most {MOST_HOURS}"
        )
    return first, end - first


def _told_bounds(told: Told, hours: Sequence[np.ndarray]) -> list[tuple[int, int]]:
    begins, ends = hours
    spoken = np.isfinite(told.values) & (ends > begins)
    if not spoken.any():
        return []
    return [(int(begins[spoken].min()), int(ends[spoken].max()))]


def _hourly(
    states: Mapping[str, Told], amounts: Mapping[str, Told], first: int, count: int
) -> dict[str, Floats]:
    """Every layer by hour. An hour that a wild value touches is not told at all.

    Nobody knows what else is wrong with such an hour, and with one number missing it might look
    better than it is: rain of 9999 mm left out would make the hour dry.
    """
    arrays = {name: spread_state(told, first, count) for name, told in states.items()}
    arrays |= {name: spread_amount(told, first, count) for name, told in amounts.items()}
    wild = np.zeros(count, dtype=np.bool_)
    for told in (*states.values(), *amounts.values()):
        wild |= spread_wild(told, first, count)
    return {name: np.where(wild, np.nan, array) for name, array in arrays.items()}


def _refuse_wet_above_dry(arrays: Mapping[str, Floats], source: str) -> None:
    excess = arrays["dewpoint_c"] - arrays["temp_c"]
    told = np.isfinite(excess)
    if 2 * int((excess[told] > _DEWPOINT_OVER_DC).sum()) > int(told.sum()):
        raise SourceGarbled(
            f"{source}: dewpoint lies up to {excess[told].max():.0f} °C above temperature in most"
            " hours, which cannot be; the unit of one of them is wrong"
        )


def _updated_at(properties: Mapping[str, object], source: str) -> datetime:
    text = as_text(properties.get("updateTime"), source, "updateTime")
    try:
        return read_instant(text)
    except ValueError as error:
        raise SourceGarbled(
            f"{source}: updateTime: {shown(text)} cannot be read: {error}"
        ) from None
