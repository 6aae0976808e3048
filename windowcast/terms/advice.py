"""What the program tells: scores with their reasons, days in order, a whole morning."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from windowcast.terms.outlook import Hazard, Origin
from windowcast.terms.practice import Practice
from windowcast.terms.rounds import RoundDue, RoundTotal
from windowcast.terms.yard import Crew, Yard

GOOD, WORKABLE, POOR, BLIND = VERDICTS = ("good", "workable", "poor", "blind")

# Last day that is ranked: forecasts beat climatology no further (decision 14 in DEVELOPERS.md).
LAST_LEAD_DAY = 9

# The parts of an hour's score, in the order in which they are named on a tie.
TEMPERATURE, RAIN, WIND, LIGHT, FLIGHT = PART_CODES = (
    "temperature", "rain", "wind", "light", "flight",
)  # fmt: skip

# Why a day is at most workable although its score says good.
CAP_THUNDER, CAP_WARNING, CAP_RAIN_UNTOLD = CAPS = ("thunder", "warning", "rain_untold")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One named reason: a value with its unit and the credit that it earns, 0 to 1.

    ``value`` is None where it is not told. A credit of 0 is a veto.
    """

    code: str
    value: float | None
    unit: str
    credit: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HourScore:
    """One yard-hour with every part that made its score; ``score`` is their product."""

    hour: datetime
    parts: tuple[Part, ...]
    score: float | None
    usable: bool
    working: bool
    origin: Origin | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WindTurn:
    """The hour inside a run at which the wind has left the side where it was.

    ``before_deg`` is the mean direction of the hours since the turn before it, ``wind_from_deg``
    that of the hours up to the next one.
    """

    hour: datetime
    before_deg: float
    wind_from_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowScore:
    """How good one yard-day is, and why.

    ``start`` and ``end`` bound the run in UTC, None without one. ``mean_credits`` holds, for each
    of ``PART_CODES``, the mean credit over the day's working hours in light, None where untold.
    ``limited_by`` is the lowest of them. Temperatures and wind are those of the run.
    ``ahead_h`` counts working hours in light that still lie ahead of now, ``untold_h`` those of
    them of which temperature or wind is not told. ``hour_scores`` are the
    hours of the run, each with its score. ``day_low_c`` and ``day_high_c`` are those of the
    working hours in light, ``rain_mm`` and ``rain_prob_frac`` likewise (sum and greatest).
    ``hazards`` and ``ice`` are those that touch the run, or the working hours without a run.
    """

    yard_key: str
    day: date
    verdict: str
    score: float
    usable_hours: int
    start: datetime | None
    end: datetime | None
    limited_by: str | None
    mean_credits: tuple[float | None, ...]
    working_h: int
    ahead_h: int
    untold_h: int = 0
    temp_low_c: float | None = None
    temp_high_c: float | None = None
    day_low_c: float | None = None
    day_high_c: float | None = None
    wind_mps: float | None = None
    gust_mps: float | None = None
    wind_from_deg: float | None = None
    wind_turns: tuple[WindTurn, ...] = ()
    rain_mm: float | None = None
    rain_prob_frac: float | None = None
    caps: tuple[str, ...] = ()
    ice: bool = False
    hazards: tuple[Hazard, ...] = ()
    hour_scores: tuple[tuple[datetime, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What we would tell one yard: its days in calendar order, and the hours behind them."""

    yard: Yard
    scores: tuple[WindowScore, ...]
    origins: tuple[Origin, ...] = ()
    hours_by_origin: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OutfitDay:
    """One calendar day over all yards. ``served`` and ``unseen`` are yard keys."""

    day: date
    rank: int
    score: float
    verdict: str
    served: tuple[str, ...]
    unseen: tuple[str, ...]
    limited_by: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Blind:
    """A yard without a usable forecast, and why, in one sentence."""

    key: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceUse:
    """How much of the morning rests on one origin, and how old it is."""

    origin: Origin
    hours: int
    age_h: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Morning:
    """Everything one morning says: the one input of every notice.

    ``rounds`` is the next round of every yard; a yard without one counts as due on every day.
    """

    issued_at: datetime
    outfit: str
    tz: str
    yards: tuple[Yard, ...]
    crews: tuple[Crew, ...]
    advice: tuple[Advice, ...]
    days: tuple[OutfitDay, ...]
    blind: tuple[Blind, ...]
    sources: tuple[SourceUse, ...]
    cautions: tuple[str, ...]
    remarks: tuple[str, ...]
    practice: Practice
    rounds: tuple[RoundDue, ...] = ()
    totals: tuple[RoundTotal, ...] = ()
