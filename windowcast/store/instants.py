"""UTC instants as the book writes them: ISO 8601 text of one width, in the order of time."""

from __future__ import annotations

from datetime import UTC, datetime


def text_of(moment: datetime) -> str:
    """The text of an aware datetime.

    >>> text_of(datetime(2027, 1, 12, 14, 30, tzinfo=UTC))
    '2027-01-12T14:30:00.000000Z'
    """
    if moment.tzinfo is None:
        raise ValueError("a naive datetime is no instant")
    plain = moment.astimezone(UTC).replace(tzinfo=None)
    return plain.isoformat(timespec="microseconds") + "Z"


def moment_of(text: str) -> datetime:
    """The aware UTC datetime that such text names; ValueError where it is none."""
    if len(text) != 27 or not text.endswith("Z"):
        raise ValueError(f"{text!r} is no instant of the book")
    return datetime.fromisoformat(text[:-1]).replace(tzinfo=UTC)


def text_if_told(moment: datetime | None) -> str | None:
    """The text of an instant, None where there is none."""
    return None if moment is None else text_of(moment)


def moment_if_told(text: str | None) -> datetime | None:
    """The instant of a text, None where there is none."""
    return None if text is None else moment_of(text)
