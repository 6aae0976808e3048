"""The days of a morning, best first: a line and a sentence for each."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from windowcast.terms.advice import LAST_LEAD_DAY, OutfitDay
from windowcast.wording import clock
from windowcast.wording.alarms import watch
from windowcast.wording.gist import envelope, share
from windowcast.wording.plain import capital, listed, plural
from windowcast.wording.reasons import against, broad, numbers
from windowcast.wording.view import View

_REASON_ROOM = 160


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """One ranked day in words."""

    day: date
    rank: int
    name: str
    verdict: str
    share: str
    hours: str
    why: tuple[str, ...]
    left: str
    watch: tuple[str, ...]
    sentence: str


def day_lines(view: View) -> list[DayLine]:
    """Every ranked day, best first."""
    return [_day_line(view, day) for day in sorted(view.morning.days, key=lambda day: day.rank)]


def _day_line(view: View, day: OutfitDay) -> DayLine:
    return DayLine(
        day=day.day,
        rank=day.rank,
        name=clock.day_words(day.day) + (" today" if day.day == view.today else ""),
        verdict=day.verdict,
        share=share(view, day) if day.served else "no yard",
        hours=envelope(view, view.served(day)) if day.served else "",
        why=tuple(_left_out(view, day) if day.served else _nobody(view, day)),
        left=f"{view.due_on(day.day) - len(view.served(day))} left out",
        watch=tuple(_alarms(view, day)),
        sentence=day_sentence(view, day),
    )


def _left_out(view: View, day: OutfitDay) -> list[str]:
    told = [f"{len(scores)} {phrase}" for phrase, scores in broad(view.of_day(day.day), view)]
    return [*told, *_blind(view, day)]


def _blind(view: View, day: OutfitDay) -> list[str]:
    dark = len(view.unseen(day.day))
    return [f"{dark} blind"] if dark else []


def _alarms(view: View, day: OutfitDay) -> list[str]:
    """Thunder, ice and official hazards of a day: in the runs, or in the day where nobody goes."""
    scores = view.served(day) if day.served else view.of_day(day.day)
    return [f"{named.phrase} at {len(named.keys)}" for named in watch(scores)]


def _nobody(view: View, day: OutfitDay) -> list[str]:
    reasons = broad(view.of_day(day.day), view)
    if len(reasons) == 1:
        phrase, scores = reasons[0]
        why = f"{phrase}{numbers(scores[0].limited_by or '', scores, view)}"
        return [why, *_blind(view, day)]
    return _left_out(view, day)


def day_sentence(view: View, day: OutfitDay) -> str:
    """Why a day stands where it stands, in one sentence."""
    if not day.served:
        reasons = against(view.of_day(day.day), view)
        told = [
            f"{reason.phrase}{numbers(reason.code, scores, view)} at {plural(len(scores), 'yard')}"
            for reason, scores in reasons
        ]
        dark = len(view.unseen(day.day))
        told += [f"{plural(dark, 'yard')} blind"] if dark else []
        told += _alarms(view, day)
        return f"No yard can be treated: {listed(told, _REASON_ROOM)}."
    offer = f"{share(view, day)} can be treated, {envelope(view, view.served(day))}"
    left = _left_out(view, day)
    rest = f"; left out: {listed(left, _REASON_ROOM)}" if left else ""
    alarms = _alarms(view, day)
    rest += f"; watch: {listed(alarms, _REASON_ROOM)}" if alarms else ""
    return f"{capital(offer)}{rest}."


def beyond(view: View) -> str | None:
    """One sentence about the days after the last ranked one."""
    if not view.morning.days:
        return None
    last = max(day.day for day in view.morning.days)
    if last >= view.today + timedelta(days=LAST_LEAD_DAY):
        return f"Days after {clock.day_words(last)} are too far off to rank."
    return f"No forecast reaches past {clock.day_words(last)}."
