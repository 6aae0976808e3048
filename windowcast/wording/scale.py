"""The units that an outfit reads, and the rounding of numbers: the only place that rounds."""

from __future__ import annotations

import math
from dataclasses import dataclass

from windowcast.units import Conversion, c_to_f, mm_to_in, mps_to_mph


def _same(value: float) -> float:
    return value


def _mps_to_kmh(speed_mps: float) -> float:
    return speed_mps * 3.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """Conversions from SI to what people read, each with the unit to print."""

    temperature: Conversion
    temperature_unit: str
    step: float  # degrees of this scale in one C°
    speed: Conversion
    speed_unit: str
    depth: Conversion
    depth_unit: str
    depth_decimals: int


US = Scale(
    temperature=c_to_f, temperature_unit="°F", step=1.8, speed=mps_to_mph, speed_unit="mph",
    depth=mm_to_in, depth_unit="in", depth_decimals=2,
)  # fmt: skip
SI = Scale(
    temperature=_same, temperature_unit="°C", step=1.0, speed=_mps_to_kmh, speed_unit="km/h",
    depth=_same, depth_unit="mm", depth_decimals=1,
)  # fmt: skip

_SCALES = {"us": US, "si": SI}


def scale_of(units: str) -> Scale:
    """The scale that ``units`` in outfit.toml names: "us" or "si"; ValueError for another word."""
    if units not in _SCALES:
        raise ValueError(f'"{units}" is not a system of units; use us or si')
    return _SCALES[units]


def whole(value: float) -> int:
    """Nearest whole number, halves upwards."""
    return math.floor(value + 0.5)


def tenth(value: float | None) -> float | None:
    """To one decimal, for documents; never a negative zero."""
    return None if value is None else round(value, 1) + 0.0


def percent(frac: float) -> str:
    """A fraction as whole percent."""
    return f"{whole(frac * 100)} %"


def temperature(value_c: float, scale: Scale) -> str:
    """A temperature with its unit: "41 °F"."""
    return f"{whole(scale.temperature(value_c))} {scale.temperature_unit}"


def temperatures(low_c: float, high_c: float, scale: Scale) -> str:
    """A range of temperatures: "38-44 °F", "-3 to 2 °C", or one where both round to the same."""
    low, high = (whole(scale.temperature(value)) for value in (low_c, high_c))
    return f"{_span(low, high)} {scale.temperature_unit}"


def speeds(low_mps: float, high_mps: float, scale: Scale) -> str:
    """A range of wind: "5-7 mph", or one where both round to the same."""
    low, high = (whole(scale.speed(value)) for value in (low_mps, high_mps))
    return f"{_span(low, high)} {scale.speed_unit}"


def _span(low: int, high: int) -> str:
    if low == high:
        return str(low)
    return f"{low} to {high}" if low < 0 else f"{low}-{high}"


def depth(value_mm: float, scale: Scale) -> str:
    """A depth of water: "0.25 in", and "under 0.01 in" for what would round to nothing."""
    least = 10.0**-scale.depth_decimals
    shown = scale.depth(value_mm)
    if 0.0 < shown < least:
        return f"under {least:.{scale.depth_decimals}f} {scale.depth_unit}"
    return f"{shown:.{scale.depth_decimals}f} {scale.depth_unit}"
