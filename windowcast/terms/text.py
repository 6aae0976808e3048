"""What may stand in a field that a person writes and a book keeps."""

from __future__ import annotations

from datetime import date, datetime

from windowcast.times import YEARS

LONGEST = 2000


def demand_text(field: str, text: str, *, longest: int = LONGEST) -> None:
    """Refuse text that no file can hold, or that is longer than anybody reads.

    Line breaks and tabs are text; other control characters and torn halves of characters, which
    a terminal in a wrong encoding hands over, are not.
    """
    if len(text) > longest:
        raise ValueError(f"{field} has {len(text)} characters; write at most {longest}")
    if any(_is_no_text(character) for character in text):
        raise ValueError(f"{field} holds characters that are no text; write letters and figures")


def demand_key(field: str, text: str) -> None:
    """Refuse a name that is empty, has spaces around it, or more than one line."""
    demand_text(field, text, longest=200)
    if not text or text != text.strip() or len(text.splitlines()) > 1:
        raise ValueError(f"{field} {text!r} is no name; write one line without spaces around it")


def demand_count(field: str, count: int, *, least: int = 0, most: int = 100_000) -> None:
    """Refuse a count that is no whole number within bounds."""
    if not isinstance(count, int) or isinstance(count, bool) or not least <= count <= most:
        raise ValueError(f"{field} {count!r} is not a whole number from {least} to {most}")


def demand_instant(field: str, moment: datetime) -> None:
    """Refuse a time without a zone, and one of another age."""
    if moment.tzinfo is None:
        raise ValueError(f"{field} has no time zone")
    demand_year(field, moment)


def demand_year(field: str, day: date) -> None:
    """Refuse a day of another age: it is a slip."""
    if day.year not in YEARS:
        raise ValueError(f"{field} is out of reach; write a year from {YEARS[0]} to {YEARS[-1]}")


def _is_no_text(character: str) -> bool:
    code = ord(character)
    return (code < 32 and character not in "\n\r\t") or code == 127 or 0xD800 <= code <= 0xDFFF
