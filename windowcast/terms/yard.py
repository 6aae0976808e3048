"""A place with colonies and a lane to it, and the people who drive there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

SURFACES = ("paved", "gravel", "dirt", "grass", "ploughed", "clay", "sand")


@dataclass(frozen=True, slots=True, kw_only=True)
class Yard:
    """One yard. ``tz`` and ``elev_m`` are None until a file or a weather service tells them."""

    key: str
    name: str
    lat_deg: float
    lon_deg: float
    elev_m: float | None = None
    tz: str | None = None
    state: str = ""
    doubles: int = 0
    singles: int = 0
    nucs: int = 0
    nucs_above: int = 0
    lane_surface: str | None = None
    lane_m: float | None = None
    notes: str = ""

    def __post_init__(self) -> None:
        """Refuse a yard that is nowhere, or has fewer than no colonies."""
        if not self.key:
            raise ValueError("a yard needs a key")
        if not -90 <= self.lat_deg <= 90:
            raise ValueError(f"latitude {self.lat_deg} is not from -90 to 90")
        if not -180 <= self.lon_deg <= 180:
            raise ValueError(f"longitude {self.lon_deg} is not from -180 to 180")
        if min(self.doubles, self.singles, self.nucs, self.nucs_above) < 0:
            raise ValueError("a count of colonies is negative")
        if self.lane_surface is not None and self.lane_surface not in SURFACES:
            raise ValueError(f"{self.lane_surface!r} is not a surface")

    @property
    def colonies(self) -> int:
        """Colonies of every kind."""
        return self.doubles + self.singles + self.nucs + self.nucs_above


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """What a weather service knows about a yard's ground: its zone and its height.

    Where the book keeps it, latitude and longitude are those of the yard, which may move.
    """

    tz: str | None = None
    elev_m: float | None = None
    lat_deg: float | None = None
    lon_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Two people with a truck: when they work, by the yard's clock."""

    name: str
    start: time
    end: time
    weekdays: frozenset[int]  # 0 is Monday, as in datetime.date.weekday

    def __post_init__(self) -> None:
        """Refuse hours that end before they start and weekdays that do not exist."""
        if not self.start < self.end:
            raise ValueError(f"crew {self.name} ends work before it starts")
        if not self.weekdays <= frozenset(range(7)):
            raise ValueError(f"crew {self.name} has a weekday out of 0 to 6")


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """The owner's reading of the label on the package in hand; None is "not read"."""

    product: str | None = None
    registration: str | None = None
    read_on: str | None = None
    state: str | None = None
    max_g_per_chamber: float | None = None
    chambers: tuple[tuple[str, int], ...] = ()
    max_applications_per_year: int | None = None
    min_days_between: int | None = None
    supers: str | None = None
    equipment: str | None = None
    reentry: str | None = None
