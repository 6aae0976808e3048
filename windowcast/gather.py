"""Ask the sources in order until every yard has an outlook, and say who could not help.

A yard takes the first source that answers with a forecast young enough; hours beyond its reach
come from the next that reaches further; hours before it from records of the past, then from the
book. A yard for which no source has a forecast falls back on the one kept in the book, if that is
young enough. What fails is one sentence for the yard; nothing here raises for one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import numpy as np

from windowcast.ports import Memory, Source
from windowcast.problems import SourceProblem
from windowcast.science.distance import MOVED_KM, distance_km
from windowcast.science.weather import has_gap, join, last_told, with_sunshine
from windowcast.terms.advice import LAST_LEAD_DAY, Blind
from windowcast.terms.kept import KeptOutlook
from windowcast.terms.outlook import FORECAST, PAST, Answer, Outlook
from windowcast.terms.practice import AgePractice
from windowcast.terms.yard import Place, Yard
from windowcast.times import as_hour, hour_index, local_date, local_day_bounds, zone

PAST_H = 30 * 24  # how far back the book is asked: what the ground remembers
ANY_AGE = timedelta(days=400)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """What the sources gave: yards with zone and outlook side by side, and the blind ones.

    ``kept_keys`` are yards whose forecast is the one that was kept in the book.
    """

    yards: tuple[Yard, ...]
    outlooks: tuple[Outlook, ...]
    blind: tuple[Blind, ...]
    remarks: tuple[str, ...]
    kept_keys: frozenset[str] = frozenset()

    @property
    def places(self) -> dict[str, Place]:
        """Zone, height and position of each yard that has an outlook."""
        return {
            yard.key: Place(
                tz=yard.tz, elev_m=yard.elev_m, lat_deg=yard.lat_deg, lon_deg=yard.lon_deg
            )
            for yard in self.yards
        }


@dataclass(slots=True, kw_only=True)
class _Case:
    """One yard while the sources are asked."""

    yard: Yard
    place: Place = field(default_factory=Place)
    fresh: list[Outlook] = field(default_factory=list)
    old: list[Outlook] = field(default_factory=list)
    pasts: list[Outlook] = field(default_factory=list)
    trouble: list[str] = field(default_factory=list)
    kept_at_age_h: float | None = None

    @property
    def forecasts(self) -> list[Outlook]:
        """Forecasts in order of preference: what is too old for first place goes last."""
        return [*self.fresh, *self.old]

    def placed(self, fallback_tz: str | None) -> Yard:
        """The yard with the zone and height that are known by now."""
        yard, place = self.yard, self.place
        return replace(
            yard,
            tz=yard.tz or place.tz or fallback_tz,
            elev_m=yard.elev_m if yard.elev_m is not None else place.elev_m,
        )


def gather(
    sources: Sequence[Source],
    yards: Sequence[Yard],
    age: AgePractice,
    now: datetime,
    fallback_tz: str | None,
    memory: Memory | None = None,
) -> Gathered:
    """Outlooks of all yards at ``now``, each hour from one source."""
    cases = {yard.key: _Case(yard=yard) for yard in yards}
    remarks: list[str] = []
    for source in sources:
        wanted = [case for case in cases.values() if _wants(case, source, now, fallback_tz)]
        if not wanted:
            continue
        asked = [case.placed(fallback_tz) for case in wanted]
        answer = _ask(source, asked, now)
        remarks.extend(sentence for sentence in answer.remarks if sentence not in remarks)
        for case in wanted:
            _take(case, answer, age, now, source.name)
    if memory is not None:
        for case in cases.values():
            _remember(case, memory, age, now)
    return _sorted_out(list(cases.values()), remarks, fallback_tz, now)


def _ask(source: Source, yards: Sequence[Yard], now: datetime) -> Answer:
    try:
        return source.outlooks(yards, now)
    except SourceProblem as problem:
        return Answer(trouble={yard.key: str(problem) for yard in yards})


def _wants(case: _Case, source: Source, now: datetime, fallback_tz: str | None) -> bool:
    """Whether a source can still add something for a yard."""
    if source.reach_h == 0 or not case.fresh:
        return True
    tz = case.placed(fallback_tz).tz
    if tz is None:
        return True
    last_day = local_date(now, tz) + timedelta(days=LAST_LEAD_DAY)
    wanted_to = as_hour(local_day_bounds(last_day, tz)[1]) - np.timedelta64(1, "h")
    reach = max(hour for outlook in case.fresh if (hour := last_told(outlook)) is not None)
    offered = as_hour(now) + np.timedelta64(source.reach_h, "h")
    further = reach < wanted_to and offered > reach
    return bool(further or has_gap(case.fresh, as_hour(now), min(reach, wanted_to)))


def _take(case: _Case, answer: Answer, age: AgePractice, now: datetime, name: str) -> None:
    key = case.yard.key
    told = answer.places.get(key, Place())
    case.place = Place(
        tz=case.place.tz or _known_zone(told.tz),
        elev_m=case.place.elev_m if case.place.elev_m is not None else told.elev_m,
    )
    if key in answer.pasts:
        case.pasts.append(answer.pasts[key])
    if key in answer.trouble:
        case.trouble.append(answer.trouble[key])
    if key not in answer.outlooks:
        return
    outlook = answer.outlooks[key]
    refusal = _refusal(outlook, _age_h(outlook, now), age, now, name)
    if refusal:
        case.trouble.append(refusal)
    elif _age_h(outlook, now) > age.demote_after_h:
        case.old.append(outlook)
    else:
        case.fresh.append(outlook)


def _remember(case: _Case, memory: Memory, age: AgePractice, now: datetime) -> None:
    """What the book adds: its past behind that of the sources, its forecast where none came."""
    key, first = case.yard.key, as_hour(now) - np.timedelta64(PAST_H, "h")
    kept = memory.outlook_of(key, now - ANY_AGE)
    if kept is None or has_moved(case.yard, kept.place):
        return
    past = memory.hours_of(key, hour_index(first, PAST_H))
    if past is not None:
        case.pasts.append(_as_past(past))
    if case.forecasts or now - kept.issued_at > timedelta(hours=age.stale_after_h):
        return
    told = kept.place
    case.place = Place(
        tz=case.place.tz or _known_zone(told.tz),
        elev_m=case.place.elev_m if case.place.elev_m is not None else told.elev_m,
    )
    outlook = _still_ahead(kept, now - timedelta(hours=age.unusable_after_h))
    refusal = _refusal(outlook, _hours(now - kept.issued_at), age, now, "the book")
    if refusal:
        case.trouble.append(refusal)
        return
    case.fresh, case.kept_at_age_h = [outlook], _hours(now - kept.issued_at)


def _as_past(kept: Outlook) -> Outlook:
    """Kept hours as hours of the past: what was once their forecast is nobody's forecast now."""
    origins = tuple(
        replace(origin, kind=PAST, kept=True, issued_at=None) for origin in kept.origins
    )
    return replace(kept, origins=origins)


