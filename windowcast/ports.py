"""The doors of the core: who tells the weather, who remembers, who takes a notice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Protocol

from windowcast.terms.advice import Morning
from windowcast.terms.delivery import Delivery, Letter, Recipient
from windowcast.terms.kept import Claim, Holder, KeptOutlook, Learned, Run, SlotKey, Told
from windowcast.terms.outlook import Answer, Outlook
from windowcast.terms.visit import Visit
from windowcast.terms.yard import Yard
from windowcast.times import Hours


class Source(Protocol):
    """A weather service. It answers for as many of the yards as it can and never raises for one.

    ``reach_h`` is how many hours ahead it may tell at most, 0 for a record of the past.
    """

    @property
    def name(self) -> str:
        """Its name in ``outfit.toml`` and in every notice."""

    @property
    def reach_h(self) -> int:
        """Hours ahead of now that it may tell; 0 for a record of the past."""

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        """What it tells about these yards at ``now`` (aware, UTC)."""


class Notice(Protocol):
    """A way to show a morning to a person or a program."""

    def write(self, morning: Morning) -> str:
        """The whole notice as text."""


class Memory(Protocol):
    """What the book remembers, as far as a morning reads it. Raises StoreProblem."""

    def visits(self, season: int | None = None) -> tuple[Visit, ...]:
        """Treatments that were done, of one season or of all."""

    def hours_of(self, yard_key: str, hours: Hours) -> Outlook | None:
        """The kept weather of a yard on these hours, None where none of them is kept."""

    def outlook_of(self, yard_key: str, issued_from: datetime) -> KeptOutlook | None:
        """The kept outlook of a yard if it was issued at that time or later."""


class Ledger(Memory, Protocol):
    """What the book keeps of runs: who has a slot, what it learned, who has its letter.

    Each act is all or nothing; StoreProblem where it is nothing.
    """

    def claim_slot(
        self,
        slot: SlotKey,
        holder: Holder,
        now: datetime,
        lease: timedelta,
        by_hand: bool = False,
    ) -> Claim | None:
        """The right to run a slot, None where it is not to be had."""

    def extend_lease(self, held: Claim, now: datetime, lease: timedelta) -> Claim:
        """The same claim until ``now`` plus the lease."""

    def end_slot(self, held: Claim, now: datetime, remark: str = "") -> None:
        """The slot was run."""

    def fail_slot(
        self, held: Claim, now: datetime, remark: str, retry_at: datetime | None = None
    ) -> None:
        """The run failed; it may be claimed again from ``retry_at`` on, never without one."""

    def miss_slot(self, slot: SlotKey, now: datetime, remark: str = "") -> bool:
        """Mark a slot that nobody will run; False where it was claimed or marked before."""

    def settle_slot(self, slot: SlotKey, now: datetime, remark: str) -> bool:
        """Count a slot as done, whoever has it; False where it was done before."""

    def runs(self, since: date) -> tuple[Run, ...]:
        """What became of the slots from a local day on, by day and time."""

    def keep_result(
        self, held: Claim, learned: Learned, letters: Iterable[Delivery], now: datetime
    ) -> None:
        """Keep what a run learned, with a waiting row for each of its letters that has none."""

    def deliveries(self, slot: SlotKey) -> tuple[Delivery, ...]:
        """Who gets the letter of a slot and who has it, by issue."""

    def mark_sent(self, letter: Delivery, now: datetime) -> Delivery:
        """The recipient has it."""

    def mark_unsent(
        self, letter: Delivery, why: str, now: datetime, *, lasting: bool = False
    ) -> Delivery:
        """A try failed: the letter waits, or was refused where that is ``lasting``."""

    def mark_told(self, texts: Mapping[str, str], now: datetime) -> None:
        """Notices were told, by identity."""

    def told(self, identity: str) -> Told | None:
        """When a notice of that identity was told, None "never"."""


class Channel(Protocol):
    """A way out of the house for a letter."""

    @property
    def name(self) -> str:
        """``mail`` or ``post``."""

    def send(self, letter: Letter, recipient: Recipient, identity: str, now: datetime) -> None:
        """Hand it over, and return once the other side said yes; NoticeProblem otherwise.

        ``identity`` is the same for every try to give a recipient the same letter.
        """
