"""What is odd about a visit that is about to be booked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from windowcast.terms.rounds import HELD_BY_GAP, HELD_BY_LABEL_DAYS, HELD_BY_LABEL_YEAR
from windowcast.terms.visit import Visit

TWICE, WHOLE, MORE, GRAMS, SKIPPED, BACKWARDS, BEYOND = (
    "twice", "whole", "more", "grams", "skipped", "backwards", "beyond",
)  # fmt: skip
DOUBTS = (
    TWICE, WHOLE, MORE, GRAMS, SKIPPED, BACKWARDS, BEYOND,
    HELD_BY_GAP, HELD_BY_LABEL_DAYS, HELD_BY_LABEL_YEAR,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """One thing that is odd about a visit.

    ``other`` is the visit that it does not fit with. ``count`` is what would be, ``limit`` what
    there is or may be: colonies of a ``kind``, days between, rounds. ``fine_from`` is the first
    day on which the doubt would be gone, None where no later day helps.
    """

    code: str
    other: Visit | None = None
    kind: str = ""
    count: int = 0
    limit: int = 0
    fine_from: date | None = None

    def __post_init__(self) -> None:
        """Refuse a doubt that is none."""
        if self.code not in DOUBTS:
            raise ValueError(f"{self.code!r} is no doubt; use {', '.join(DOUBTS)}")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundMeant:
    """The round that a visit without one is of, None where a person must say.

    ``later`` is then the day of a visit that was done after it, None where all rounds are done.
    """

    round_no: int | None
    later: date | None = None
