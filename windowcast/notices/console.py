"""The notice as plain text for a terminal, a mail or a sheet of paper.

The first ten lines are at most 60 characters wide and enough to send a crew. The whole has at most
60 lines, however many yards there are: what does not fit is counted, and the command that shows
it is named.
"""

from __future__ import annotations

from dataclasses import dataclass

from windowcast.notices.head import head_lines
from windowcast.notices.lines import HEAD_LINES, HEAD_WIDTH, LINES, WIDTH, flow, laid, packed
from windowcast.terms.advice import Morning
from windowcast.wording import provenance
from windowcast.wording.cautions import caution_sentences
from windowcast.wording.days import DayLine, beyond, day_lines
from windowcast.wording.gist import gist_of
from windowcast.wording.groups import (
    Block,
    blind_groups,
    compact_groups,
    exact_groups,
    yards_heading,
)
from windowcast.wording.plain import capital, cost, cut, listed, plural
from windowcast.wording.rounds import round_groups, totals_sentence, urgent
from windowcast.wording.view import Named, View, labels, view_of

_SOURCES_SHOWN = 4
_REMARK_LINES = 3
_ROUND_LINES = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsoleNotice:
    """Writes a morning as text. ``units`` is "us" or "si"."""

    units: str = "us"

    def write(self, morning: Morning) -> str:
        """The whole notice, ending in a line feed."""
        view = view_of(morning, self.units)
        return "\n".join(_notice(view)) + "\n"


def _notice(view: View) -> list[str]:
    """The fullest form that the sheet has room for; the last is cut to it."""
    head = head_lines(gist_of(view))
    for shown, form, rounds in (
        (LINES, _exact, LINES), (LINES, _exact, _ROUND_LINES), (LINES, _compact, _ROUND_LINES),
        (6, _compact, _ROUND_LINES),
    ):  # fmt: skip
        above = [*head, *laid(_days(view, shown, len(head)), len(head))]
        body = [*above, *form(view, len(above))]
        whole = [*body, *laid(_tail(view, rounds, _REMARK_LINES), len(body))]
        if len(whole) <= LINES:
            return whole
    above = [*head, *laid(_days(view, 4, len(head)), len(head))]
    tail = laid(_tail(view, 1, 1), LINES)
    return [*above, *_clipped(view, len(above), LINES - len(tail)), *tail]


def _tail(view: View, round_lines: int, remark_lines: int) -> list[str]:
    return [
        *_rounds(view, round_lines),
        *_cautions(view),
        *_sources(view),
        *_remarks(view, remark_lines),
    ]


def _rounds(view: View, room: int) -> list[str]:
    """How far the season is, and what is due where; what is beyond the room is counted."""
    if not view.morning.totals:
        return []
    groups = round_groups(view)
    least = min(sum(urgent(group) for group in groups), _ROUND_LINES - 1)
    shown = groups if len(groups) <= room else groups[: max(room - 1, least)]
    lines = [_round_line(named) for named in shown]
    hidden = sum(len(named.keys) for named in groups[len(shown) :])
    more = [f" and {plural(hidden, 'more yard')}: windowcast morning --html FILE"] if hidden else []
    return ["", "Rounds, by the calendar alone", f" {totals_sentence(view)}", *lines, *more]


def _round_line(named: Named) -> str:
    lead = f" {capital(named.phrase)}: "
    return lead + listed(labels(named.keys), WIDTH - cost(lead))


def _days(view: View, shown: int, above: int) -> list[str]:
    days = day_lines(view)
    if not days:
        return []
    rooms = max(len(day.name) for day in days), max(len(day.verdict) for day in days)
    hidden = len(days) - shown
    more = (
        [f" and {hidden} more days, none better: windowcast morning --html FILE"]
        if hidden > 0
        else []
    )
    after = beyond(view)
    told = [
        *(
            _day_text(day, rooms, HEAD_WIDTH if above + 2 + number < HEAD_LINES else WIDTH)
            for number, day in enumerate(days[:shown])
        ),
        *more,
    ]
    return ["", "Days, best first", *told, *([f" {after}"] if after else [])]


def _day_text(day: DayLine, rooms: tuple[int, int], width: int) -> str:
    """One day with as much of its reasons and alarms as fits; a lost day tells one at least."""
    text = f"{day.rank:>2} {day.name:<{rooms[0]}}  {day.verdict:<{rooms[1]}}  {day.share}"
    if not day.hours:
        shown = listed(day.why, width - cost(text) - 2)
        return _alarmed(f"{text}: {day.why[0] if shown.endswith(' in all') else shown}", day, width)
    text = f"{text}, {day.hours}"
    base = _alarmed(text, day, width)
    shown = listed(day.why, width - cost(base) - 2)
    left = day.left if shown.endswith(" in all") else shown
    fits = bool(left) and cost(base) + 2 + cost(left) <= width
    return _alarmed(f"{text}; {left}", day, width) if fits else base


