"""A treatment that was done."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime, timedelta

from windowcast.terms.outlook import PLAUSIBLE
from windowcast.terms.text import (
    demand_count,
    demand_instant,
    demand_key,
    demand_text,
    demand_year,
)

HIVE_KINDS = ("doubles", "singles", "nucs", "nucs_above")
MOST_ROUNDS = 99

# A day somewhere on Earth begins up to 14 h before that day in UTC and ends up to 12 h after it.
EARLIEST_ZONE = timedelta(hours=14)
LATEST_ZONE = timedelta(hours=12)


@dataclass(frozen=True, slots=True, kw_only=True)
class Treated:
    """Colonies of one kind that were treated. ``acid_g`` is for all of them, None "not told"."""

    kind: str
    colonies: int
    acid_g: float | None = None

    def __post_init__(self) -> None:
        """Refuse a kind that is none, no colonies, and a mass that cannot be."""
        if self.kind not in HIVE_KINDS:
            raise ValueError(f"{self.kind!r} is no kind of hive; use {', '.join(HIVE_KINDS)}")
        demand_count("colonies", self.colonies, least=1)
        if self.acid_g is not None and not 0 < self.acid_g <= 1_000_000:
            raise ValueError(f"{self.acid_g} is no mass in grams; write more than 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitWeather:
    """The weather of the UTC hour of a visit, and who told it; None is "not told"."""

    hour: datetime
    source: str
    temp_c: float | None = None
    dewpoint_c: float | None = None
    wind_mps: float | None = None
    wind_from_deg: float | None = None
    rain_mm: float | None = None
    cloud_frac: float | None = None

    def __post_init__(self) -> None:
        """Refuse what is no whole hour, and weather that cannot be."""
        demand_instant("hour", self.hour)
        if (self.hour.minute, self.hour.second, self.hour.microsecond) != (0, 0, 0):
            raise ValueError(f"{self.hour.isoformat()} is not the beginning of an hour")
        demand_text("source", self.source, longest=200)
        for name in WEATHER_NAMES:
            value = getattr(self, name)
            low, high = PLAUSIBLE[name]
            if value is not None and not low <= value <= high:
                raise ValueError(f"{name} {value} is not from {low:g} to {high:g}")


WEATHER_NAMES = tuple(item.name for item in fields(VisitWeather) if item.name in PLAUSIBLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A treatment of a yard, or of a part of it.

    ``day`` is the day in the yard's zone and ``began_at`` the instant at which the work began,
    where somebody noted it. ``treated`` is empty where the colonies were not counted. ``yard_name``
    and ``state`` are those of the day, since yards move and records stay; so is ``of_colonies``,
    the colonies that the list of yards had when the visit was booked, None where nobody counted.
    ``whole`` says that the round is whole with this visit, whatever the counts say: the rest is
    dead or gone. ``number`` is the one that the book gave it, None until then.
    """

    yard_key: str
    day: date
    round_no: int
    logged_at: datetime
    treated: tuple[Treated, ...] = ()
    of_colonies: int | None = None
    whole: bool = False
    began_at: datetime | None = None
    yard_name: str = ""
    state: str = ""
    crew: str = ""
    person: str = ""
    product: str = ""
    registration: str = ""
    note: str = ""
    weather: VisitWeather | None = None
    number: int | None = None

    def __post_init__(self) -> None:
        """Refuse a visit nowhere, of no day or round, in the future, or with a kind twice."""
        demand_key("yard", self.yard_key)
        if isinstance(self.day, datetime):
            raise ValueError("the day of a visit is a date and no instant")
        demand_year("day", self.day)
        demand_count("round", self.round_no, least=1, most=MOST_ROUNDS)
        demand_instant("logged_at", self.logged_at)
        for field in ("yard_name", "state", "crew", "person", "product", "registration"):
            demand_text(field, getattr(self, field), longest=200)
        demand_text("note", self.note)
        if self.of_colonies is not None:
            demand_count("of_colonies", self.of_colonies, least=1)
        kinds = [item.kind for item in self.treated]
        if len(set(kinds)) != len(kinds):
            raise ValueError("a kind of hive is counted twice; write each once")
        self._demand_times()

    def _demand_times(self) -> None:
        day = self.day.isoformat()
        midnight = datetime(self.day.year, self.day.month, self.day.day, tzinfo=UTC)
        first, last = midnight - EARLIEST_ZONE, midnight + timedelta(days=1) + LATEST_ZONE
        if first > self.logged_at:
            raise ValueError(f"{day} had not begun when the visit was logged; write a day gone by")
        if self.began_at is not None:
            demand_instant("began_at", self.began_at)
            if not first <= self.began_at < last:
                raise ValueError(f"{self.began_at.isoformat()} is not on {day} anywhere on Earth")
            if self.began_at > self.logged_at:
                raise ValueError("the work began after the visit was logged; write a time gone by")

    @property
    def colonies(self) -> int | None:
        """Colonies of every kind, None where they were not counted."""
        return sum(item.colonies for item in self.treated) if self.treated else None

    def share_of(self, listed: int) -> float:
        """Share of the yard that was treated, 0 to 1.

        Rule of this project: colonies treated over those of the yard on the day, whatever their
        kind, at most one. ``listed`` is how many the list of yards has now, 0 "not told"; it only
        stands in where the visit does not tell. Without any count it is the whole yard, since
        that is what a crew does.
        """
        there = self.of_colonies or listed
        if self.whole or self.colonies is None or not there:
            return 1.0
        return min(self.colonies / there, 1.0)

    @property
    def acid_g(self) -> float | None:
        """Grams of acid in all, None where any kind's are not told."""
        masses = [item.acid_g for item in self.treated]
        told = [mass for mass in masses if mass is not None]
        return math.fsum(told) if told and len(told) == len(masses) else None
