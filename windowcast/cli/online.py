"""``windowcast check --online``: every source is asked for every yard, and the requests counted."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from windowcast.cli.progress import progress_bar
from windowcast.gather import gather
from windowcast.morning import judged
from windowcast.ports import Source
from windowcast.problems import SourceProblem
from windowcast.science.weather import last_told
from windowcast.settings import Settings
from windowcast.settings.summary import SourceAnswer, Trial, YardAnswer, counted
from windowcast.terms.outlook import FORECAST, Answer, Outlook
from windowcast.terms.yard import Yard
from windowcast.times import as_hour
from windowcast.wiring import wire


@dataclass(kw_only=True)
class Asked:
    """A source that repeats what the real one answered, and knows whether it was needed."""

    name: str
    reach_h: int
    answer: Answer
    requests: int
    needed: bool = field(default=False)

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        """The answer that was given before."""
        self.needed = True
        return self.answer


def tried(settings: Settings, now: datetime) -> Trial:
    """Ask every source that the settings name."""
    with progress_bar() as bar:
        wired = wire(settings, bar)
        with wired.fetcher as fetcher:
            return trial_of(wired.desk.sources, lambda: fetcher.requests_made, settings, now)


def trial_of(
    sources: Sequence[Source], requests_made: Callable[[], int], settings: Settings, now: datetime
) -> Trial:
    """Ask every source for every yard, then see what a morning would make of the answers."""
    asked = [_asked(source, requests_made, settings.yards, now) for source in sources]
    age = settings.practice.age
    gathered = gather(asked, settings.yards, age, now, settings.outfit.tz)
    _, blind = judged(gathered, settings.outfit.crews, settings.practice, now)
    return Trial(
        sources=tuple(_told(source, settings.yards, now) for source in asked),
        requests_of_a_morning=sum(source.requests for source in asked if source.needed),
        blind={yard.key: yard.why for yard in blind},
    )


def trial_lines(trial: Trial) -> Iterator[str]:
    """What came of it, as lines for a person."""
    for source in trial.sources:
        yield f"{source.name}: {counted(source.requests, 'request')}"
        width = max((len(yard.key) for yard in source.yards), default=0)
        yield from (f"  {yard.key:<{width}}  {_answer_words(yard)}" for yard in source.yards)
        yield from (f"  {remark}" for remark in source.remarks)
    yield f"a morning costs at most {counted(trial.requests_of_a_morning, 'request')}"
    yield from (f"blind: {key}: {why}" for key, why in trial.blind.items())


def _asked(
    source: Source, requests_made: Callable[[], int], yards: Sequence[Yard], now: datetime
) -> Asked:
    before = requests_made()
    try:
        answer = source.outlooks(yards, now)
    except SourceProblem as problem:
        answer = Answer(trouble={yard.key: str(problem) for yard in yards})
    return Asked(
        name=source.name,
        reach_h=source.reach_h,
        answer=answer,
        requests=requests_made() - before,
    )


def _told(source: Asked, yards: Sequence[Yard], now: datetime) -> SourceAnswer:
    answer = source.answer
    return SourceAnswer(
        name=source.name,
        requests=source.requests,
        yards=tuple(_yard_answer(yard.key, answer, now) for yard in yards),
        remarks=answer.remarks,
    )


def _yard_answer(key: str, answer: Answer, now: datetime) -> YardAnswer:
    forecast = answer.outlooks.get(key)
    issued = _issued_at(forecast)
    return YardAnswer(
        key=key,
        issued_at=issued.isoformat() if issued else None,
        age_h=round((now - issued).total_seconds() / 3600, 1) if issued else None,
        hours_ahead=_hours_ahead(forecast, now),
        past_hours=_past_hours((forecast, answer.pasts.get(key)), now),
        trouble=answer.trouble.get(key),
    )


def _issued_at(forecast: Outlook | None) -> datetime | None:
    origins = forecast.origins if forecast else ()
    return min((o.issued_at for o in origins if o.kind == FORECAST and o.issued_at), default=None)


def _hours_ahead(forecast: Outlook | None, now: datetime) -> int:
    last = None if forecast is None else last_told(forecast)
    return 0 if last is None else max(0, int((last - as_hour(now)).astype(int)) + 1)


def _past_hours(outlooks: Sequence[Outlook | None], now: datetime) -> int:
    """Hours before now for which any of the outlooks tells anything."""
    hours = {
        int(hour.astype(int))
        for outlook in outlooks
        if outlook is not None
        for hour in outlook.hours[(outlook.origin_of_hour >= 0) & (outlook.hours < as_hour(now))]
    }
    return len(hours)


def _answer_words(yard: YardAnswer) -> str:
    words = []
    if yard.hours_ahead:
        age = "" if yard.age_h is None else f", {yard.age_h:g} h old"
        words.append(f"forecast for {counted(yard.hours_ahead, 'hour')}{age}")
    if yard.past_hours:
        words.append(f"{counted(yard.past_hours, 'hour')} of the past")
    if yard.trouble:
        words.append(yard.trouble)
    return "; ".join(words) or "nothing"
