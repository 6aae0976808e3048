"""Rounds of a season by the calendar: the limits, what was treated, and what is due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from windowcast.terms.text import demand_count, demand_key, demand_year
from windowcast.terms.threshold import COMMON, threshold

# How a yard stands with its next round, and what holds its earliest day back.
ALL_DONE, WAITING, OPEN, OVERDUE = ROUND_STATES = ("all_done", "waiting", "open", "overdue")
HELD_BY_GAP, HELD_BY_LABEL_DAYS, HELD_BY_LABEL_YEAR = ROUND_HOLDS = (
    "gap", "label_days", "label_year",
)  # fmt: skip

_TRADE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPractice:
    """How many rounds a season has and how far apart they lie."""

    min_gap_h: float = threshold(
        "14 d",
        "duration",
        says="least time from the last visit of one round to the next round; whole days",
        source=_TRADE,
        grade=COMMON,
    )
    max_gap_h: float = threshold(
        "21 d",
        "duration",
        says="most time from the first visit of one round to the next round; whole days",
        source=_TRADE,
        grade=COMMON,
    )
    rounds: float = threshold("2", "number", says="rounds in a season", source=_TRADE, grade=COMMON)

    def __post_init__(self) -> None:
        """Refuse gaps out of order or in parts of days, and parts of rounds."""
        for name in ("min_gap", "max_gap"):
            hours = getattr(self, f"{name}_h")
            if not 24 <= hours <= 366 * 24 or hours % 24:
                raise ValueError(f"{name} must be a whole number of days from 1 to 366")
        if self.min_gap_h > self.max_gap_h:
            raise ValueError("min_gap must not be longer than max_gap")
        if not 1 <= self.rounds <= 12 or self.rounds != int(self.rounds):
            raise ValueError("rounds must be a whole number from 1 to 12")

    @property
    def min_gap_d(self) -> int:
        """Least days between rounds."""
        return int(self.min_gap_h // 24)

    @property
    def max_gap_d(self) -> int:
        """Most days between rounds."""
        return int(self.max_gap_h // 24)

    @property
    def spare_d(self) -> int:
        """Days in which a whole yard is to be done, so that it fits between two rounds."""
        return self.max_gap_d - self.min_gap_d

    @property
    def planned(self) -> int:
        """Rounds in a season."""
        return int(self.rounds)


@dataclass(frozen=True, slots=True, kw_only=True)
class Treatment:
    """A share of a yard's colonies that was treated on a day of the yard's calendar."""

    yard_key: str
    day: date
    round_no: int
    done_frac: float

    def __post_init__(self) -> None:
        """Refuse a round or a share that cannot be."""
        demand_key("yard", self.yard_key)
        demand_year("day", self.day)
        demand_count("round", self.round_no, least=1)
        if not 0 < self.done_frac <= 1:
            raise ValueError(f"a share of {self.done_frac} is not more than 0 and at most 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundDue:
    """The next round of a yard by the calendar.

    ``round_no`` is None when all planned rounds are done; ``done_frac`` is the share of the yard
    that already has it. ``earliest`` and ``latest`` are None where the calendar sets no bound;
    ``held_by`` says what set ``earliest``. ``overdue_since`` is the day after ``latest`` once it
    has come.
    """

    yard_key: str
    state: str
    round_no: int | None = None
    done_frac: float = 0.0
    earliest: date | None = None
    latest: date | None = None
    held_by: str | None = None
    overdue_since: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundTotal:
    """Yards of the outfit with a round of the season: ``done`` wholly, ``begun`` in part."""

    round_no: int
    done: int
    begun: int
    yards: int
