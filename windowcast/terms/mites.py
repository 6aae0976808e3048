"""Counts of mites of a yard, what a round did to them, and the limits that judge both."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from windowcast.terms.threshold import HANDBOOK, OURS, threshold

WASH, BOARD = METHODS = ("wash", "board")

# How a fall of mites was worked out.
HENDERSON_TILTON, ABBOTT, OBSERVED = FORMULAS = ("henderson_tilton", "abbott", "observed")

# Why a count was not used for a round.
TOO_SOON, TOO_LATE, LONG_BEFORE = UNUSED_WHYS = ("too_soon", "too_late", "long_before")

_WHOLE = 1.0 - 1e-6  # three thirds are a yard

_HOUSE = "rule of this project, not published"
_FALLEN = (
    "about four fifths of the killed mites fall within a week (published practice on trickling);"
    " the limit is ours"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MitePractice:
    """Counts of mites: the level from which to act, and which counts belong to a round."""

    act_winter_frac: float = threshold(
        "3 %",
        "fraction",
        says="mites per bee of a wash from which to act in winter, in colonies without brood",
        source="guide of a coalition of beekeepers, growers and agencies, dormant phase without"
        " brood (from memory, written down in November 2026; newer editions are stricter)",
        grade=HANDBOOK,
    )
    act_season_frac: float = threshold(
        "3 %",
        "fraction",
        says="mites per bee of a wash from which to act in the rest of the year",
        source="USDA-ARS, Tucson: treat at 3 mites per 100 bees (as quoted by a beekeepers'"
        " association, read in November 2026)",
        grade=HANDBOOK,
    )
    winter_from: float = threshold(
        "11", "number", says="month in which act_winter begins to hold", source=_HOUSE, grade=OURS
    )
    winter_to: float = threshold(
        "2", "number", says="last month in which act_winter holds", source=_HOUSE, grade=OURS
    )
    together_h: float = threshold(
        "3 d",
        "duration",
        says="washes or boards of a yard within this time are one count; whole days",
        source=_HOUSE,
        grade=OURS,
    )
    before_to_h: float = threshold(
        "14 d",
        "duration",
        says="a count longer before a round than this is not used for it; whole days",
        source=_HOUSE,
        grade=OURS,
    )
    after_from_h: float = threshold(
        "7 d",
        "duration",
        says="a count sooner after a round than this is not used for it; whole days",
        source=_FALLEN,
        grade=OURS,
    )
    after_to_h: float = threshold(
        "28 d",
        "duration",
        says="a count later after a round than this is not used for it; whole days",
        source=_HOUSE,
        grade=OURS,
    )
    control_within_h: float = threshold(
        "7 d",
        "duration",
        says="an untreated yard counted within this time of a treated one is its control;"
        " whole days",
        source=_HOUSE,
        grade=OURS,
    )
    error_frac: float = threshold(
        "25 %",
        "fraction",
        says="standard error of a yard's mean, over the mean, that the next washes should reach",
        source=_HOUSE,
        grade=OURS,
    )

    def __post_init__(self) -> None:
        """Refuse levels, months and times that cannot be."""
        for name in ("act_winter", "act_season"):
            if not 0 < getattr(self, f"{name}_frac") <= 1:
                raise ValueError(f"{name} must be more than 0 % and at most 100 %")
        if not 0.01 <= self.error_frac <= 1:
            raise ValueError("error must be from 1 % to 100 %")
        for name in ("winter_from", "winter_to"):
            if getattr(self, name) not in range(1, 13):
                raise ValueError(f"{name} must be a month from 1 to 12")
        self._demand_days()

    def _demand_days(self) -> None:
        for name in ("together", "before_to", "after_from", "after_to", "control_within"):
            hours = getattr(self, f"{name}_h")
            if not 0 <= hours <= 366 * 24 or hours % 24:
                raise ValueError(f"{name} must be a whole number of days from 0 to 366")
        if not self.after_from_h < self.after_to_h:
            raise ValueError("after_from must be shorter than after_to")

    def is_winter(self, day: date) -> bool:
        """Whether the level of winter holds on a day."""
        first, last = self.winter_from, self.winter_to
        if first > last:
            return day.month >= first or day.month <= last
        return first <= day.month <= last

    def act_frac(self, day: date) -> float:
        """The level of a wash from which to act on a day, mites per bee."""
        return self.act_winter_frac if self.is_winter(day) else self.act_season_frac


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A value and the bounds between which it may lie; ``high`` is infinite where none is known."""

    value: float
    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse bounds that do not hold the value."""
        if not self.low <= self.value <= self.high:
            raise ValueError(f"{self.value} is not from {self.low} to {self.high}")


@dataclass(frozen=True, slots=True, kw_only=True)
class YardFall:
    """Mites a day on the boards of a yard, mean over colonies.

    ``spread_per_day`` is the standard deviation between colonies. Both it and ``bounds`` are None
    where one colony stands for others.
    """

    mites_per_day: float
    counted: int
    spread_per_day: float | None = None
    bounds: Estimate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MiteCount:
    """Washes, or boards, of a yard that belong together, and what they come to.

    ``mean`` is in mites per bee of a wash and in mites a day of a board; ``spread``, the standard
    deviation between colonies, and ``bounds`` likewise. ``colonies`` is those of the yard, None
    where the list does not tell. ``bounds`` is None where one colony stands for others; of a wash
    ``alone`` is then the interval of that colony by itself. A board begins on its first day.
    """

    yard_key: str
    method: str
    first_day: date
    last_day: date
    counted: int
    colonies: int | None
    mean: float
    spread: float | None = None
    bounds: Estimate | None = None
    alone: Estimate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSpan:
    """A round of a yard as it was done: its first and last day, and how much of the yard.

    ``treated`` is None where a visit did not count its colonies, ``of_colonies`` where nobody
    counted the yard or its visits do not agree. ``done_frac`` is the share of the yard, 0 to 1.
    """

    yard_key: str
    season: int
    round_no: int
    first_day: date
    last_day: date
    treated: int | None
    of_colonies: int | None = None
    done_frac: float = 1.0

    @property
    def is_whole(self) -> bool:
        """Whether the whole yard was treated."""
        return self.done_frac >= _WHOLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """A yard that was counted when another was and not treated; ``before`` is None for Abbott."""

    yard_key: str
    before: MiteCount | None
    after: MiteCount


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundResult:
    """What mites did over one or more rounds of a yard.

    ``fall_frac`` is the share by which they fell: an efficacy where there is a control and the
    whole yard was treated, else an observed reduction; negative where they rose, None where there
    was no mite to begin with. ``bounds`` is None where the counts are too few to say. ``before``
    is None for Abbott alone. ``one_sided`` are yards that would be controls if they had been
    counted on both sides of the treatment.
    """

    rounds: tuple[RoundSpan, ...]
    method: str
    formula: str
    before: MiteCount | None
    after: MiteCount
    fall_frac: float | None
    bounds: Estimate | None
    controls: tuple[Control, ...] = ()
    one_sided: tuple[Control, ...] = ()

    @property
    def is_efficacy(self) -> bool:
        """Whether the fall may be called an efficacy."""
        return bool(self.controls) and all(span.is_whole for span in self.rounds)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnusedCount:
    """A count that was not used for a round, and why: so many days from it."""

    count: MiteCount
    span: RoundSpan
    why: str
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class YardMites:
    """All that the counts of a yard say.

    ``to_wash`` is how many colonies to wash next time; ``by_spread`` whether the last washes told
    it, or it is the usual number. ``silent`` are rounds without counts that could be used.
    ``refused`` are numbers of reports that cannot be.
    """

    yard_key: str
    colonies: int
    wash: MiteCount | None
    board: MiteCount | None
    results: tuple[RoundResult, ...]
    unused: tuple[UnusedCount, ...]
    silent: tuple[RoundSpan, ...]
    to_wash: int
    by_spread: bool
    refused: tuple[int, ...] = ()
