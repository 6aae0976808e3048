"""The first ten lines of a plain text notice: alone they are enough to send a crew.

Every part of the head can be said in several forms, from the shortest to the fullest. Title,
decision, alarms, rounds overdue, age, blind yards and scope always stand; all begin in their
shortest form, and the lines that are left go to the others and to fuller forms, the most needed
first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from windowcast.notices.lines import HEAD_LINES, HEAD_WIDTH, flow, packed
from windowcast.wording.gist import SCOPE, Gist
from windowcast.wording.plain import commas, cost, cut, listed, plural, wrapped
from windowcast.wording.view import Named, labels

Forms = Sequence[list[str]]

_WINDOWS_FIRST = 4  # lines that windows may take before alarms name their yards


def head_lines(gist: Gist) -> list[str]:
    """At most ten lines of at most 60 cells: what must be known first, the rest as it fits."""
    forms = _forms(gist)
    told = {part: forms[part][0] for part in forms}
    steps = [
        ("decision", HEAD_LINES), ("next", 2), ("windows", 1), ("left_out", 1),
        ("next", HEAD_LINES), ("better", 1), ("pressing", len(gist.pressing)),
        ("windows", min(len(gist.windows), _WINDOWS_FIRST)),
        ("alarms", len(gist.watch)),
        ("windows", HEAD_LINES), ("left_out", HEAD_LINES), ("alarms", HEAD_LINES),
        ("blind", HEAD_LINES), ("pressing", HEAD_LINES),
    ]  # fmt: skip
    for part, most in steps:
        free = HEAD_LINES - sum(len(lines) for lines in told.values())
        told[part] = _fullest(forms[part], told[part], min(most, len(told[part]) + free))
    return [cut(line, HEAD_WIDTH) for lines in told.values() for line in lines]


def _fullest(forms: Forms, told: list[str], most: int) -> list[str]:
    """The last form of at most so many lines, or what is told already."""
    return next((form for form in reversed(forms) if len(told) <= len(form) <= most), told)


def _forms(gist: Gist) -> Mapping[str, Forms]:
    """The forms of every part, the shortest first, in the order in which the parts stand."""
    stale = [_stale_line(gist.stale)] if gist.stale else []
    room = HEAD_LINES - 3 - len(stale) - bool(gist.blind) - bool(gist.pressing)
    return {
        "title": [[gist.title]],
        "decision": [[cut(gist.decision, HEAD_WIDTH)], _wrapped([gist.decision])],
        "next": [[], *(list(gist.next_up[-n:]) for n in (1, 2)), _wrapped(gist.next_up)],
        "windows": [[], *(_window_lines(gist, n) for n in range(1, HEAD_LINES))],
        "left_out": _left_out_forms(gist),
        "better": [[], _better_lines(gist)],
        "alarms": _alarm_forms(gist.watch, room),
        "pressing": _pressing_forms(gist.pressing),
        "stale": [stale],
        "blind": _blind_forms(gist.blind),
        "scope": [[SCOPE]],
    }


def _wrapped(texts: Sequence[str]) -> list[str]:
    return [line for text in texts for line in wrapped(text, [HEAD_WIDTH], "  ")]


def _stale_line(stale: str) -> str:
    advised = f"Watch: {stale}, look again before you go"
    return advised if cost(advised) <= HEAD_WIDTH else f"Watch: {stale}"


def _flows(groups: Sequence[Named], lead: str, room: int) -> list[str]:
    """A paragraph of yards for each phrase; the earlier take the lines that the room leaves."""
    lines: list[str] = []
    for number, group in enumerate(groups):
        left = max(room - len(lines) - (len(groups) - number - 1), 1)
        names = commas(labels(group.keys))
        lines += flow(lead.format(group.phrase), names, 0, left)[0]
    return lines


def _window_lines(gist: Gist, room: int) -> list[str]:
    """Hours with their yards.

    Where there are too many hours, only the starts; where too many starts, the late ones together.
    """
    groups = gist.windows if len(gist.windows) <= room else gist.starts
    if len(groups) > room:
        later = tuple(key for group in groups[room - 1 :] for key in group.keys)
        phrase = "later, see below" if room > 1 else f"{groups[0].phrase} on, see below"
        groups = (*groups[: room - 1], Named(phrase=phrase, keys=later))
    return _flows(groups, "  {}:", room)


def _left_out_forms(gist: Gist) -> Forms:
    """Counts of yards, or their names: on one line where they fit, else a line for each reason."""
    if not gist.left_out:
        return [[]]
    lead = f"{gist.left_out_when}: "
    whole = lead + "; ".join(f"{', '.join(labels(n.keys))} ({n.phrase})" for n in gist.left_out)
    if cost(whole) <= HEAD_WIDTH:
        return [[], [whole]]
    counted = [f"{len(n.keys)} {n.phrase}" for n in gist.left_out]
    named = f"{gist.left_out_when}, {{}}:"
    rooms = range(max(len(gist.left_out), 2), HEAD_LINES)
    return [
        [],
        [lead + listed(counted, HEAD_WIDTH - len(lead))],
        *(_flows(gist.left_out, named, room) for room in rooms),
    ]


def _better_lines(gist: Gist) -> list[str]:
    """The better day; clauses that its line has no room for are left to the list of days."""
    clauses = (gist.better or "").split(", ")
    while len(clauses) > 1 and cost(", ".join(clauses)) > HEAD_WIDTH:
        clauses = clauses[:-1]
    return [", ".join(clauses)] if gist.better else []


def _blind_forms(blind: Sequence[str]) -> Forms:
    if not blind:
        return [[]]
    lead, names = "Blind, no forecast:", labels(blind)
    first = f"{lead} {listed(names, HEAD_WIDTH - cost(lead) - 1)}"
    return [[first], *(flow(lead, commas(names), 0, n)[0] for n in range(2, HEAD_LINES))]


def _pressing_forms(pressing: Sequence[Named]) -> Forms:
    """Rounds overdue or on their last day: on one line, a line for each, then all names."""
    if not pressing:
        return [[]]
    each = [_alarm_line(named) for named in pressing]
    counted = [f"{named.phrase} ({len(named.keys)})" for named in pressing]
    lead = "Watch (yards): "
    first = each if len(each) == 1 else [lead + listed(counted, HEAD_WIDTH - len(lead))]
    full = [_flows(pressing, "Watch: {} at", n) for n in range(len(pressing) + 1, HEAD_LINES)]
    return [first, each, *full]


def _alarm_forms(watch: Sequence[Named], room: int) -> Forms:
    """Alarms with their yards counted, then a line for each with names, then all names."""
    if not watch:
        return [[]]
    each = [_alarm_line(named) for named in watch]
    full = [_flows(watch, "Watch: {} at", n) for n in range(len(watch) + 1, HEAD_LINES)]
    counted = _counted_alarms(watch, room)
    return [each, *full] if len(each) <= len(counted) else [counted, each, *full]


def _alarm_line(named: Named) -> str:
    lead = f"Watch: {named.phrase} at "
    names = listed(labels(named.keys), HEAD_WIDTH - cost(lead))
    return lead + (plural(len(named.keys), "yard") if names.endswith(" in all") else names)


def _counted_alarms(watch: Sequence[Named], room: int) -> list[str]:
    """Every alarm with its count; with more than the room holds, the last line counts the rest."""
    items = commas([f"{named.phrase} ({len(named.keys)})" for named in watch])
    lines = packed("Watch (yards):", items, HEAD_WIDTH)
    shown = len(items)
    while len(lines) > room and shown > 0:
        shown -= 1
        rest = plural(len(items) - shown, "more official hazard")
        above = packed("Watch (yards):", items[:shown], HEAD_WIDTH)
        lines = [*above[:-1], above[-1].rstrip(","), f"   and {rest}, see below"]
    return lines
