"""Lines of a plain text notice: how wide each may be, and how lists are fitted into them."""

from __future__ import annotations

from collections.abc import Sequence

from windowcast.wording.plain import cost, cut, wrapped

HEAD_LINES, HEAD_WIDTH = 10, 60
LINES, WIDTH = 60, 78
_WIDTHS = [HEAD_WIDTH] * HEAD_LINES + [WIDTH]


def laid(paragraphs: Sequence[str], above: int) -> list[str]:
    """Paragraphs as lines below ``above`` others; a paragraph hangs below its own indent."""
    lines: list[str] = []
    for text in paragraphs:
        indent = " " * (len(text) - len(text.lstrip(" ")))
        widths = _WIDTHS[min(above + len(lines), HEAD_LINES) :]
        lines += wrapped(text, widths, indent + "   ") or [""]
    return lines


def flow(lead: str, items: Sequence[str], above: int, room: int) -> tuple[list[str], int]:
    """Items one after the other below ``above`` lines, and how many did not fit into the room.

    Those that did not are counted in the text.
    """
    shown = len(items)
    lines = laid([" ".join([lead, *items])], above)
    while len(lines) > room and shown > 0:
        shown -= 1
        told = " ".join([lead, *items[:shown]]).rstrip(",;")
        lines = laid([f"{told} and {len(items) - shown} more"], above)
    return lines, len(items) - shown


def packed(lead: str, items: Sequence[str], width: int) -> list[str]:
    """Items one after the other, none of them broken over two lines."""
    lines, hang = [lead], " " * (len(lead) - len(lead.lstrip(" ")) + 3)
    for item in items:
        longer = f"{lines[-1]} {item}"
        lines = [*lines[:-1], longer] if cost(longer) <= width else [*lines, hang + item]
    return [cut(line, width) for line in lines]
