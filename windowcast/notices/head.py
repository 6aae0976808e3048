"""The first ten lines of a plain text notice: alone they are enough to send a crew."""

from __future__ import annotations

from collections.abc import Sequence

from windowcast.notices.lines import HEAD_LINES, HEAD_WIDTH, flow
from windowcast.wording.gist import SCOPE, Gist, Named
from windowcast.wording.plain import commas, cost, cut, listed, wrapped
from windowcast.wording.view import labels


def head_lines(gist: Gist) -> list[str]:
    """At most ten lines of at most 60 cells: what must be known first, the rest as it fits."""
    first = [gist.title, gist.decision, *gist.next_up]
    last = [
        *_watch_lines(gist.watch),
        *([_stale_line(gist.stale)] if gist.stale else []),
        *([_list_line("Blind, no forecast: ", gist.blind)] if gist.blind else []),
        SCOPE,
    ]
    opening = _opening(first, HEAD_LINES - len(last) - 1)
    room = HEAD_LINES - len(opening) - len(last)
    extra = [*_left_out_line(gist), *([gist.better] if gist.better else [])]
    yards = _window_lines(gist, room, room - len(extra))
    lines = [*opening, *yards, *extra[: room - len(yards)], *last]
    return [cut(line, HEAD_WIDTH) for line in lines]


def _opening(texts: Sequence[str], room: int) -> list[str]:
    """Each text on as many lines as it needs, or on one line where that takes too much room."""
    lines = [line for text in texts for line in wrapped(text, [HEAD_WIDTH], "  ")]
    return lines if len(lines) <= room else [cut(text, HEAD_WIDTH) for text in texts]


def _list_line(lead: str, keys: Sequence[str]) -> str:
    return lead + listed(labels(keys), HEAD_WIDTH - cost(lead))


def _stale_line(stale: str) -> str:
    advised = f"Watch: {stale}, look again before you go"
    return advised if cost(advised) <= HEAD_WIDTH else f"Watch: {stale}"


def _watch_lines(watch: Sequence[Named]) -> list[str]:
    if len(watch) <= 2:
        return [_list_line(f"Watch: {named.phrase} at ", named.keys) for named in watch]
    counted = [f"{named.phrase} ({len(named.keys)})" for named in watch]
    return wrapped(f"Watch (yards): {listed(counted, 2 * HEAD_WIDTH - 40)}", [HEAD_WIDTH], "  ")


def _window_lines(gist: Gist, most: int, best: int) -> list[str]:
    """Hours with their yards, on more lines than one for each while these are within ``best``.

    Where there are too many hours, only the starts; where too many starts, the late ones together.
    """
    groups = gist.windows if len(gist.windows) <= most else gist.starts
    if len(groups) > most:
        later = tuple(key for named in groups[most - 1 :] for key in named.keys)
        groups = (*groups[: most - 1], Named(phrase="later, see below", keys=later))
    lines: list[str] = []
    for number, named in enumerate(groups):
        room = max(best - len(lines) - (len(groups) - number - 1), 1)
        lines += flow(f"  {named.phrase}:", commas(labels(named.keys)), 0, room)[0]
    return lines


def _left_out_line(gist: Gist) -> list[str]:
    if not gist.left_out:
        return []
    lead = f"{gist.left_out_when}: "
    whole = "; ".join(f"{', '.join(labels(n.keys))} ({n.phrase})" for n in gist.left_out)
    if cost(lead + whole) <= HEAD_WIDTH:
        return [lead + whole]
    counted = [f"{len(n.keys)} {n.phrase}" for n in gist.left_out]
    return [lead + listed(counted, HEAD_WIDTH - len(lead))]
