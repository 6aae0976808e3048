"""Conversions between the units people write and the SI units the program thinks in.

One line each. A temperature and a difference of temperatures are two meanings and have two
functions. ``quantity`` reads what stands in a settings file ("40 F", "12 mph", "0.1 in").
"""

from __future__ import annotations

import re
from collections.abc import Callable

MPS_PER_MPH = 0.44704  # exact: 1609.344 m / 3600 s (NIST SP 811, appendix B.8)
MPS_PER_KNOT = 1852 / 3600  # exact (NIST SP 811, appendix B.8)
M_PER_FT = 0.3048  # exact (NIST SP 811, appendix B.8)
MM_PER_IN = 25.4  # exact (NIST SP 811, appendix B.8)

LARGEST = 1e9  # no quantity of this trade comes near it, in any unit; beyond lies a slip


def f_to_c(temp_f: float) -> float:
    """°F to °C, a temperature."""
    return (temp_f - 32.0) / 1.8


def c_to_f(temp_c: float) -> float:
    """°C to °F, a temperature."""
    return temp_c * 1.8 + 32.0


def df_to_dc(step_f: float) -> float:
    """F° to C°, a difference of temperatures."""
    return step_f / 1.8


def dd_f_to_dd_c(dd_f: float) -> float:
    """Degree-days counted in F° to degree-days counted in C°."""
    return dd_f / 1.8


def k_to_c(temp_k: float) -> float:
    """Kelvin to °C."""
    return temp_k - 273.15


def mph_to_mps(speed_mph: float) -> float:
    """Miles per hour to m/s."""
    return speed_mph * MPS_PER_MPH


def mps_to_mph(speed_mps: float) -> float:
    """Metres per second to miles per hour."""
    return speed_mps / MPS_PER_MPH


def kmh_to_mps(speed_kmh: float) -> float:
    """Kilometres per hour to m/s."""
    return speed_kmh / 3.6


def knots_to_mps(speed_knots: float) -> float:
    """Knots to m/s."""
    return speed_knots * MPS_PER_KNOT


def in_to_mm(depth_in: float) -> float:
    """Inches to mm."""
    return depth_in * MM_PER_IN


def mm_to_in(depth_mm: float) -> float:
    """Millimetres to inches."""
    return depth_mm / MM_PER_IN


def ft_to_m(length_ft: float) -> float:
    """Feet to m."""
    return length_ft * M_PER_FT


def m_to_ft(length_m: float) -> float:
    """Metres to feet."""
    return length_m / M_PER_FT


def percent_to_frac(percent: float) -> float:
    """Percent to a fraction of one."""
    return percent / 100.0


def _same(value: float) -> float:
    return value


Conversion = Callable[[float], float]

# What a settings file may say, by kind of quantity: spelling -> conversion to the SI unit inside.
# The first spelling of each system is the one that messages and generated files show.
KINDS: dict[str, dict[str, Conversion]] = {
    "temperature": {
        "F": f_to_c,
        "C": _same,
        "°F": f_to_c,
        "°C": _same,
        "degF": f_to_c,
        "degC": _same,
    },
    "temperature difference": {"F": df_to_dc, "C": _same, "°F": df_to_dc, "°C": _same},
    "speed": {
        "mph": mph_to_mps,
        "m/s": _same,
        "km/h": kmh_to_mps,
        "kmh": kmh_to_mps,
        "kt": knots_to_mps,
        "knots": knots_to_mps,
    },
    "depth": {
        "in": in_to_mm,
        "mm": _same,
        "cm": lambda cm: cm * 10.0,
        "inch": in_to_mm,
        "inches": in_to_mm,
    },
    "length": {
        "ft": ft_to_m,
        "m": _same,
        "mi": lambda mi: mi * 1609.344,
        "km": lambda km: km * 1000.0,
        "yd": lambda yd: yd * 0.9144,
        "feet": ft_to_m,
    },
    "fraction": {"%": percent_to_frac, "percent": percent_to_frac},
    "duration": {
        "h": _same,
        "min": lambda minutes: minutes / 60.0,
        "d": lambda d: d * 24.0,
        "hours": _same,
        "hour": _same,
        "days": lambda d: d * 24.0,
        "minutes": lambda minutes: minutes / 60.0,
        "s": lambda s: s / 3600.0,
    },
    "angle": {"deg": _same, "°": _same, "degrees": _same},
    "irradiance": {"W/m2": _same, "W/m²": _same},
    "mass": {"g": _same, "mg": lambda mg: mg / 1000.0, "oz": lambda oz: oz * 28.349523125},
}

# The spelling whose conversion is the identity: the unit inside.
SI_UNIT = {
    "temperature": "C",
    "temperature difference": "C",
    "speed": "m/s",
    "depth": "mm",
    "length": "m",
    "fraction": "",
    "duration": "h",
    "angle": "deg",
    "irradiance": "W/m2",
    "mass": "g",
    "number": "",
}

_QUANTITY = re.compile(
    r"([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*([^\d\s].*)?"
)
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]")


def quantity(text: str, kind: str) -> float:
    """The SI value of a quantity that a person wrote, such as ``quantity("40 F", "temperature")``.

    ``kind`` is a key of ``KINDS``, or "number" for a bare number. Raises ValueError with one
    clause that says what is wrong and shows a right way to write it.
    """
    if _COMMA.match(text.strip()):
        point, none = text.strip().replace(",", ".", 1), text.strip().replace(",", "")
        raise ValueError(f'"{text}" has a comma; write "{point}", or "{none}" for thousands')
    match = _QUANTITY.fullmatch(text.strip())
    if match is None:
        raise ValueError(f'"{text}" is not a quantity; write {_example(kind)}')
    value, unit = float(match.group(1)), match.group(2)
    if not abs(value) <= LARGEST:
        raise ValueError(f'"{text}" is too large to be a quantity; write {_example(kind)}')
    if kind == "number":
        if unit:
            raise ValueError(f'"{text}" has a unit where a bare number stands; write 0.5')
        return value
    if not unit:
        raise ValueError(f"{text.strip()} has no unit; write {_example(kind, match.group(1))}")
    convert = KINDS[kind].get(unit) or KINDS[kind].get(unit.replace(" ", ""))
    if convert is None:
        known = ", ".join(KINDS[kind])
        raise ValueError(f'"{unit}" is not a unit of {kind}; use one of {known}')
    return convert(value)


def _example(kind: str, number: str = "40") -> str:
    if kind == "number":
        return "a bare number such as 0.5"
    shown = list(KINDS[kind])[:2]
    return " or ".join(f'"{number} {unit}"' for unit in shown)
