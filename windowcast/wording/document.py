"""The JSON document of a morning: its one definition, and the one place that fills it.

Keys are a public contract: later versions add some, none goes away. Numbers are rounded here.
"""

from __future__ import annotations

import json
from datetime import date
from typing import Any, Literal

from pydantic import Field

from windowcast.terms.advice import Advice, Morning, OutfitDay, WindowScore
from windowcast.terms.outlook import Origin
from windowcast.terms.yard import Yard
from windowcast.units import c_to_f
from windowcast.wording import clock, days, gist, provenance
from windowcast.wording.cautions import caution_sentences
from windowcast.wording.hazards import hazard_words
from windowcast.wording.part import DocumentPart
from windowcast.wording.plain import capital, sound
from windowcast.wording.reasons import reason_of
from windowcast.wording.rounds_document import (
    RoundDocument,
    RoundTotalDocument,
    round_document,
    total_document,
)
from windowcast.wording.scale import tenth
from windowcast.wording.view import View, view_of
from windowcast.wording.wind import letters, stand

_SCORE_DECIMALS = 6

Verdict = Literal["good", "workable", "poor", "blind"]
Letters = Literal["N", "NE", "E", "SE", "S", "SW", "W", "NW"]


class DayDocument(DocumentPart):
    """One calendar day over all yards."""

    day: date = Field(description="Calendar day, by each yard's own clock.")
    rank: int = Field(ge=1, description="1 is the best day.")
    score: float = Field(ge=0, le=1, description="Mean of the yards' scores by colonies.")
    verdict: Verdict
    yards_served: int = Field(ge=0, description="Yards that are good or workable.")
    reason: str = Field(description="Why the day stands where it stands, one sentence.")
    limited_by: str | None = Field(description="Part of the score that costs most, if any.")
    blind: tuple[str, ...] = Field(description="Keys of yards without a forecast for the day.")


class YardDayDocument(DocumentPart):
    """One yard on one day."""

    day: date
    score: float = Field(ge=0, le=1)
    verdict: Verdict
    start: str | None = Field(description="ISO 8601 with the yard's offset; null without a run.")
    end: str | None
    usable_hours: int = Field(ge=0, description="Hours of the run.")
    limited_by: str | None
    temp_low_f: float | None = Field(description="Coldest hour of the run.")
    temp_high_f: float | None = Field(description="Warmest hour of the run.")
    temp_low_c: float | None
    temp_high_c: float | None
    wind_from_deg: float | None = Field(description="Where the wind comes from, from north.")
    wind_from: Letters | None = Field(description="The same as a compass point.")
    wind_mps: float | None
    gust_mps: float | None
    wind_turns_at: str | None = Field(description="When the wind has left that side.")
    stand: str | None = Field(description="The side to stand on, in words.")
    reason: str | None = Field(description="What stands against the day, in words.")
    caps: tuple[str, ...] = Field(description="Why the day is at most workable.")
    ice: bool
    hazards: tuple[str, ...] = Field(description="Official hazards that touch the run.")


class YardDocument(DocumentPart):
    """One yard with its days in calendar order; no days for a blind yard."""

    key: str
    name: str
    zone: str
    colonies: int = Field(ge=0)
    days: tuple[YardDayDocument, ...]


class BlindDocument(DocumentPart):
    """A yard without a usable forecast."""

    key: str
    why: str


class SourceDocument(DocumentPart):
    """How much of the morning rests on a source, and how old it is."""

    name: str
    issued_at: str | None
    hours: int = Field(ge=0)
    age_h: float | None
    kind: Literal["forecast", "past"]
    detail: str
    derived: tuple[str, ...] = Field(description="Arrays that were worked out and not told.")
    spread: bool = Field(description="Daily values were spread over the hours.")
    credit: str | None
    kept: bool = Field(description="Told by the book, as no service answered.")


class MorningDocument(DocumentPart):
    """Everything that one morning says."""

    schema_version: Literal[1]
    issued_at: str = Field(description="When this was worked out, ISO 8601 with offset.")
    outfit: str
    zone: str
    headline: str = Field(description="Go today or not, in one sentence.")
    verdict_today: Verdict | None = Field(description="Null where no yard has a round due.")
    days: tuple[DayDocument, ...] = Field(description="Best first.")
    yards: tuple[YardDocument, ...]
    blind: tuple[BlindDocument, ...]
    rounds: tuple[RoundDocument, ...] = Field(description="By the calendar, in the yards' order.")
    season: tuple[RoundTotalDocument, ...]
    sources: tuple[SourceDocument, ...]
    cautions: tuple[str, ...] = Field(description="Label and local law first.")
    remarks: tuple[str, ...]
    beyond: str | None = Field(description="One sentence about the days after the last ranked.")
    scope: str = Field(description="What this is about, and what it leaves to people.")


def morning_schema() -> dict[str, Any]:
    """JSON Schema of the document that ``windowcast morning --json`` prints."""
    return MorningDocument.model_json_schema(mode="serialization")


