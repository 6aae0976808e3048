"""Single values of a settings file, read strictly; each function raises Slip with the cure."""

from __future__ import annotations

import math
import re
import zoneinfo
from collections.abc import Callable
from datetime import date, datetime, time
from functools import partial
from urllib.parse import unquote, urlsplit

from windowcast.settings.spelling import Slip, cure_for_word, meant, shown
from windowcast.times import zone
from windowcast.units import KINDS, SI_UNIT, quantity

MOST_CHARS = 60  # of a quantity or a name: a line of a notice

# Beyond these a threshold or a length is a slip of the pen, in the SI unit of the kind.
BOUNDS = {
    "temperature": (-60.0, 60.0), "temperature difference": (0.0, 60.0), "speed": (0.0, 70.0),
    "depth": (0.0, 1000.0), "length": (0.0, 50_000.0), "fraction": (0.0, 1.0),
    "duration": (0.0, 10_000.0), "angle": (0.0, 360.0), "irradiance": (0.0, 1500.0),
    "mass": (0.0, 1000.0), "number": (-1e6, 1e6),
}  # fmt: skip

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_LONG_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_WEEKDAY_NUMBER = (
    {name: number for number, name in enumerate(_LONG_WEEKDAYS)}
    | {name[:3]: number for number, name in enumerate(_LONG_WEEKDAYS)}
    | {"tues": 1, "thur": 3, "thurs": 3}
)

_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})")
_MAIL = re.compile(r"[^\s@<>()\",;:\\]+@[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)+")
_PAGE = re.compile(r"https?://[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)+(:[0-9]+)?(/[^\s()<>]*)?")


def text(value: object, *, most: int = MOST_CHARS) -> str:
    """Text without line breaks or characters that do not print; never empty."""
    if not isinstance(value, str):
        raise Slip(f"{shown(value)} is not text", "write text in quotes")
    line = " ".join(value.split())
    if not line:
        raise Slip("is empty", "write some text, or delete it")
    if len(line) > most:
        raise Slip(f"{shown(line)} has {len(line)} characters", f"shorten it to {most}")
    if not line.isprintable():
        raise Slip(f"{shown(line)} has a character that does not print", "type it again")
    return line


def one_line(most: int) -> Callable[[object], str]:
    """A reader of text up to a number of characters."""
    return partial(text, most=most)


def measure(value: object, kind: str, bounds: tuple[float, float] | None = None) -> float:
    """A quantity with its unit, as its SI value; a bare number only where the kind has no unit."""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise Slip(f"{shown(value)} is not a quantity", f"write {_two_ways(kind, '40')}")
    written = value.strip() if isinstance(value, str) else shown(value)
    if len(written) > MOST_CHARS:
        raise Slip(f"{shown(written)} is not a quantity", f"write {_two_ways(kind, '40')}")
    if kind == "fraction" and _is_number(written):
        percent = f"{float(written) * 100 if abs(float(written)) <= 1 else float(written):g} %"
        raise Slip(f"{written} has no unit", f'write "{percent}"')
    try:
        found = quantity(written, kind)
    except ValueError as error:
        told, _, cure = str(error).partition("; ")
        raise Slip(told, cure) from error
    low, high = bounds or BOUNDS[kind]
    if not low <= found <= high:
        unit = f" {SI_UNIT[kind]}" if SI_UNIT[kind] else ""
        raise Slip(f"{written} is out of reason", f"it must lie from {low:g} to {high:g}{unit}")
    return found


def clock(value: object) -> time:
    """A time of day, from "08:00" or a time that TOML knows itself."""
    if isinstance(value, time):
        return value.replace(second=0, microsecond=0)
    match = _CLOCK.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is not None and int(match.group(1)) < 24 and int(match.group(2)) < 60:
        return time(int(match.group(1)), int(match.group(2)))
    raise Slip(f"{shown(value)} is not a time of day", 'write one from "00:00" to "23:59"')


def weekday(value: object) -> int:
    """The number of a weekday, 0 for Monday, from its short or long English name."""
    word = value.strip().casefold().removesuffix(".") if isinstance(value, str) else ""
    if word not in _WEEKDAY_NUMBER:
        near = meant(word, _WEEKDAY_NUMBER)
        cure = cure_for_word(WEEKDAYS[_WEEKDAY_NUMBER[near]] if near else "", WEEKDAYS)
        raise Slip(f"{shown(value)} is not a weekday", cure)
    return _WEEKDAY_NUMBER[word]


