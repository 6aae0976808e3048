"""One morning: weather in, advice out. Whoever reads ``run_morning`` knows the service."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

import numpy as np

from windowcast.advise import advise
from windowcast.explain import explained
from windowcast.gather import Gathered, gather
from windowcast.planning.cautions import cautions_for
from windowcast.planning.lead_days import is_lead_day, ranked_span
from windowcast.planning.ranking import ranked_days
from windowcast.planning.rounds import rounds_due, season_totals, treatment_of
from windowcast.ports import Memory, Source
from windowcast.problems import NoForecast, NotJudged
from windowcast.terms.advice import (
    BLIND,
    Advice,
    Blind,
    HourScore,
    Morning,
    SourceUse,
    WindowScore,
)
from windowcast.terms.outlook import FORECAST, Batch, stack
from windowcast.terms.practice import Practice
from windowcast.terms.rounds import RoundDue, RoundTotal
from windowcast.terms.yard import Crew, Label, Yard
from windowcast.times import as_hour, local_date, season_of

BLOCK_YARDS = 64  # bounds memory; the advice does not depend on it


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Everything a morning needs, wired once."""

    outfit: str
    tz: str | None
    yards: tuple[Yard, ...]
    crews: tuple[Crew, ...]
    practice: Practice
    sources: tuple[Source, ...]
    label: Label = field(default_factory=Label)
    memory: Memory | None = None


def run_morning(desk: Desk, now: datetime) -> Morning:
    """The whole morning at ``now``. Raises NoForecast where every yard is blind."""
    return morning_from(desk, look_out(desk, now), now)


def look_out(desk: Desk, now: datetime) -> Gathered:
    """What the sources and the book tell about every yard at ``now``."""
    return gather(desk.sources, desk.yards, desk.practice.age, now, desk.tz, desk.memory)


def morning_from(desk: Desk, gathered: Gathered, now: datetime) -> Morning:
    """The morning of what was gathered. Raises NoForecast where every yard is blind."""
    if not gathered.yards:
        raise NoForecast(_no_forecast(gathered.blind))
    advice, blind = judged(gathered, desk.crews, desk.practice, now)
    if not advice:
        raise NoForecast(_no_forecast(blind))
    tz = _main_zone(desk, gathered.yards)
    rounds, totals = _rounds(desk, gathered.yards, tz, now)
    days = ranked_days(advice, desk.practice.day, since=local_date(now, tz), rounds=rounds)
    cautions = cautions_for(
        advice,
        days,
        today=local_date(now, tz),
        practice=desk.practice,
        rain_before_mm=_rain_before_mm(gathered, now),
    )
    return Morning(
        issued_at=now,
        outfit=desk.outfit,
        tz=tz,
        yards=desk.yards,
        crews=desk.crews,
        advice=advice,
        days=days,
        blind=blind,
        sources=sources_used(advice, now),
        cautions=cautions,
        remarks=gathered.remarks,
        practice=desk.practice,
        rounds=rounds,
        totals=totals,
    )


def _rounds(
    desk: Desk, placed: Sequence[Yard], tz: str, now: datetime
) -> tuple[tuple[RoundDue, ...], tuple[RoundTotal, ...]]:
    """The next round of every yard by the calendar, and the season so far."""
    known = {yard.key: yard for yard in desk.yards}
    zones = {yard.key: yard.tz for yard in (*desk.yards, *placed)}
    visits = desk.memory.visits() if desk.memory else ()
    done = [treatment_of(v, known[v.yard_key]) for v in visits if v.yard_key in known]
    todays = {key: local_date(now, zones[key] or tz) for key in known}
    rounds = rounds_due(todays, done, desk.practice.rounds, desk.label)
    season = season_of(local_date(now, tz))
    return rounds, season_totals(list(known), done, season, desk.practice.rounds)


def judged(
    gathered: Gathered, crews: Sequence[Crew], practice: Practice, now: datetime
) -> tuple[tuple[Advice, ...], tuple[Blind, ...]]:
    """Advice for the yards that see a working hour ahead, and every yard that does not."""
    everyone = [
        item
        for batch, days in batches(gathered, now)
        for item in advise(batch, days, crews, practice, now)
    ]
    blinded = [_blinded(item) for item in everyone if sees_nothing(item)]
    return tuple(item for item in everyone if not sees_nothing(item)), (*gathered.blind, *blinded)


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """One yard-day laid open: its score and every hour with its parts."""

    yard: Yard
    score: WindowScore
    hours: tuple[HourScore, ...]


