"""What a run needs and what comes of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from windowcast.morning import Desk
from windowcast.ports import Channel, Ledger
from windowcast.problems import NoForecast
from windowcast.slots import CATCH_UP
from windowcast.terms.advice import Morning
from windowcast.terms.delivery import Delivery, Letter, Recipient
from windowcast.terms.kept import Holder, Run, SlotKey

# Rules of this project. A lease lasts as long as a child of `serve` may take, so that nobody takes
# over what is still under way; a quarter of an hour later a service or a server may well answer.
LEASE = timedelta(minutes=30)
RETRY_AFTER = timedelta(minutes=15)


def _never() -> bool:
    return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """What every run of an outfit needs.

    ``clock`` tells the time, ``stopping`` whether somebody has asked the program to end.
    ``letter_of`` writes a morning (and whether it is late); ``no_forecast_letter`` says why there
    is none, at what time, and when the last try will be made.
    """

    desk: Desk
    book: Ledger
    holder: Holder
    clock: Callable[[], datetime]
    recipients: tuple[Recipient, ...]
    channels: Mapping[str, Channel]
    letter_of: Callable[[Morning, bool], Letter]
    no_forecast_letter: Callable[[str, datetime, datetime | None], Letter]
    stopping: Callable[[], bool] = _never
    lease: timedelta = LEASE


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A slot that is to be run.

    ``due_at`` is its instant, None for a run at no set time. ``by_hand``: a person asked for it.
    ``again``: that person wants everybody to get it anew.
    """

    slot: SlotKey
    due_at: datetime | None = None
    by_hand: bool = False
    again: bool = False

    def last_try_from(self, now: datetime) -> datetime | None:
        """Until when a run that failed at ``now`` is tried again, None where it is not."""
        return None if self.due_at is None or not self.retry_at(now) else self.due_at + CATCH_UP

    def retry_at(self, now: datetime) -> datetime | None:
        """When a run that failed at ``now`` is tried again, None "never"."""
        later = now + RETRY_AFTER
        return later if self.due_at is not None and later <= self.due_at + CATCH_UP else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What became of a run.

    ``taken`` is set where another has the slot or had it, and nothing was done. ``morning`` is
    None then, and where there was ``no_forecast``. ``had`` are letters that were sent before.
    """

    slot: SlotKey
    morning: Morning | None = None
    no_forecast: NoForecast | None = None
    taken: Run | None = None
    had: tuple[Delivery, ...] = ()
    sent: tuple[Delivery, ...] = ()
    unsent: tuple[Delivery, ...] = ()
    retry_at: datetime | None = None