def has_moved(yard: Yard, kept: Place) -> bool:
    """Whether what was kept is the weather of a place where the yard no longer stands."""
    if kept.lat_deg is None or kept.lon_deg is None:
        return False
    return distance_km(yard.lat_deg, yard.lon_deg, kept.lat_deg, kept.lon_deg) > MOVED_KM


def _still_ahead(kept: KeptOutlook, issued_from: datetime) -> Outlook:
    """A kept outlook from the hour on in which it was kept, marked; its past is kept by itself.

    Hours from a source that issued them before ``issued_from`` are told no more.
    """
    outlook, first = kept.outlook, as_hour(kept.kept_at)
    begin = int(np.searchsorted(outlook.hours, first))
    usable = [o.issued_at is None or o.issued_at >= issued_from for o in outlook.origins]
    told = np.array([*usable, False])[outlook.origin_of_hour[begin:]]
    return replace(
        outlook,
        hours=outlook.hours[begin:],
        arrays={
            name: np.where(told, array[:, begin:], np.float32(np.nan))
            for name, array in outlook.arrays.items()
        },
        origins=tuple(replace(origin, kept=True) for origin in outlook.origins),
        origin_of_hour=np.where(told, outlook.origin_of_hour[begin:], -1).astype(np.int8),
    )


def _known_zone(tz: str | None) -> str | None:
    """A zone that this machine's tables know, else none: a service may be newer than they are."""
    try:
        return zone(tz).key if tz else None
    except ValueError:
        return None


def _hours(span: timedelta) -> float:
    return span.total_seconds() / 3600


def _age_h(outlook: Outlook, now: datetime) -> float:
    issued = [o.issued_at for o in outlook.origins if o.kind == FORECAST and o.issued_at]
    return max((_hours(now - moment) for moment in issued), default=0.0)


def _refusal(outlook: Outlook, hours_old: float, age: AgePractice, now: datetime, name: str) -> str:
    """Why a forecast cannot be used at all, "" if it can."""
    if hours_old > age.unusable_after_h:
        return (
            f"{name}: the forecast was issued {hours_old:.0f} h ago, more than"
            f" {age.unusable_after_h:g} h; it is not used"
        )
    if hours_old < -age.future_to_h:
        return (
            f"{name}: the forecast says it was issued {-hours_old:.1f} h after now; it is not used:"
            " check this machine's clock, or --at"
        )
    reach = last_told(outlook)
    if reach is None or reach < as_hour(now):
        return f"{name}: the forecast tells no hour with temperature and wind after now"
    return ""


def _sorted_out(
    cases: list[_Case], remarks: list[str], fallback_tz: str | None, now: datetime
) -> Gathered:
    seen: list[tuple[Yard, Outlook]] = []
    blind: list[Blind] = []
    for case in cases:
        yard = case.placed(fallback_tz)
        if case.forecasts and yard.tz:
            whole = with_sunshine(join(case.forecasts, case.pasts), yard)
            seen.append((yard, whole))
            said = [*_replaced(case), *case.trouble, *_stood_back(case)]
            remarks.extend(sentence for sentence in said if sentence not in remarks)
        else:
            blind.append(Blind(key=yard.key, why=_why_blind(case, yard)))
    return Gathered(
        yards=tuple(yard for yard, _ in seen),
        outlooks=tuple(outlook for _, outlook in seen),
        blind=tuple(blind),
        remarks=tuple(remarks),
        kept_keys=frozenset(case.yard.key for case in cases if case.kept_at_age_h is not None),
    )


def _replaced(case: _Case) -> list[str]:
    if case.kept_at_age_h is None:
        return []
    return [
        f"no source has a forecast for every yard; the one kept in the book stands in, issued"
        f" {case.kept_at_age_h:.0f} h ago"
    ]


def _stood_back(case: _Case) -> list[str]:
    """Old forecasts that made way for a fresher one."""
    if not case.fresh:
        return []
    names = dict.fromkeys(outlook.origins[0].name for outlook in case.old)
    return [f"{name}: its forecast is old and stands behind the others" for name in names]


def _why_blind(case: _Case, yard: Yard) -> str:
    if case.forecasts and not yard.tz:
        return 'no source tells its time zone; set zone = "America/..." in outfit.toml'
    return "; ".join(case.trouble) or "no source has a forecast for it"