def explain_day(desk: Desk, yard: Yard, day_there: Callable[[str], date], now: datetime) -> Account:
    """Every hour of a yard's day. ``day_there`` names the day once the yard's zone is known.

    Raises NoForecast where the yard is blind, NotJudged for a day outside lead days 0 to 9.
    """
    gathered = gather(desk.sources, (yard,), desk.practice.age, now, desk.tz, desk.memory)
    if not gathered.yards:
        raise NoForecast(_no_forecast(gathered.blind))
    placed = gathered.yards[0]
    day = day_there(str(placed.tz))
    batch, days = next(batches(gathered, now))
    if not is_lead_day(day, placed, now):
        raise NotJudged(
            f"{day.isoformat()} is not one of the days that are judged; choose one from"
            f" {days[0].isoformat()} to {days[-1].isoformat()}"
        )
    score = advise(batch, (day,), desk.crews, desk.practice, now)[0].scores[0]
    return Account(
        yard=placed, score=score, hours=explained(batch, day, desk.crews, desk.practice, now)
    )


def batches(gathered: Gathered, now: datetime) -> Iterator[tuple[Batch, tuple[date, ...]]]:
    """Blocks of yards on the hours and days that are ranked."""
    if not gathered.yards:
        return
    hours, days = ranked_span(gathered.yards, now)
    for begin in range(0, len(gathered.yards), BLOCK_YARDS):
        block = slice(begin, begin + BLOCK_YARDS)
        yield stack(gathered.yards[block], gathered.outlooks[block], hours), days


def sources_used(advice: Sequence[Advice], now: datetime) -> tuple[SourceUse, ...]:
    """Each source with the most hours that a yard took from it, and its oldest issue time."""
    uses: dict[tuple[bool, bool, str], SourceUse] = {}
    for item in advice:
        for origin, hours in zip(item.origins, item.hours_by_origin, strict=True):
            key = (origin.kind != FORECAST, origin.kept, origin.name)
            age = (
                None
                if origin.issued_at is None
                else (now - origin.issued_at).total_seconds() / 3600
            )
            use = SourceUse(origin=origin, hours=hours, age_h=age)
            uses[key] = _merged(uses[key], use) if key in uses else use
    return tuple(uses[key] for key in sorted(uses, key=lambda k: k[:2]))


def _merged(one: SourceUse, other: SourceUse) -> SourceUse:
    oldest = max(one, other, key=lambda use: -1e9 if use.age_h is None else use.age_h)
    return SourceUse(origin=oldest.origin, hours=max(one.hours, other.hours), age_h=oldest.age_h)


def _rain_before_mm(gathered: Gathered, now: datetime) -> dict[str, float]:
    """Rain told for the 24 hours before now by yard, where any hour of them is told."""
    end = as_hour(now)
    fallen = {}
    for yard, outlook in zip(gathered.yards, gathered.outlooks, strict=True):
        lately = (outlook.hours >= end - np.timedelta64(24, "h")) & (outlook.hours < end)
        rain = outlook.arrays["rain_mm"][0, lately]
        if np.isfinite(rain).any():
            fallen[yard.key] = float(np.nansum(rain.astype(np.float64)))
    return fallen


def _main_zone(desk: Desk, yards: Sequence[Yard]) -> str:
    """The clock of the notice: the outfit's own, else that of most of its yards."""
    if desk.tz:
        return desk.tz
    return Counter(str(yard.tz) for yard in yards).most_common(1)[0][0]


def sees_nothing(item: Advice) -> bool:
    """Whether no day on which somebody can still work there has a told hour."""
    open_days = [score for score in item.scores if score.ahead_h > 0]
    return bool(open_days) and all(score.verdict == BLIND for score in open_days)


def _blinded(item: Advice) -> Blind:
    names = " and ".join(dict.fromkeys(o.name for o in item.origins if o.kind == FORECAST))
    return Blind(
        key=item.yard.key,
        why=f"{names}: no working hour ahead has both temperature and wind",
    )


def _no_forecast(yards: Sequence[Blind]) -> str:
    reasons = Counter(blind.why for blind in yards).most_common()
    whom = f"any of {len(yards)} yards" if len(yards) > 1 else "the one yard"
    shown = "\n".join(
        f"  {count} yards: {why}" if count > 1 else f"  {why}" for why, count in reasons[:5]
    )
    more = f"\n  and {len(reasons) - 5} more reasons" if len(reasons) > 5 else ""
    return f"no usable forecast for {whom}:\n{shown}{more}"
