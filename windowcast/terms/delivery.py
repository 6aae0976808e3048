"""What goes out after a morning: the letter, to whom, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass

from windowcast.terms.kept import SlotKey
from windowcast.terms.text import demand_count, demand_key

MAIL, POST = CHANNELS = ("mail", "post")
WAITING, SENT, REFUSED = DELIVERY_STATES = ("waiting", "sent", "refused")


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipient:
    """Who gets a letter: an e-mail address, or the name of a post of ``outfit.toml``."""

    channel: str
    address: str

    def __post_init__(self) -> None:
        """Refuse a channel that is none, and an address without a name."""
        if self.channel not in CHANNELS:
            raise ValueError(f"{self.channel!r} is no channel; use {', '.join(CHANNELS)}")
        demand_key("address", self.address)


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """One morning as it leaves the house: a subject, plain text, a page, and a JSON document."""

    subject: str
    text: str
    html: str
    document: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """What became of the letter of a slot for one recipient.

    ``issue`` is 1, and one more for each time that a person asked to send the slot again.
    ``remark`` says why the last try failed, "" otherwise. A letter that was ``refused`` is only
    tried again when a person asks.
    """

    slot: SlotKey
    issue: int
    recipient: Recipient
    state: str = WAITING
    tries: int = 0
    remark: str = ""

    def __post_init__(self) -> None:
        """Refuse a state that is none, and counts that cannot be."""
        if self.state not in DELIVERY_STATES:
            raise ValueError(f"{self.state!r} is no state; use {', '.join(DELIVERY_STATES)}")
        demand_count("issue", self.issue, least=1)
        demand_count("tries", self.tries)
