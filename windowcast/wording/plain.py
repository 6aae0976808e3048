"""Text that fits: names from files made safe to print, lists cut to a room, lines wrapped.

The cost of a character is 2 where a terminal draws it two cells wide, else 1, so that a line
within its cost is within its width and within its length.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

UNNAMED = "(no name)"
_ELLIPSIS = "…"
_WIDE = ("W", "F")
_UNIT_GAP = re.compile(r"(?<=\d) (?=(?:°F|°C|mph|km/h|in|mm|h|%)(?:[\s.,;:)]|$))")
_GLUE = "\u00a0"


def cost(text: str) -> int:
    """Cells that a text takes at most, never fewer than its characters."""
    return sum(2 if unicodedata.east_asian_width(char) in _WIDE else 1 for char in text)


def clean(text: str, room: int | None = None) -> str:
    """The text on one line without control or invisible characters, cut to a room if one is given.

    What nothing is left of becomes "(no name)".
    """
    composed = unicodedata.normalize("NFC", text)
    spaced = "".join(_printable(char) for char in composed)
    tidy = " ".join(spaced.split()) or UNNAMED
    return tidy if room is None else cut(tidy, room)


def _printable(char: str) -> str:
    category = unicodedata.category(char)
    if category in ("Zs", "Zl", "Zp") or char in "\t\n\r\v\f":
        return " "
    return "" if category.startswith("C") else char


def cut(text: str, room: int) -> str:
    """The text, or as much of it as fits into a room with an ellipsis at its end."""
    if cost(text) <= room:
        return text
    return _head(text, room - 1).rstrip() + _ELLIPSIS


def _head(text: str, room: int) -> str:
    taken, end = 0, 0
    for end, char in enumerate(text):
        taken += cost(char)
        if taken > room:
            return text[:end]
    return text[: end + 1] if text else ""


def listed(items: Sequence[str], room: int) -> str:
    """As many items as fit, with commas; the rest are counted: "a, b and 4 more"."""
    if cost(whole := ", ".join(items)) <= room or not items:
        return whole
    for shown in range(len(items) - 1, 0, -1):
        text = f"{', '.join(items[:shown])} and {len(items) - shown} more"
        if cost(text) <= room:
            return text
    return f"{len(items)} in all"


def joined(items: Sequence[str], last: str = "and") -> str:
    """All items with commas, the last after a word: "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def commas(items: Sequence[str]) -> list[str]:
    """The items, each but the last with a comma after it."""
    return [*(f"{item}," for item in items[:-1]), *items[-1:]]


def capital(text: str) -> str:
    """The text with its first letter upper case and the rest as it is."""
    return text[:1].upper() + text[1:]


def plural(count: int, one: str, many: str | None = None) -> str:
    """A count with its noun: "1 yard", "3 yards", "1,020 hours"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def wrapped(text: str, widths: Sequence[int], hang: str = "") -> list[str]:
    """Lines of a text; line n is as wide as ``widths[n]``, the last width holds for all others.

    Lines after the first begin with ``hang``. A number stays with its unit. A word that is longer
    than a line goes on in the next.
    """
    lines: list[str] = []
    lead = text[: len(text) - len(text.lstrip(" "))]
    rest = _UNIT_GAP.sub(_GLUE, text.strip(" "))
    while rest:
        width = widths[min(len(lines), len(widths) - 1)]
        line, rest = _one_line(rest, width - cost(lead))
        lines.append(lead + line.replace(_GLUE, " "))
        lead = hang
    return lines


def _one_line(text: str, room: int) -> tuple[str, str]:
    head = _head(text, room) or text[:1]
    if head == text:
        return text, ""
    if text[len(head)] == " ":
        return head.rstrip(), text[len(head) :].lstrip()
    kept = head.rfind(" ")
    if kept <= 0:
        return head, text[len(head) :]
    return head[:kept].rstrip(), text[kept:].lstrip()


def sound(text: str) -> str:
    """The text as it is in the file, but for halves of characters, which JSON cannot carry."""
    return text.encode("utf-8", "replace").decode("utf-8")