def morning_document(morning: Morning, units: str = "us") -> MorningDocument:
    """The document of a morning; ``units`` are those of its sentences."""
    view = view_of(morning, units)
    return MorningDocument(
        schema_version=1,
        issued_at=clock.iso(morning.issued_at, morning.tz),
        outfit=sound(morning.outfit),
        zone=morning.tz,
        headline=gist.decision(view),
        verdict_today=_verdict_today(view),
        days=tuple(_day(view, day) for day in sorted(morning.days, key=lambda day: day.rank)),
        yards=tuple(_yard(view, yard) for yard in _all_yards(morning)),
        blind=tuple(
            BlindDocument(key=sound(key), why=sound(why)) for key, why in view.blind.items()
        ),
        rounds=tuple(round_document(item, view.today) for item in morning.rounds),
        season=tuple(total_document(item) for item in morning.totals),
        sources=tuple(
            _source(use.origin, use.hours, use.age_h, morning.tz) for use in morning.sources
        ),
        cautions=caution_sentences(morning.cautions),
        remarks=tuple(provenance.remark_sentences(view)),
        beyond=days.beyond(view),
        scope=gist.SCOPE,
    )


def document_text(morning: Morning, units: str = "us") -> str:
    """The document as JSON text in plain ASCII, ending in a line feed."""
    content = morning_document(morning, units).model_dump(mode="json")
    return json.dumps(content, indent=2, allow_nan=False) + "\n"


def _all_yards(morning: Morning) -> tuple[Yard, ...]:
    """The yards of the file, with what the services told about them where there is advice."""
    advised: dict[str, Advice] = {item.yard.key: item for item in morning.advice}
    return tuple(advised[y.key].yard if y.key in advised else y for y in morning.yards)


def _verdict_today(view: View) -> Any:
    unranked = "blind" if view.due_on(view.today) else None
    return next((day.verdict for day in view.morning.days if day.day == view.today), unranked)


def _day(view: View, day: OutfitDay) -> DayDocument:
    return DayDocument(
        day=day.day,
        rank=day.rank,
        score=_score(day.score),
        verdict=day.verdict,
        yards_served=len(day.served),
        reason=days.day_sentence(view, day),
        limited_by=day.limited_by,
        blind=tuple(sound(key) for key in view.unseen(day.day)),
    )


def _yard(view: View, yard: Yard) -> YardDocument:
    return YardDocument(
        key=sound(yard.key),
        name=sound(yard.name),
        zone=view.zones[yard.key],
        colonies=yard.colonies,
        days=tuple(_yard_day(view, score) for score in view.by_key.get(yard.key, {}).values()),
    )


def _yard_day(view: View, score: WindowScore) -> YardDayDocument:
    tz, reason, turn = view.tz(score), reason_of(score, view), next(iter(score.wind_turns), None)
    return YardDayDocument(
        day=score.day,
        score=_score(score.score),
        verdict=score.verdict,
        start=clock.iso(score.start, tz) if score.start else None,
        end=clock.iso(score.end, tz) if score.end else None,
        usable_hours=score.usable_hours,
        limited_by=score.limited_by,
        temp_low_f=_tenth_f(score.temp_low_c),
        temp_high_f=_tenth_f(score.temp_high_c),
        temp_low_c=tenth(score.temp_low_c),
        temp_high_c=tenth(score.temp_high_c),
        wind_from_deg=_bearing(score.wind_from_deg),
        wind_from=letters(score.wind_from_deg) if score.wind_from_deg is not None else None,
        wind_mps=tenth(score.wind_mps),
        gust_mps=tenth(score.gust_mps),
        wind_turns_at=clock.iso(turn.hour, tz) if turn else None,
        stand=f"{capital(stand(score, tz))}." if score.start else None,
        reason=f"{capital(reason.phrase)}." if reason else None,
        caps=score.caps,
        ice=score.ice,
        hazards=tuple(dict.fromkeys(hazard_words(hazard) for hazard in score.hazards)),
    )


def _tenth_f(temp_c: float | None) -> float | None:
    return None if temp_c is None else tenth(c_to_f(temp_c))


def _bearing(from_deg: float | None) -> float | None:
    return None if from_deg is None else round(from_deg, 1) % 360.0


def _score(score: float) -> float:
    return round(score, _SCORE_DECIMALS) + 0.0


def _source(origin: Origin, hours: int, age_h: float | None, tz: str) -> SourceDocument:
    return SourceDocument(
        name=sound(origin.name),
        issued_at=clock.iso(origin.issued_at, tz) if origin.issued_at else None,
        hours=hours,
        age_h=tenth(age_h),
        kind=origin.kind,
        detail=sound(origin.detail),
        derived=tuple(sorted(origin.derived)),
        spread=origin.spread,
        credit=sound(origin.credit) if origin.credit else None,
        kept=origin.kept,
    )
