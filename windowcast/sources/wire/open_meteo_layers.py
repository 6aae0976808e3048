"""The hourly layers of an Open-Meteo answer: their names, their units, and what they are to us.

Names, units and valid times follow the service's documentation of its forecast interface: a state
is told for the instant of its stamp; precipitation, gusts, sunshine and the chance of
precipitation are told for the hour *before* the stamp.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.json_body import Place, as_list, dotted, refuse
from windowcast.sources.wire.open_meteo_axis import Axis
from windowcast.terms.outlook import PLAUSIBLE, Bools, Floats
from windowcast.times import as_datetime
from windowcast.units import MM_PER_IN, MPS_PER_KNOT, MPS_PER_MPH

# Values this close outside a bound are rounding noise of the service and count as the bound. Its
# sky cover has been seen at 101 %.
NOISE, NOISE_OF_COVER = 1e-6, 0.02


class Unit(NamedTuple):
    """A unit on the wire: where its zero lies and how long its step is in the unit inside."""

    step: float
    zero: float = 0.0


TEMPERATURE = {"°c": Unit(1.0), "°f": Unit(1 / 1.8, 32.0)}
SPEED = {
    "km/h": Unit(1 / 3.6), "kmh": Unit(1 / 3.6), "m/s": Unit(1.0), "ms": Unit(1.0),
    "mp/h": Unit(MPS_PER_MPH), "mph": Unit(MPS_PER_MPH), "kn": Unit(MPS_PER_KNOT),
    "kt": Unit(MPS_PER_KNOT), "knots": Unit(MPS_PER_KNOT),
}  # fmt: skip
DEPTH = {"mm": Unit(1.0), "cm": Unit(10.0), "inch": Unit(MM_PER_IN), "in": Unit(MM_PER_IN)}
SHARE = {"%": Unit(0.01)}
ANGLE = {"°": Unit(1.0)}
SUNSHINE = {"w/m²": Unit(1.0), "w/m2": Unit(1.0)}
CODE = {"wmo code": Unit(1.0)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One variable on the wire: today's name first, then older ones that are echoed as asked.

    A value outside ``bounds`` by no more than ``slack`` counts as the bound.
    """

    keys: tuple[str, ...]
    units: Mapping[str, Unit]
    bounds: tuple[float, float]
    preceding: bool = False
    slack: float = NOISE


TEMP_C = Layer(keys=("temperature_2m",), units=TEMPERATURE, bounds=PLAUSIBLE["temp_c"])
WIND_MPS = Layer(
    keys=("wind_speed_10m", "windspeed_10m"), units=SPEED, bounds=PLAUSIBLE["wind_mps"]
)
REQUIRED = {"temp_c": TEMP_C, "wind_mps": WIND_MPS}
OPTIONAL = {
    "dewpoint_c": Layer(
        keys=("dew_point_2m", "dewpoint_2m"), units=TEMPERATURE, bounds=PLAUSIBLE["dewpoint_c"]
    ),
    "wind_from_deg": Layer(
        keys=("wind_direction_10m", "winddirection_10m"),
        units=ANGLE,
        bounds=PLAUSIBLE["wind_from_deg"],
    ),
    "gust_mps": Layer(
        keys=("wind_gusts_10m", "windgusts_10m"),
        units=SPEED,
        bounds=PLAUSIBLE["gust_mps"],
        preceding=True,
    ),
    "cloud_frac": Layer(
        keys=("cloud_cover", "cloudcover"),
        units=SHARE,
        bounds=PLAUSIBLE["cloud_frac"],
        slack=NOISE_OF_COVER,
    ),
    "rain_prob_frac": Layer(
        keys=("precipitation_probability",),
        units=SHARE,
        bounds=PLAUSIBLE["rain_prob_frac"],
        preceding=True,
    ),
    "sun_wm2": Layer(
        keys=("shortwave_radiation",),
        units=SUNSHINE,
        bounds=PLAUSIBLE["sun_wm2"],
        preceding=True,
    ),
    "snow_mm": Layer(keys=("snowfall",), units=DEPTH, bounds=PLAUSIBLE["snow_mm"], preceding=True),
}
PRECIPITATION, RAIN, SHOWERS = (
    Layer(keys=(key,), units=DEPTH, bounds=PLAUSIBLE["rain_mm"], preceding=True)
    for key in ("precipitation", "rain", "showers")
)
# The state of the sky at the stamp; the hour that begins there is taken to share it.
WEATHER = Layer(keys=("weather_code", "weathercode"), units=CODE, bounds=(0.0, 99.0))
THUNDER_CODES = (95.0, 96.0, 99.0)  # WMO code table 4677, as the service documents it
FREEZING_CODES = (56.0, 57.0, 66.0, 67.0)
SNOW_DEPTH_PER_WATER = 7.0  # the service's own rule: 7 cm of snow hold 10 mm of water

