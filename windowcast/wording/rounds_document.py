"""Rounds by the calendar, as they stand in the JSON document of a morning."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from windowcast.terms.rounds import RoundDue, RoundTotal
from windowcast.wording.part import DocumentPart
from windowcast.wording.plain import sound
from windowcast.wording.rounds import round_phrase


class RoundDocument(DocumentPart):
    """The next round of a yard by the calendar."""

    key: str
    state: Literal["all_done", "waiting", "open", "overdue"]
    round: int | None = Field(description="Null when all planned rounds are done.")
    done_share: float = Field(ge=0, le=1, description="Share of the yard that already has it.")
    earliest: date | None = Field(description="First day on which it may be done.")
    latest: date | None = Field(description="Last day on which it is in time.")
    held_by: Literal["gap", "label_days", "label_year"] | None
    overdue_since: date | None
    told: str = Field(description="The same in words.")


class RoundTotalDocument(DocumentPart):
    """How many yards have a round of the season."""

    round: int = Field(ge=1)
    done: int = Field(ge=0)
    begun: int = Field(ge=0, description="Yards of which a part is done.")
    yards: int = Field(ge=0)


def round_document(item: RoundDue, today: date) -> RoundDocument:
    """The document of a yard's next round."""
    return RoundDocument.model_validate(
        {
            "key": sound(item.yard_key),
            "state": item.state,
            "round": item.round_no,
            "done_share": round(item.done_frac, 6),
            "earliest": item.earliest,
            "latest": item.latest,
            "held_by": item.held_by,
            "overdue_since": item.overdue_since,
            "told": round_phrase(item, today),
        }
    )


def total_document(item: RoundTotal) -> RoundTotalDocument:
    """The document of a round of the season."""
    return RoundTotalDocument(
        round=item.round_no, done=item.done, begun=item.begun, yards=item.yards
    )
