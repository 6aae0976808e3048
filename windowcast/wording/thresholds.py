"""Thresholds in the units of the outfit, each with what it means, its grade and its source."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

from windowcast.terms.practice import Practice
from windowcast.terms.threshold import Provenance, provenance_of
from windowcast.units import quantity
from windowcast.wording.scale import Scale


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """One threshold as it holds for the outfit, in words."""

    key: str
    value: str
    default: str | None  # None where the outfit keeps it
    says: str
    grade: str
    source: str


def thresholds(practice: Practice, sections: tuple[str, ...], scale: Scale) -> list[Threshold]:
    """Every threshold of some sections, such as "temperature" and "rain"."""
    return [
        Threshold(
            key=f"{section.name}.{key}",
            value=amount(value, provenance.kind, scale),
            default=None if value == standard else amount(standard, provenance.kind, scale),
            says=provenance.says,
            grade=provenance.grade,
            source=provenance.source,
        )
        for section in fields(practice)
        if section.name in sections
        for key, value, standard, provenance in _held(getattr(practice, section.name))
    ]


def _held(section: object) -> Iterator[tuple[str, float, float, Provenance]]:
    for name, key, provenance in provenance_of(section):
        standard = quantity(provenance.default, provenance.kind)
        yield key, getattr(section, name), standard, provenance


def amount(value: float, kind: str, scale: Scale) -> str:
    """A threshold's value with its unit, as many decimals as it needs and not more than three."""
    shown, unit = {
        "temperature": (scale.temperature(value), scale.temperature_unit),
        "temperature difference": (value * scale.step, scale.temperature_unit),
        "speed": (scale.speed(value), scale.speed_unit),
        "depth": (scale.depth(value), scale.depth_unit),
        "fraction": (value * 100, "%"),
        "duration": (value, "h"),
        "angle": (value, "deg"),
        "irradiance": (value, "W/m2"),
    }.get(kind, (value, ""))
    return f"{round(shown, 3) + 0.0:g} {unit}".rstrip()
