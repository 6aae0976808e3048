"""What a person saw at a yard."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from windowcast.terms.text import demand_count, demand_instant, demand_key, demand_text

BROOD_STAGES = ("none", "eggs", "open", "capped")
FOOTINGS = ("firm", "soft", "rutted", "stuck")
BLOOM_STAGES = ("first", "over")

MOST_RAIN_MM = 2000.0
MOST_DAYS = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BroodSeen:
    """Brood at its furthest stage: in ``colonies`` of ``looked_into``, None "not counted"."""

    stage: str
    colonies: int | None = None
    looked_into: int | None = None

    def __post_init__(self) -> None:
        """Refuse a stage that is none, and more colonies than were looked into."""
        _demand_one_of("brood", self.stage, BROOD_STAGES)
        if (self.colonies is None) != (self.looked_into is None):
            raise ValueError("so many colonies of so many: write both numbers or neither")
        if self.colonies is not None and self.looked_into is not None:
            demand_count("colonies looked into", self.looked_into, least=1)
            demand_count("colonies", self.colonies, most=self.looked_into)


@dataclass(frozen=True, slots=True, kw_only=True)
class PollenSeen:
    """Whether pollen comes in, and from which plant if known."""

    coming: bool
    plant: str = ""

    def __post_init__(self) -> None:
        """Refuse what is no name of a plant."""
        if not isinstance(self.coming, bool):
            raise ValueError(f"pollen {self.coming!r} is neither yes nor no")
        if self.plant:
            demand_key("plant", self.plant)


@dataclass(frozen=True, slots=True, kw_only=True)
class MiteWash:
    """Mites washed from a counted number of bees."""

    mites: int
    bees: int
    colony: str = ""

    def __post_init__(self) -> None:
        """Refuse counts that cannot be."""
        demand_count("mites", self.mites)
        demand_count("bees", self.bees, least=1)
        if self.colony:
            demand_key("colony", self.colony)


@dataclass(frozen=True, slots=True, kw_only=True)
class MiteBoard:
    """Mites that fell on a board in ``over_d`` days."""

    mites: int
    over_d: float
    colony: str = ""

    def __post_init__(self) -> None:
        """Refuse a count or a time that cannot be."""
        demand_count("mites", self.mites)
        _demand_days(self.over_d)
        if self.colony:
            demand_key("colony", self.colony)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoadSeen:
    """How the lane was underfoot."""

    footing: str

    def __post_init__(self) -> None:
        """Refuse a footing that is none."""
        _demand_one_of("road", self.footing, FOOTINGS)


@dataclass(frozen=True, slots=True, kw_only=True)
class RainMeasured:
    """Rain in a gauge over the ``over_d`` days before the report."""

    rain_mm: float
    over_d: float = 1.0

    def __post_init__(self) -> None:
        """Refuse a depth or a time that cannot be."""
        if not 0 <= self.rain_mm <= MOST_RAIN_MM:
            raise ValueError(f"rain {self.rain_mm} mm is not from 0 to {MOST_RAIN_MM:g} mm")
        _demand_days(self.over_d)


@dataclass(frozen=True, slots=True, kw_only=True)
class BloomSeen:
    """The first flowers of a plant, or the last."""

    plant: str
    stage: str

    def __post_init__(self) -> None:
        """Refuse a plant without a name, and a stage that is none."""
        demand_key("plant", self.plant)
        _demand_one_of("bloom", self.stage, BLOOM_STAGES)


Seen = BroodSeen | PollenSeen | MiteWash | MiteBoard | RoadSeen | RainMeasured | BloomSeen


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Something that a person saw at a yard at some time.

    ``number`` is the one that the book gave it, None until then.
    """

    yard_key: str
    at: datetime
    seen: Seen
    logged_at: datetime
    person: str = ""
    note: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Refuse a report from nowhere, or from the future."""
        demand_key("yard", self.yard_key)
        demand_instant("at", self.at)
        demand_instant("logged_at", self.logged_at)
        if self.at > self.logged_at:
            raise ValueError("it was seen after it was logged; write a time gone by")
        demand_text("person", self.person, longest=200)
        demand_text("note", self.note)


def _demand_one_of(field: str, word: str, words: tuple[str, ...]) -> None:
    if word not in words:
        raise ValueError(f"{field} {word!r} is not known; use {', '.join(words)}")


def _demand_days(over_d: float) -> None:
    if not 0 < over_d <= MOST_DAYS:
        raise ValueError(f"{over_d} days are not more than 0 and at most {MOST_DAYS:g}")
