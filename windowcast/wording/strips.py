"""A yard's day as a strip: the clock along it, the run as a bar as high as the hours are good.

Positions are in the units of the drawing, ``WIDTH`` by ``HEIGHT``, with y downwards. Every strip of
a page has the same clock, so that days and yards can be compared by eye.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from windowcast.terms.advice import GOOD, WORKABLE, WindowScore
from windowcast.times import local
from windowcast.wording import clock
from windowcast.wording.groups import facts
from windowcast.wording.plain import capital, cut
from windowcast.wording.reasons import numbers, reason_of
from windowcast.wording.view import View

WIDTH = 300.0
BASE = 46.0  # y of the clock line
FULL = 28.0  # height of a credit of 1
FLOOR = 60.0  # y at which the numbers of the clock stand
LOW_TOP = 28.0  # top of a strip without a run, which needs no room for a bar
_MARGIN = 10.0
_TEXT_ROOM = 38.0  # half of the width of "08:00-12:00" at the size of the sheet
_NOTE_ROOM = 46  # characters that fit along a strip
_TICK_EVERY_H = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A mark of the clock."""

    x: float
    hour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One yard-day to draw, with the same in words. ``path`` is "" without a run."""

    day: str
    verdict: str
    box: str
    frame: str
    path: str
    worth_it: bool
    hours: str
    hours_x: float
    note: str
    ticks: tuple[Tick, ...]
    title: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The hours of the local day that strips show."""

    first_h: int
    last_h: int

    def x(self, hour: float) -> float:
        """Position of a clock hour."""
        share = (hour - self.first_h) / (self.last_h - self.first_h)
        return round(_MARGIN + share * (WIDTH - 2 * _MARGIN), 1)


def frame_of(view: View) -> Frame:
    """An hour more on both sides than crews work and runs last."""
    edges = [time_h(edge) for crew in view.morning.crews for edge in (crew.start, crew.end)]
    for score in (score for day in view.by_key.values() for score in day.values()):
        edges += [_clock_h(m, score.day, view.tz(score)) for m in (score.start, score.end) if m]
    first, last = int(min(edges, default=8.0)) - 1, -int(-max(edges, default=16.0) // 1) + 1
    return Frame(first_h=max(first, 0), last_h=min(last, 24))


def time_h(edge: time) -> float:
    """A clock time as hours since midnight."""
    return edge.hour + edge.minute / 60


def _clock_h(moment: datetime, day: date, tz: str) -> float:
    """Hours by the wall clock from the midnight at which a day begins."""
    there = local(moment, tz)
    return (there.date() - day).days * 24 + time_h(there.time())


def strip_of(score: WindowScore, view: View, frame: Frame) -> Strip:
    """The strip of a yard-day."""
    hours, name = view.hours(score), clock.day_words(score.day)
    reason = reason_of(score, view)
    why = f"{reason.phrase}{numbers(reason.code, [score], view)}" if reason else ""
    told = facts([score], view) if hours and score.verdict in (GOOD, WORKABLE) else ""
    columns = _columns(score, view, frame)
    top = 0.0 if columns else LOW_TOP
    return Strip(
        day=name,
        verdict=score.verdict,
        box=f"0 {top:g} {WIDTH:g} {FLOOR - top:g}",
        frame=_path([(left, right, BASE - FULL) for left, right, _ in columns]),
        path=_path(columns),
        worth_it=score.verdict in (GOOD, WORKABLE),
        hours=hours,
        hours_x=_middle(columns),
        note=cut(capital(why), _NOTE_ROOM) if not hours else "",
        ticks=_ticks(frame),
        title=", ".join(filter(None, [name, score.verdict, hours, why])),
        told=told or (f"{capital(why)}." if why else ""),
    )


def _ticks(frame: Frame) -> tuple[Tick, ...]:
    hours = range(frame.first_h, frame.last_h + 1)
    return tuple(
        Tick(x=frame.x(hour), hour=f"{hour:02d}") for hour in hours if hour % _TICK_EVERY_H == 0
    )


def _columns(score: WindowScore, view: View, frame: Frame) -> list[tuple[float, float, float]]:
    """Left, right and top of each hour of the run; one flat column where hours are not scored."""
    if score.start is None or score.end is None:
        return []
    tz, hour = view.tz(score), timedelta(hours=1)
    spans: Sequence[tuple[datetime, datetime, float]] = [
        (begin, begin + hour, value) for begin, value in score.hour_scores
    ] or [(score.start, score.end, score.score)]
    return [
        (
            frame.x(_clock_h(begin, score.day, tz)),
            frame.x(_clock_h(end, score.day, tz)),
            round(BASE - FULL * value, 1),
        )
        for begin, end, value in spans
    ]


def _path(columns: Sequence[tuple[float, float, float]]) -> str:
    """One closed outline over all columns, so that no seam shows between the hours."""
    if not columns:
        return ""
    steps = [f"V{top:g}H{right:g}" for _, right, top in columns]
    return f"M{columns[0][0]:g} {BASE:g}{''.join(steps)}V{BASE:g}Z"


def _middle(columns: Sequence[tuple[float, float, float]]) -> float:
    """Where the hours stand: above the middle of the bar, inside the drawing."""
    if not columns:
        return WIDTH / 2
    middle = (columns[0][0] + columns[-1][1]) / 2
    return round(min(max(middle, _TEXT_ROOM), WIDTH - _TEXT_ROOM), 1)
