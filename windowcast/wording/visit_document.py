"""The JSON documents of ``windowcast visit`` and ``windowcast visits``."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any, Literal

from pydantic import BaseModel, Field

from windowcast.terms.rounds import RoundDue
from windowcast.terms.visit import Visit, VisitWeather
from windowcast.wording import clock
from windowcast.wording.part import DocumentPart
from windowcast.wording.plain import sound
from windowcast.wording.rounds_document import RoundDocument, round_document

UTC_NAME = "UTC"


class TreatedDocument(DocumentPart):
    """Colonies of one kind that were treated."""

    kind: Literal["doubles", "singles", "nucs", "nucs_above"]
    colonies: int = Field(ge=1)
    grams: float | None = Field(description="For all of them; null where not told.")


class VisitWeatherDocument(DocumentPart):
    """The weather of an hour, in SI; null is not told."""

    hour: str = Field(description="Start, ISO 8601 with the yard's offset.")
    source: str
    temp_c: float | None
    dewpoint_c: float | None
    wind_mps: float | None
    wind_from_deg: float | None
    rain_mm: float | None
    cloud_frac: float | None


class VisitDocument(DocumentPart):
    """A treatment that was done."""

    number: int = Field(ge=1, description="The number that the book gave it.")
    day: date = Field(description="Day on the yard's calendar.")
    began_at: str | None = Field(description="ISO 8601 with the yard's offset.")
    yard: str
    yard_name: str
    state: str
    round: int = Field(ge=1)
    colonies: int | None = Field(description="In all; null where they were not counted.")
    grams: float | None = Field(description="In all; null where those of a kind are not told.")
    of_colonies: int | None = Field(
        description="Colonies of the yard when it was booked; null where nobody counted."
    )
    whole: bool = Field(description="The round is whole with it, whatever the counts say.")
    treated: tuple[TreatedDocument, ...]
    product: str
    registration: str
    crew: str
    person: str
    note: str
    weather: VisitWeatherDocument | None
    logged_at: str


class VisitsDocument(DocumentPart):
    """Visits by day, then as they were logged."""

    schema_version: Literal[1]
    season: int | None = Field(description="Year in which it began; null for all seasons.")
    yard: str | None = Field(description="Key of the one yard that was asked for.")
    visits: tuple[VisitDocument, ...]


class BookedDocument(DocumentPart):
    """A visit that was booked just now."""

    schema_version: Literal[1]
    visit: VisitDocument
    done_share: float = Field(ge=0, le=1, description="Share of the yard that has the round now.")
    next: RoundDocument = Field(description="What is due at the yard now.")
    no_weather: str | None = Field(description="Why the visit was kept without weather.")


def visit_document(visit: Visit, tz: str | None) -> VisitDocument:
    """The document of a visit of the book; ``tz`` is the yard's, None where it is not known."""
    zone = tz or UTC_NAME
    texts = {
        name: sound(getattr(visit, name))
        for name in ("yard_name", "state", "product", "registration", "crew", "person", "note")
    }
    return VisitDocument.model_validate(
        {
            "number": visit.number,
            "day": visit.day,
            "began_at": _iso(visit.began_at, zone),
            "yard": sound(visit.yard_key),
            "round": visit.round_no,
            "colonies": visit.colonies,
            "grams": visit.acid_g,
            "of_colonies": visit.of_colonies,
            "whole": visit.whole,
            "treated": tuple(
                TreatedDocument.model_validate(
                    {"kind": item.kind, "colonies": item.colonies, "grams": item.acid_g}
                )
                for item in visit.treated
            ),
            "weather": visit.weather and _weather(visit.weather, zone),
            "logged_at": _iso(visit.logged_at, zone),
            **texts,
        }
    )


def _weather(weather: VisitWeather, tz: str) -> VisitWeatherDocument:
    return VisitWeatherDocument(
        hour=clock.iso(weather.hour, tz),
        source=sound(weather.source),
        temp_c=weather.temp_c,
        dewpoint_c=weather.dewpoint_c,
        wind_mps=weather.wind_mps,
        wind_from_deg=weather.wind_from_deg,
        rain_mm=weather.rain_mm,
        cloud_frac=weather.cloud_frac,
    )


def _iso(moment: datetime | None, tz: str) -> str | None:
    return clock.iso(moment, tz) if moment else None


def visits_document_text(
    visits: Iterable[Visit], zones: Mapping[str, str], *, season: int | None, yard: str | None
) -> str:
    """The document of a list of visits as JSON text."""
    return _text(
        VisitsDocument(
            schema_version=1,
            season=season,
            yard=None if yard is None else sound(yard),
            visits=tuple(visit_document(v, zones.get(v.yard_key)) for v in visits),
        )
    )


def booked_document_text(
    visit: Visit, tz: str, done_frac: float, due: RoundDue, no_weather: str
) -> str:
    """The document of a visit that was booked just now as JSON text."""
    return _text(
        BookedDocument(
            schema_version=1,
            visit=visit_document(visit, tz),
            done_share=round(done_frac, 6),
            next=round_document(due, visit.day),
            no_weather=sound(no_weather) or None,
        )
    )


def _text(document: BaseModel) -> str:
    return json.dumps(document.model_dump(mode="json"), indent=2, allow_nan=False) + "\n"


def visit_schemas() -> dict[str, dict[str, Any]]:
    """JSON Schema of the documents that ``visit --json`` and ``visits --json`` print."""
    return {
        "visit": BookedDocument.model_json_schema(mode="serialization"),
        "visits": VisitsDocument.model_json_schema(mode="serialization"),
    }