def zone_name(value: object) -> str:
    """An IANA time zone that this machine knows."""
    name = text(value)
    try:
        zone(name)
    except ValueError as error:
        raise Slip(f"{shown(name)} is not a time zone", _zone_cure(name)) from error
    return name


def contact_address(value: object) -> str:
    """An e-mail or web address in plain ASCII: it goes into a header of every request."""
    if isinstance(value, str) and not value.strip():
        raise Slip("is empty", "write your e-mail address: the weather services demand one")
    address = text(value, most=120)
    if address.isascii() and (_MAIL.fullmatch(address) or _PAGE.fullmatch(address)):
        return address
    raise Slip(
        f"{shown(address)} is neither an e-mail address nor a web address",
        'write one such as "office@vellamoor.example"',
    )


def web_address(value: object) -> str:
    """The base address of a weather service: http or https, a host, maybe a path."""
    address = text(value, most=300)
    example = 'write one such as "https://weather.example/mirror"'
    try:
        parts = urlsplit(address)
        host, _ = parts.hostname, parts.port
    except ValueError as error:
        raise Slip("is not a web address", example) from error
    if parts.username or parts.password:
        raise Slip("holds a name or a password", "take it out of the address")
    if parts.query or parts.fragment:
        raise Slip("has a part after ? or #", "end the address before it")
    if parts.scheme not in ("http", "https") or not host or " " in address:
        raise Slip(f"{shown(address)} is not a web address", example)
    return address.rstrip("/")


def book_address(value: object) -> str:
    """The address of a book in PostgreSQL; its password has no place in it and is not repeated."""
    address = value.strip() if isinstance(value, str) else ""
    wrong = Slip(
        "is not the address of a book in PostgreSQL",
        'write one such as "postgresql://bees@db.vellamoor.example/windowcast", or leave it out'
        " for a file",
    )
    if len(address) > 300 or not address.isprintable() or " " in address:
        raise wrong
    try:
        parts = urlsplit(address)
        _ = parts.port
    except ValueError as error:
        raise wrong from error
    if parts.password is not None or "password" in unquote(parts.query).casefold():
        raise Slip("holds a password", "take it out and set PGPASSWORD, or write it to ~/.pgpass")
    if parts.scheme not in ("postgres", "postgresql") or not parts.path.strip("/"):
        raise wrong
    return address


def day(value: object) -> str:
    """A calendar day as ISO text, from a TOML date or from text."""
    found = _iso_day(value) if isinstance(value, str) else value
    if isinstance(found, date) and not isinstance(found, datetime) and 1990 <= found.year < 2200:
        return found.isoformat()
    raise Slip(f"{shown(value)} is not a day", "write year-month-day, such as 2026-11-03")


def path_text(value: object) -> str:
    """The path of a file or folder."""
    if not isinstance(value, str) or not value.strip():
        raise Slip(f"{shown(value)} is not a path", 'write one in quotes, such as "answers"')
    if len(value) > 1000 or not value.isprintable():
        raise Slip(f"{shown(value)} cannot be a path", "type it again")
    return value


def _iso_day(written: str) -> date | None:
    try:
        return date.fromisoformat(written.strip())
    except ValueError:
        return None


def _zone_cure(name: str) -> str:
    known = sorted(zoneinfo.available_timezones())
    ends = {full.rpartition("/")[2].casefold(): full for full in known}
    city = name.rpartition("/")[2].strip().casefold().replace(" ", "_")
    near = ends.get(city) or meant(name, known)
    usual = 'write an IANA name such as "America/Boise"'
    return f'did you mean "{near}"?' if near else usual


def _two_ways(kind: str, number: str) -> str:
    if kind == "number":
        return "a bare number such as 0.5"
    return " or ".join(f'"{number} {unit}"' for unit in list(KINDS[kind])[:2])


def _is_number(written: str) -> bool:
    try:
        return math.isfinite(float(written))
    except ValueError:
        return False
