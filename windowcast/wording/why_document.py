"""The JSON document of ``windowcast why``: one yard-day laid open."""

from __future__ import annotations

import json
from datetime import date
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from windowcast.terms.advice import HourScore, Part
from windowcast.terms.practice import Practice
from windowcast.wording import clock
from windowcast.wording.account import SECTIONS, Account, day_sentences, standing, zone_of
from windowcast.wording.document import Verdict
from windowcast.wording.plain import sound
from windowcast.wording.scale import scale_of
from windowcast.wording.thresholds import thresholds

_DECIMALS = 6


class _Piece(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class PartDocument(_Piece):
    """One part of an hour's score, in SI."""

    code: str
    value: float | None
    unit: str
    credit: float | None = Field(description="0 stops the work, 1 costs nothing.")


class HourDocument(_Piece):
    """One hour of the day."""

    hour: str = Field(description="Start, ISO 8601 with the yard's offset.")
    score: float | None = Field(description="Product of the credits.")
    working: bool = Field(description="In working hours and in daylight.")
    usable: bool
    standing: str = Field(description="Whether the hour counts, and if not, why.")
    source: str | None
    parts: tuple[PartDocument, ...]


class ThresholdDocument(_Piece):
    """One threshold that the score rests on."""

    key: str
    value: str
    default: str | None = Field(description="Null where the outfit keeps the default.")
    says: str
    grade: str
    source: str


class WhyDocument(_Piece):
    """Every part of a yard-day's score."""

    schema_version: Literal[1]
    key: str
    name: str
    zone: str
    day: date
    verdict: Verdict
    score: float
    start: str | None
    end: str | None
    usable_hours: int
    limited_by: str | None
    caps: tuple[str, ...]
    sentences: tuple[str, ...] = Field(description="How the hours made the day.")
    hours: tuple[HourDocument, ...]
    thresholds: tuple[ThresholdDocument, ...]


def why_schema() -> dict[str, Any]:
    """JSON Schema of the document that ``windowcast why --json`` prints."""
    return WhyDocument.model_json_schema(mode="serialization")


def why_document_text(account: Account, practice: Practice, units: str = "us") -> str:
    """The document as JSON text in plain ASCII, ending in a line feed."""
    content = why_document(account, practice, units).model_dump(mode="json")
    return json.dumps(content, indent=2, allow_nan=False) + "\n"


def why_document(account: Account, practice: Practice, units: str = "us") -> WhyDocument:
    """Every part of a yard-day's score; ``units`` are those of sentences and thresholds."""
    score, tz = account.score, zone_of(account)
    return WhyDocument(
        schema_version=1,
        key=sound(account.yard.key),
        name=sound(account.yard.name),
        zone=tz,
        day=score.day,
        verdict=score.verdict,
        score=round(score.score, _DECIMALS),
        start=clock.iso(score.start, tz) if score.start else None,
        end=clock.iso(score.end, tz) if score.end else None,
        usable_hours=score.usable_hours,
        limited_by=score.limited_by,
        caps=score.caps,
        sentences=tuple(day_sentences(account, practice)),
        hours=tuple(_hour(hour, account, practice) for hour in account.hours),
        thresholds=tuple(
            ThresholdDocument(
                key=item.key, value=item.value, default=item.default, says=item.says,
                grade=item.grade, source=item.source,
            )
            for item in thresholds(practice, SECTIONS, scale_of(units))
        ),
    )  # fmt: skip


def _hour(hour: HourScore, account: Account, practice: Practice) -> HourDocument:
    return HourDocument(
        hour=clock.iso(hour.hour, zone_of(account)),
        score=_rounded(hour.score),
        working=hour.working,
        usable=hour.usable,
        standing=standing(hour, account.score, practice) if hour.working else "no: not at work",
        source=sound(hour.origin.name) if hour.origin else None,
        parts=tuple(_part(part) for part in hour.parts),
    )


def _part(part: Part) -> PartDocument:
    return PartDocument(
        code=part.code, value=_rounded(part.value), unit=part.unit, credit=_rounded(part.credit)
    )


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, _DECIMALS)
