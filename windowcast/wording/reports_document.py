"""The JSON document of ``windowcast reports`` and ``seen``: what people saw, in SI."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any, Literal

from pydantic import Field

from windowcast.terms.report import Report
from windowcast.wording import clock
from windowcast.wording.part import DocumentPart
from windowcast.wording.plain import sound
from windowcast.wording.reports import kind_of, seen_words
from windowcast.wording.scale import SI


class ReportDocument(DocumentPart):
    """One report; a field is null where it has no meaning for its kind, or was not told."""

    number: int | None
    yard: str
    at: str = Field(description="When it was seen, ISO 8601 with the yard's offset.")
    kind: Literal["brood", "pollen", "mites", "road", "rain", "bloom"]
    words: str = Field(description="What was seen, as people say it, in SI.")
    stage: str | None = Field(description="Of brood or bloom.")
    colonies: int | None = Field(description="Colonies in which that brood was.")
    looked_into: int | None
    coming: bool | None = Field(description="Whether pollen comes in.")
    plant: str | None
    mites: int | None
    bees: int | None = Field(description="Bees of a wash; null for a board.")
    over_d: float | None = Field(description="Days of a board or a rain gauge.")
    colony: str | None
    footing: str | None
    rain_mm: float | None
    person: str
    note: str
    logged_at: str = Field(description="ISO 8601 with the yard's offset.")


class ReportsDocument(DocumentPart):
    """Reports by the time of seeing."""

    schema_version: Literal[1]
    reports: tuple[ReportDocument, ...]


_OWN = (
    "stage", "colonies", "looked_into", "coming", "plant", "mites", "bees", "over_d", "colony",
    "footing", "rain_mm",
)  # fmt: skip


def reports_schema() -> dict[str, Any]:
    """JSON Schema of the document."""
    return ReportsDocument.model_json_schema(mode="serialization")


def reports_document_text(reports: Iterable[Report], zones: Mapping[str, str]) -> str:
    """The document as JSON text in plain ASCII, ending in a line feed."""
    told = tuple(_report(report, zones[report.yard_key]) for report in reports)
    content = ReportsDocument(schema_version=1, reports=told).model_dump(mode="json")
    return json.dumps(content, indent=2, allow_nan=False) + "\n"


def _report(report: Report, tz: str) -> ReportDocument:
    own = {name: _own(report, name) for name in _OWN}
    return ReportDocument(
        number=report.number,
        yard=sound(report.yard_key),
        at=clock.iso(report.at, tz),
        kind=kind_of(report.seen),
        words=sound(seen_words(report.seen, SI)),
        person=sound(report.person),
        note=sound(report.note),
        logged_at=clock.iso(report.logged_at, tz),
        **own,
    )


def _own(report: Report, name: str) -> Any:
    """A field of what was seen; None where there is none, or where it is an empty name."""
    value = getattr(report.seen, name, None)
    return None if value == "" else value
