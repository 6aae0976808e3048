"""The raw forecast grid of the US National Weather Service, ``/gridpoints/{office}/{x},{y}``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

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
    WORSTS,
    Told,
    hours_begun,
    hours_touched,
    read_layer,
    spread_amount,
    spread_state,
    spread_wild,
    spread_worst,
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


class _Layers(NamedTuple):
    """Layers by our names and by how they are laid out on the hours."""

    states: dict[str, Told]
    worsts: dict[str, Told]
    amounts: dict[str, Told]

    @property
    def all(self) -> dict[str, Told]:
        """Every layer."""
        return self.states | self.worsts | self.amounts


def read_grid(body: bytes) -> Grid:
    """The forecast of a raw grid answer; SourceGarbled with source, field and value."""
    answer = read_feature(body, f"{SOURCE} grid")
    properties = as_object(answer.get("properties"), f"{SOURCE} grid", "properties")
    office, x, y = read_cell(properties, f"{SOURCE} grid")
    source = f"{SOURCE} grid {office} {x},{y}"
    layers = _read_layers(properties, source)
    hazards, odd_hazards = read_hazards(properties, source)
    _demand_required(layers, source)
    first, count = _span(layers, source)
    arrays = _hourly(layers, first, count)
    if not np.isfinite(arrays["temp_c"]).any():
        raise SourceGarbled(f"{source}: temperature tells no value at the beginning of any hour")
    _refuse_wet_above_dry(arrays, source)
    polygon = read_polygon(answer.get("geometry"), source)
    unplaced = () if polygon else (f"{source}: the answer does not say where its cell lies",)
    remarks = (remark for told in layers.all.values() for remark in told.remarks)
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
        remarks=(*remarks, *_about_silence(layers, source), *odd_hazards, *unplaced),
    )


def _read_layers(properties: Mapping[str, object], source: str) -> _Layers:
    states, worsts, amounts = (
        {wanted.name: read_layer(properties, wanted, source) for wanted in kind}
        for kind in (STATES, WORSTS, AMOUNTS)
    )
    worsts["thunder"], worsts["freezing_rain"] = read_mentions(properties, source)
    return _Layers(states=states, worsts=worsts, amounts=amounts)


def _about_silence(layers: _Layers, source: str) -> tuple[str, ...]:
    """A remark where nothing is said of the weather, since its silence looks like fair weather."""
    if np.isfinite(layers.worsts["thunder"].values).any():
        return ()
    return (f"{source}: thunder and freezing rain are not told",)


def _demand_required(layers: _Layers, source: str) -> None:
    for name, layer in REQUIRED.items():
        if not np.isfinite(layers.all[name].values).any():
            raise SourceGarbled(f"{source}: {layer} tells no value, and no hour is known without")


def _span(layers: _Layers, source: str) -> tuple[int, int]:
    """First hour since 1970 that a layer tells, and how many hours there are to the last."""
    touching = (*layers.worsts.values(), *layers.amounts.values())
    told_hours = [
        *((told, hours_begun(told)) for told in layers.states.values()),
        *((told, hours_touched(told)) for told in touching),
    ]
    bounds = [bound for told, hours in told_hours for bound in _told_bounds(told, hours)]
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


def _hourly(layers: _Layers, first: int, count: int) -> dict[str, Floats]:
    """Every layer by hour. An hour that a wild value touches is not told at all.

    Nobody knows what else is wrong with such an hour, and with one number missing it might look
    better than it is: rain of 9999 mm left out would make the hour dry.
    """
    arrays = {name: spread_state(told, first, count) for name, told in layers.states.items()}
    arrays |= {name: spread_worst(told, first, count) for name, told in layers.worsts.items()}
    arrays |= {name: spread_amount(told, first, count) for name, told in layers.amounts.items()}
    wild = np.zeros(count, dtype=np.bool_)
    for told in layers.all.values():
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