# One wild value is a slip, many are a wrong unit: then nothing of the layer can be believed. Rule
# of this project.
WILD_AT_MOST = 5
WILD_SHARE_AT_MOST = 1 / 3

ASKED = (
    "temperature_2m", "dew_point_2m", "wind_speed_10m", "wind_gusts_10m", "wind_direction_10m",
    "precipitation", "precipitation_probability", "snowfall", "cloud_cover",
    "shortwave_radiation", "weather_code",
)  # fmt: skip


class Reading(NamedTuple):
    """One layer on the hour axis in the unit inside, and what was left out of it."""

    values: Floats
    remarks: tuple[str, ...] = ()


def read_layer(
    layer: Layer,
    hourly: Mapping[str, object],
    units: Mapping[str, object],
    axis: Axis,
    place: Place,
) -> Reading | None:
    """The layer on the hours of the axis, or None where the answer has no such layer.

    Raises SourceGarbled for a wrong length, a value that is no number, an unknown unit, or
    impossible values throughout. A layer of nulls needs no unit: the service has none for it.
    """
    key = next((key for key in layer.keys if key in hourly), None)
    if key is None:
        return None
    told = _numbers(hourly[key], axis.places.size, (*place, "hourly", key))
    full = np.full(axis.hours.size, np.nan)
    if np.isnan(told).all():
        return Reading(full)
    name, unit = _unit(units.get(key), layer, (*place, "hourly_units", key))
    values, wild = _plausible(told, unit, layer)
    remarks: tuple[str, ...] = ()
    if wild.any():
        remarks = (_about_wild(told, wild, (name, unit, layer), axis, (*place, "hourly", key)),)
    shifted = axis.places - 1 if layer.preceding else axis.places
    full[shifted[shifted >= 0]] = values[shifted >= 0]
    return Reading(full, remarks)


def _numbers(raw: object, count: int, place: Place) -> Floats:
    values = as_list(raw, *place, most=count)
    if len(values) != count:
        raise SourceGarbled(f"{dotted(place)}: found {len(values)} values for {count} times")
    return np.array(
        [math.nan if v is None else _number(v, (*place, n)) for n, v in enumerate(values)]
    )


def _number(value: object, place: Place) -> float:
    """The value as a number; one too large for a float is wild, not garbled."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        refuse(place, value, "a number or null")
    try:
        return float(value)
    except OverflowError:
        return math.inf


def _unit(name: object, layer: Layer, place: Place) -> tuple[str, Unit]:
    unit = layer.units.get(name.strip().lower()) if isinstance(name, str) else None
    if unit is None or not isinstance(name, str):
        refuse(place, name, f"one of the units {', '.join(layer.units)}")
    return name.strip(), unit


def _plausible(told: Floats, unit: Unit, layer: Layer) -> tuple[Floats, Bools]:
    """The values inside, wild ones and rounding noise taken out, and which are wild."""
    values = (told - unit.zero) * unit.step
    low, high = layer.bounds
    wild = (values < low - layer.slack) | (values > high + layer.slack)
    return np.clip(np.where(wild, np.nan, values), low, high) + 0.0, wild  # no -0.0


def _about_wild(
    told: Floats, wild: Bools, what: tuple[str, Unit, Layer], axis: Axis, place: Place
) -> str:
    """The remark on wild values; SourceGarbled if they are so many that the unit must be wrong."""
    name, unit, layer = what
    first, count, all_told = int(np.argmax(wild)), int(wild.sum()), int((~np.isnan(told)).sum())
    low, high = (bound / unit.step + unit.zero for bound in layer.bounds)
    found = (
        f"{dotted((*place, first))}: {told[first]:g} {name} at"
        f" {as_datetime(axis.hours[axis.places[first]]):%Y-%m-%d %H:%M} UTC cannot be"
        f" (possible is {low:.4g} to {high:.4g})"
    )
    if count > WILD_AT_MOST or count > WILD_SHARE_AT_MOST * all_told:
        raise SourceGarbled(f"{found}, and so {count} of {all_told} values; a unit is wrong")
    hours = "this hour counts" if count == 1 else f"this and {count - 1} more hours count"
    return f"{found}; {hours} as not told"
