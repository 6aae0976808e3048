"""Letters and channels as the tests of mail and posts need them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from windowcast.channels.smtp import SmtpChannel
from windowcast.ports import Channel
from windowcast.terms.delivery import MAIL, POST, Letter, Recipient

NOW = datetime(2027, 1, 12, 13, tzinfo=UTC)
ANNA = Recipient(channel=MAIL, address="anna@vellamoor.example")
HUB = Recipient(channel=POST, address="hub")
IDENTITY = "2027-01-12/06:00/morning/1/anna@vellamoor.example/mail"
PASSWORD = "moss-4711-lichen"
LETTER = Letter(
    subject="Go today 08:00-12:00: 9 of 34 yards, round 1",
    text="Vellamoor Bees\nGo today 08:00-12:00: 9 of 34 yards.\n.\n 38-44 °F\n",
    html='<!doctype html>\n<html lang="en"><body><p>38-44 °F</p></body></html>\n',
    document='{\n  "schema_version": 1\n}\n',
)


def smtp(port: int, **changes: Any) -> SmtpChannel:
    """A channel to a server on loopback, without TLS and with little patience unless changed."""
    facts = {
        "host": "127.0.0.1", "port": port, "security": "none",
        "sender": "Vellamoor Bees <office@vellamoor.example>", "deadline_s": 10.0,
    }  # fmt: skip
    return SmtpChannel(**(facts | changes))


def send(channel: Channel, letter: Letter = LETTER, to: Recipient | None = None) -> None:
    """Hand a letter over at the time of the tests, to anna or to the hub unless named."""
    channel.send(letter, to or (ANNA if channel.name == MAIL else HUB), IDENTITY, NOW)
