"""A morning on which no yard has a usable forecast, said aloud: silence is never the signal."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from windowcast.planning.cautions import LABEL
from windowcast.times import local_date
from windowcast.wording import clock
from windowcast.wording.cautions import SENTENCES
from windowcast.wording.gist import SCOPE
from windowcast.wording.plain import clean, sound, wrapped
from windowcast.wording.subject import NO_FORECAST

_OUTFIT_ROOM = 24
_WIDTH = 78
_WHY_ROOM = 300
_WHYS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Silence:
    """What is known without a forecast. ``until`` is when the last try will be made, if any."""

    outfit: str
    tz: str
    now: datetime
    why: str
    until: datetime | None = None

    @property
    def title(self) -> str:
        """Outfit, day and time."""
        when = clock.day_and_year(local_date(self.now, self.tz))
        name = clean(self.outfit, _OUTFIT_ROOM)
        zone = clock.abbreviation(self.now, self.tz)
        return f"{name}, {when}, {clock.at(self.now, self.tz).removesuffix(f' {zone}')} {zone}"

    @property
    def told(self) -> tuple[str, ...]:
        """What it means, and whether it is tried again."""
        if self.until is None:
            return (f"{NO_FORECAST}.",)
        return f"{NO_FORECAST}.", f"Trying again until {clock.at(self.until, self.tz)}."

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why there is none, a sentence each."""
        lines = [clean(line, _WHY_ROOM) for line in self.why.splitlines() if line.strip()]
        return tuple(lines[:_WHYS])

    @property
    def cautions(self) -> tuple[str, ...]:
        """What holds on every morning."""
        return SENTENCES[LABEL], SCOPE


class NoForecastDocument(BaseModel):
    """What is posted on a morning without a usable forecast."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    schema_version: Literal[1]
    issued_at: str = Field(description="When this was worked out, ISO 8601 with offset.")
    outfit: str
    zone: str
    headline: str = Field(description="That nothing is advised, in one sentence.")
    forecast: Literal[False] = Field(description="Tells this document from that of a morning.")
    reasons: tuple[str, ...] = Field(description="Why there is no forecast, a sentence each.")
    trying_until: str | None = Field(description="ISO 8601 with offset; null without a next try.")
    cautions: tuple[str, ...] = Field(description="Label and local law first.")


def silence_text(silence: Silence) -> str:
    """The notice as plain text, ending in a line feed."""
    why = [line for text in silence.reasons for line in wrapped(f" {text}", [_WIDTH], "    ")]
    care = [f" - {text}" for text in silence.cautions]
    lines = [silence.title, *silence.told, "", "Why", *why, "", "Take care", *care]
    return "\n".join(lines) + "\n"


def silence_document(silence: Silence) -> str:
    """The document as JSON text in plain ASCII, ending in a line feed."""
    document = NoForecastDocument(
        schema_version=1,
        issued_at=clock.iso(silence.now, silence.tz),
        outfit=sound(silence.outfit),
        zone=silence.tz,
        headline=silence.told[0],
        forecast=False,
        reasons=silence.reasons,
        trying_until=clock.iso(silence.until, silence.tz) if silence.until else None,
        cautions=silence.cautions,
    )
    return json.dumps(document.model_dump(mode="json"), indent=2, allow_nan=False) + "\n"


def no_forecast_schema() -> dict[str, Any]:
    """JSON Schema of the document of a morning without a forecast."""
    return NoForecastDocument.model_json_schema(mode="serialization")
