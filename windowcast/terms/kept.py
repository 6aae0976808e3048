"""What the book remembers besides visits and reports: outlooks, slots and their runs, notices."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

from windowcast.terms.outlook import Outlook
from windowcast.terms.text import demand_key, demand_year
from windowcast.terms.yard import Place

RUNNING, DONE, FAILED, MISSED = RUN_STATES = ("running", "done", "failed", "missed")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptOutlook:
    """The last outlook of a yard, with what is needed to use it when no source answers.

    ``issued_at`` is the issue time of the forecast of its first hour ahead; where none is told,
    ``kept_at``.
    """

    outlook: Outlook
    place: Place
    issued_at: datetime
    kept_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Learned:
    """What a run learned of the weather, as the book is to keep it.

    The hours of ``outlooks`` that are past are kept; those of them that came from a source are
    ``fresh`` too and become the kept outlooks of their yards, with what was told of the place.
    """

    outlooks: tuple[Outlook, ...] = ()
    fresh: tuple[Outlook, ...] = ()
    places: Mapping[str, Place] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotKey:
    """What makes a due run unique in the book: local date, local time, kind of run."""

    day: date
    at: time
    kind: str = "morning"

    def __post_init__(self) -> None:
        """Refuse what the book could not tell apart: seconds, and a kind without a name."""
        if self.at.second or self.at.microsecond or self.at.tzinfo is not None:
            raise ValueError("a slot is due at a full minute of the outfit's clock")
        demand_year("day", self.day)
        demand_key("kind", self.kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Who runs a slot: a process on a machine."""

    host: str
    pid: int

    def __post_init__(self) -> None:
        """Refuse a machine without a name."""
        demand_key("host", self.host)


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """The right to run a slot until the lease is over. ``attempt`` is 1 the first time."""

    slot: SlotKey
    attempt: int
    lease_until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What became of a slot. ``lease_until`` is when somebody may take it again, None "never".

    ``holder`` is None for a slot that was missed: nobody ran it.
    """

    slot: SlotKey
    state: str
    attempt: int
    started_at: datetime
    ended_at: datetime | None
    lease_until: datetime | None
    holder: Holder | None
    remark: str = ""

    def __post_init__(self) -> None:
        """Refuse a state that is none."""
        if self.state not in RUN_STATES:
            raise ValueError(f"{self.state!r} is no state of a run; use {', '.join(RUN_STATES)}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A notice that was told: when first, when last, and the hash of its text."""

    identity: str
    first_told: datetime
    last_told: datetime
    text_hash: str
