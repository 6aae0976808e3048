"""Reads JSON of a weather service strictly: what is not of the expected type is refused by name.

A value is named by its place, a tuple such as ``("nws grid", "temperature", "values", 3)``; its
first part says whose answer it is, the rest leads to the field. The sentence is built only when it
is needed, so that walking a large answer stays cheap.
"""

from __future__ import annotations

import json
import math
import unicodedata
from collections.abc import Mapping
from functools import partial
from typing import NoReturn

from windowcast.problems import SourceGarbled

Place = tuple[str | int, ...]

_SHOWN = 60  # characters of a foreign value that a sentence quotes


def read_json(body: bytes, source: str) -> object:
    """The JSON value of a body; SourceGarbled for HTML, a cut body, NaN or absurd nesting."""
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SourceGarbled(f"{source}: the answer is not UTF-8 text, expected JSON") from None
    if not text.strip():
        raise SourceGarbled(f"{source}: the answer is empty, expected JSON")
    try:
        value: object = json.loads(text, parse_constant=partial(_refuse_constant, source))
    except json.JSONDecodeError as error:
        start = shown(text.lstrip())
        raise SourceGarbled(
            f"{source}: the answer is not JSON from character {error.pos} of {len(text)} on; it"
            f" begins with {start}"
        ) from None
    except RecursionError:
        raise SourceGarbled(f"{source}: the answer is nested too deeply to be a forecast") from None
    except ValueError:  # Python's own bound on the digits of a whole number
        raise SourceGarbled(
            f"{source}: the answer holds a number of thousands of digits, expected weather"
        ) from None
    return value


def _refuse_constant(source: str, word: str) -> NoReturn:
    raise SourceGarbled(f"{source}: the answer holds {word}, which is not a number in JSON")


def refuse(place: Place, found: object, expected: str) -> NoReturn:
    """Raise SourceGarbled with source, field, value and what was expected."""
    raise SourceGarbled(f"{dotted(place)}: found {shown(found)}, expected {expected}")


def dotted(place: Place) -> str:
    """``nws grid: temperature.values[3].value`` from a place."""
    path = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in place[1:])
    return f"{place[0]}: {path.lstrip('.')}" if path else str(place[0])


def shown(value: object) -> str:
    """A foreign value for a sentence: one short line of printable ASCII."""
    if isinstance(value, Mapping):
        return "an object"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) >= 10**18:
        return "a number of more than 18 digits"
    try:
        text = json.dumps(value[:_SHOWN] if isinstance(value, str) else value)
    except (TypeError, ValueError):
        return f"a value of type {type(value).__name__}"
    return text if len(text) <= _SHOWN else text[: _SHOWN - 3] + "..."


def as_object(value: object, *place: str | int) -> Mapping[str, object]:
    """The value as a JSON object."""
    if not isinstance(value, dict):
        refuse(place, value, "an object")
    return value


def as_list(value: object, *place: str | int, most: int) -> list[object]:
    """The value as a list of at most ``most`` elements."""
    if not isinstance(value, list):
        refuse(place, value, "a list")
    if len(value) > most:
        raise SourceGarbled(
            f"{dotted(place)}: found {len(value)} elements, expected at most {most}"
        )
    return value


def as_text(value: object, *place: str | int) -> str:
    """The value as text."""
    if not isinstance(value, str):
        refuse(place, value, "text")
    return value


def as_number(value: object, *place: str | int) -> float:
    """The value as a finite number; text, true and false are none."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        refuse(place, value, "a number")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        refuse(place, value, "a number that can be")
    return number


def plain(text: str, most: int = 80) -> str:
    """Foreign text made safe to print: no control characters, no lone surrogates, one line."""
    kept = "".join(
        character if unicodedata.category(character)[0] != "C" else " " for character in text
    )
    return " ".join(kept.split())[:most]
