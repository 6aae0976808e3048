"""Units as weather services write them, each with its way into the SI unit inside.

A code is ``namespace:unit``. The namespaces ``wmo`` and ``wmoUnit`` (older answers: ``unit``) hold
the codes of the World Meteorological Organization; ``uc`` and a bare code are UCUM. Source: the
OpenAPI description of the US National Weather Service, field ``unitCode``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from windowcast.terms.outlook import PLAUSIBLE
from windowcast.units import (
    f_to_c,
    ft_to_m,
    in_to_mm,
    k_to_c,
    kmh_to_mps,
    knots_to_mps,
    mph_to_mps,
    percent_to_frac,
)

Conversion = Callable[[float], float]

_NAMESPACES = ("http://codes.wmo.int/common/unit/", "wmoUnit:", "nwsUnit:", "unit:", "wmo:", "uc:")


def _same(value: float) -> float:
    return value


# Kind of quantity -> code without its namespace -> conversion to the unit inside.
TO_SI: Mapping[str, Mapping[str, Conversion]] = {
    "temperature": {
        "degC": _same,
        "Cel": _same,
        "degF": f_to_c,
        "[degF]": f_to_c,
        "K": k_to_c,
    },
    "speed": {
        "km_h-1": kmh_to_mps,
        "km/h": kmh_to_mps,
        "m_s-1": _same,
        "m/s": _same,
        "kt": knots_to_mps,
        "[kn_i]": knots_to_mps,
        "mi_h-1": mph_to_mps,
        "[mi_i]/h": mph_to_mps,
    },
    "depth": {
        "mm": _same,
        "cm": lambda cm: cm * 10.0,
        "m": lambda m: m * 1000.0,
        "kg_m-2": _same,  # 1 kg of water on 1 m² is 1 mm
        "in": in_to_mm,
        "[in_i]": in_to_mm,
    },
    "share": {"percent": percent_to_frac, "%": percent_to_frac},
    "angle": {"degree_(angle)": _same, "deg": _same},
    "height": {
        "m": _same,
        "km": lambda km: km * 1000.0,
        "ft": ft_to_m,
        "[ft_i]": ft_to_m,
    },
}


# How people say a value of a kind: a factor from the unit inside, and its name.
_SAID = {
    "temperature": (1, " °C"),
    "speed": (1, " m/s"),
    "depth": (1, " mm"),
    "share": (100, " %"),
    "angle": (1, "°"),
}


def conversion(code: str, kind: str) -> Conversion | None:
    """The way from a unit to the SI unit of its kind; None for a unit of another kind."""
    return TO_SI[kind].get(bare(code))


def bare(code: str) -> str:
    """The unit without its namespace: ``degC`` from ``wmoUnit:degC``."""
    for namespace in _NAMESPACES:
        if code.startswith(namespace):
            return code[len(namespace) :]
    return code


def plausible(name: str, kind: str) -> str:
    """What an hour of one of our variables can hold, for a sentence: ``-60 to 55 °C``."""
    scale, unit = _SAID[kind]
    low, high = (scale * bound for bound in PLAUSIBLE[name])
    return f"{low:g} to {high:g}{unit}"


def known(kind: str) -> str:
    """The units of a kind, for a sentence."""
    return ", ".join(TO_SI[kind])