def _alarmed(text: str, day: DayLine, width: int) -> str:
    """A day's line with thunder, ice and official hazards behind it, in the longest form that fits.

    "river flood warning at 3" is short as "warning at 3"; the full words stand with the yards.
    """
    room = width - cost(text) - 2
    for phrases in (day.watch, tuple(dict.fromkeys(map(_shortened, day.watch)))):
        shown = listed(phrases, room)
        if shown and not shown.endswith(" in all") and cost(shown) <= room:
            return f"{text}; {shown}"
    return text


def _shortened(phrase: str) -> str:
    return " ".join(phrase.split(" ")[-3:])


def _heading(view: View) -> list[str]:
    return ["", yards_heading(view), *(f" {note}" for note in provenance.clock_notes(view))]


def _exact(view: View, above: int) -> list[str]:
    """The yards of the chosen day, each group with all that is told about it."""
    groups = exact_groups(view, view.chosen)
    told = [f" {g.lead}: {', '.join(labels(g.keys))}. {g.told}".rstrip() for g in groups]
    return laid([*_heading(view), *told], above)


def _compact(view: View, above: int) -> list[str]:
    """The yards in few lines, each with its hours and its side."""
    return _clipped(view, above, above + 10 * LINES)


def _clipped(view: View, above: int, room: int) -> list[str]:
    """The same cut to a room, in which every block keeps a line, and every alarm its name."""
    note = " W: stand on the west side, upwind. W>N 10:00: north side from 10:00."
    lines = laid([*_heading(view), *([note] if view.chosen else [])], above)
    blocks, whys = compact_groups(view, view.chosen), _blind_whys(view)
    beyond_room, last = 0, len(whys) + 1
    for number, block in enumerate(blocks):
        kept = sum(len(_least(later)) for later in blocks[number + 1 :])
        left = max(room - above - len(lines) - kept - last, 1)
        told, hidden = flow(f" {block.lead}:", block.items, above + len(lines), left)
        least = _fitted(block, above + len(lines), left) if hidden and block.short else told
        lines, beyond_room = [*lines, *least], beyond_room + hidden
    day = view.chosen.day if view.chosen else view.today
    more = f" More: windowcast why YARD {day.isoformat()}, or windowcast morning --html FILE"
    return [*lines, *whys, *([more] if beyond_room else [])]


def _fitted(block: Block, above: int, left: int) -> list[str]:
    """The short items of a block; where even these are too many, the last are counted."""
    least, room = _least(block), max(left, 2)
    return least if len(least) <= room else flow(f" {block.lead}:", block.short, above, room)[0]


def _least(block: Block) -> list[str]:
    """The fewest lines that a block takes."""
    return packed(f" {block.lead}:", block.short, WIDTH) if block.short else [f" {block.lead}:"]


def _blind_whys(view: View) -> list[str]:
    whys = blind_groups(view, view.chosen)
    more = f" (and {len(whys) - 1} other reasons)" if len(whys) > 1 else ""
    return [cut(f" why blind: {group.told}", WIDTH - len(more)) + more for group in whys[:1]]


def _cautions(view: View) -> list[str]:
    return ["", "Take care", *(f" - {text}" for text in caution_sentences(view.morning.cautions))]


def _sources(view: View) -> list[str]:
    sources = provenance.source_sentences(view)
    hidden = len(sources) - _SOURCES_SHOWN
    rest = [f"and {hidden} more sources: windowcast morning --html FILE"] if hidden > 0 else []
    told = [
        *sources[:_SOURCES_SHOWN],
        *rest,
        *provenance.made_sentences(view),
        *provenance.credit_lines(view),
    ]
    return ["", "Where it comes from", *(f" {text}" for text in told)]


def _remarks(view: View, room: int) -> list[str]:
    """What is odd or missing, a line for each; what is beyond the room is counted."""
    remarks = provenance.remark_sentences(view)
    if len(remarks) <= room:
        return [f" {cut(text, WIDTH - 1)}" for text in remarks]
    shown = [f" {cut(text, WIDTH - 1)}" for text in remarks[: room - 1]]
    hidden = plural(len(remarks) - len(shown), "more remark" if shown else "remark")
    return [*shown, f" {hidden}: windowcast morning --html FILE"]
