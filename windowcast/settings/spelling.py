"""How a message shows what was found, and which known word it may have meant."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from datetime import date, datetime, time

SHOWN_CHARS = 60


class Slip(ValueError):
    """A value that cannot be taken as it stands: what was found, and the cure."""

    def __init__(self, found: str, cure: str) -> None:
        self.found = found
        self.cure = cure
        super().__init__(f"{found}; {cure}")


def shown(value: object) -> str:
    """A value as a message shows it: on one line, text in double quotes, never longer than 60."""
    if isinstance(value, str):
        return f'"{printable(value)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return _number(value)
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    return "a list" if isinstance(value, list) else "a table"


def printable(text: str) -> str:
    """Text on one line, characters that do not print written as their code, cut to 60."""
    cut = text if len(text) <= SHOWN_CHARS else f"{text[: SHOWN_CHARS - 3]}..."
    return "".join(
        char if char.isprintable() else f"<U+{ord(char):04X}>" for char in cut.replace("\n", " ")
    )


def meant(word: str, known: Iterable[str], *, likeness: float = 0.6) -> str | None:
    """The known word that is nearest in spelling, None where none is near."""
    folded = {_folded(name): name for name in known}
    near = difflib.get_close_matches(_folded(word[:SHOWN_CHARS]), folded, n=1, cutoff=likeness)
    return folded[near[0]] if near else None


def choices(known: Iterable[str]) -> str:
    """``a, b or c``."""
    *most, last = known
    return f"{', '.join(most)} or {last}" if most else last


def cure_for_word(word: str, known: Iterable[str]) -> str:
    """``did you mean "gravel"?`` where a known word is near, else all known words."""
    known = tuple(known)
    near = meant(word, known)
    return f'did you mean "{near}"?' if near else f"use {choices(known)}"


def toml_text(text: str) -> str:
    """A string as TOML writes it, on one line."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + re.sub(r"[\x00-\x1f\x7f]", lambda m: f"\\u{ord(m.group()):04X}", escaped) + '"'


def as_toml(value: object) -> str:
    """A plain value as TOML writes it."""
    if isinstance(value, list):
        return f"[{', '.join(as_toml(item) for item in value)}]"
    return toml_text(value) if isinstance(value, str) else shown(value)


def _number(value: float) -> str:
    try:
        return printable(str(value))
    except ValueError:  # Python refuses to print whole numbers of thousands of digits
        return "a very large number"


def _folded(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.strip().casefold())
