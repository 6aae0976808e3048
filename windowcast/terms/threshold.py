"""A threshold as a field: default, unit, source and grade beside the name, once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields
from typing import Any

from windowcast.units import SI_UNIT, quantity

PUBLISHED = "published"
HANDBOOK = "handbook"
COMMON = "common practice (no source)"
OURS = "ours (uncalibrated)"
GRADES = (PUBLISHED, HANDBOOK, COMMON, OURS)

_ENDINGS = ("_c", "_dc", "_mps", "_mm", "_frac", "_h", "_deg", "_wm2", "_m", "_d")


@dataclass(frozen=True, slots=True, kw_only=True)
class Provenance:
    """What a threshold means and where its default comes from."""

    default: str
    kind: str
    says: str
    source: str
    grade: str

    @property
    def unit(self) -> str:
        """The SI unit of the value inside, "" for a bare number or a fraction."""
        return SI_UNIT[self.kind]


def threshold(default: str, kind: str, *, says: str, source: str, grade: str) -> Any:
    """A dataclass field with its default in the trade's unit and its provenance."""
    if grade not in GRADES:
        raise ValueError(f"{grade!r} is not a grade")
    provenance = Provenance(default=default, kind=kind, says=says, source=source, grade=grade)
    return field(default=quantity(default, kind), metadata={"provenance": provenance})


def key_of(name: str) -> str:
    """The key in ``practice.toml`` of a field: its name without the unit ending."""
    ending = max((e for e in _ENDINGS if name.endswith(e)), key=len, default="")
    return name.removesuffix(ending)


def provenance_of(section: object) -> Iterator[tuple[str, str, Provenance]]:
    """(field name, key, provenance) of every threshold of a section or its class."""
    for item in fields(section):  # type: ignore[arg-type]
        yield item.name, key_of(item.name), item.metadata["provenance"]
