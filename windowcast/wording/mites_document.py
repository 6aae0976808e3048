"""The JSON document of ``windowcast mites``."""

from __future__ import annotations

import json
from datetime import date
from typing import Any, Literal

from pydantic import Field

from windowcast.terms.mites import (
    WASH,
    Control,
    Estimate,
    MiteCount,
    MitePractice,
    RoundResult,
    RoundSpan,
    YardMites,
)
from windowcast.wording.mites import MiteAccount, verdict_of, yard_sentences
from windowcast.wording.part import DocumentPart
from windowcast.wording.plain import sound
from windowcast.wording.scale import Scale
from windowcast.wording.thresholds import thresholds

_DECIMALS = 3

Method = Literal["wash", "board"]
Formula = Literal["henderson_tilton", "abbott", "observed"]
Why = Literal["too_soon", "too_late", "long_before"]


class CountDocument(DocumentPart):
    """Washes or boards that belong together: percent of bees, or mites a day and colony."""

    method: Method
    first_day: date
    last_day: date
    counted: int = Field(description="Colonies counted.")
    colonies: int | None = Field(description="Colonies of the yard; null where not told.")
    mean: float
    low: float | None = Field(description="Lower bound of the yard; null: nobody can say.")
    high: float | None
    alone_low: float | None = Field(description="Bounds of the one colony washed, by itself.")
    alone_high: float | None


class LevelDocument(CountDocument):
    """The last count of a yard; washes are held against the level from which to act."""

    act_from_percent: float | None
    verdict: Literal["above", "below", "open"] | None = Field(
        description="Of the bounds, or where there are none of those of the one colony."
    )


class SpanDocument(DocumentPart):
    """A round of the yard as it was done."""

    season: int
    round: int
    first_day: date
    last_day: date
    treated: int | None = Field(description="Colonies; null where they were not counted.")
    of_colonies: int | None = Field(description="Colonies of the yard then; null: not told.")
    done_share: float = Field(ge=0, le=1, description="Share of the yard that was treated.")


class ControlDocument(DocumentPart):
    """A yard that was counted when another was and not treated."""

    yard: str
    before: CountDocument | None = Field(description="Null where it was counted only after.")
    after: CountDocument


class ResultDocument(DocumentPart):
    """What mites did over some rounds."""

    rounds: tuple[SpanDocument, ...]
    formula: Formula
    efficacy: bool = Field(
        description="False: no control, or a part of the yard; an observed reduction only."
    )
    fall_percent: float | None = Field(description="Null where there were no mites before.")
    low_percent: float | None = Field(description="Null: the counts are too few to say.")
    high_percent: float | None
    controls: tuple[ControlDocument, ...]
    one_sided: tuple[ControlDocument, ...] = Field(
        description="No controls, as they were not counted on the same sides of the treatment."
    )
    before: CountDocument | None
    after: CountDocument


class UnusedDocument(DocumentPart):
    """A count that was not used for a round."""

    count: CountDocument
    round: SpanDocument
    why: Why
    days: int


class YardMitesDocument(DocumentPart):
    """All that the counts of a yard say."""

    key: str
    colonies: int = Field(description="0 where yards.csv does not tell.")
    washes: LevelDocument | None
    boards: LevelDocument | None
    results: tuple[ResultDocument, ...]
    unused: tuple[UnusedDocument, ...]
    rounds_without_counts: tuple[SpanDocument, ...]
    refused_reports: tuple[int, ...] = Field(description="Washes with more mites than bees.")
    wash_next: int = Field(description="Colonies to wash next time.")
    wash_next_by_spread: bool
    sentences: tuple[str, ...]


class MiteThresholdDocument(DocumentPart):
    """A threshold that the account rests on."""

    key: str
    value: str
    default: str | None
    says: str
    grade: str
    source: str


class MitesDocument(DocumentPart):
    """Levels and results of every yard with counts."""

    schema_version: Literal[1]
    outfit: str
    since: date
    yards: tuple[YardMitesDocument, ...]
    uncounted: tuple[str, ...] = Field(description="Keys of yards without a count.")
    thresholds: tuple[MiteThresholdDocument, ...]


def mites_schema() -> dict[str, Any]:
    """JSON Schema of the document that ``windowcast mites --json`` prints."""
    return MitesDocument.model_json_schema(mode="serialization")


def mites_document_text(account: MiteAccount, scale: Scale) -> str:
    """The document as JSON text in plain ASCII, ending in a line feed."""
    content = mites_document(account, scale).model_dump(mode="json")
    return json.dumps(content, indent=2, allow_nan=False) + "\n"


def mites_document(account: MiteAccount, scale: Scale) -> MitesDocument:
    """Everything that the text says, in numbers."""
    held = thresholds(account.practice, ("mites",), scale)
    return MitesDocument(
        schema_version=1,
        outfit=sound(account.outfit),
        since=account.since,
        yards=tuple(_yard(yard, account.practice.mites) for yard in account.yards),
        uncounted=tuple(sound(key) for key in account.uncounted),
        thresholds=tuple(
            MiteThresholdDocument(
                key=item.key, value=item.value, default=item.default, says=item.says,
                grade=item.grade, source=item.source,
            )
            for item in held
        ),
    )  # fmt: skip


def _yard(yard: YardMites, practice: MitePractice) -> YardMitesDocument:
    return YardMitesDocument(
        key=sound(yard.yard_key),
        colonies=yard.colonies,
        washes=yard.wash and _level(yard.wash, practice),
        boards=yard.board and _level(yard.board, practice),
        results=tuple(_result(result) for result in yard.results),
        unused=tuple(
            UnusedDocument(
                count=_count(item.count),
                round=_span(item.span),
                why=_member(item.why),
                days=item.days,
            )
            for item in yard.unused
        ),
        rounds_without_counts=tuple(_span(span) for span in yard.silent),
        refused_reports=yard.refused,
        wash_next=yard.to_wash,
        wash_next_by_spread=yard.by_spread,
        sentences=tuple(sound(sentence) for sentence in yard_sentences(yard, practice)),
    )


def _level(count: MiteCount, practice: MitePractice) -> LevelDocument:
    act_frac = practice.act_frac(count.last_day)
    bounds = (count.bounds or count.alone) if count.method == WASH else None
    return LevelDocument(
        **_count(count).model_dump(),
        act_from_percent=round(act_frac * 100, _DECIMALS) if count.method == WASH else None,
        verdict=_member(verdict_of(bounds, act_frac)) if bounds else None,
    )


def _count(count: MiteCount) -> CountDocument:
    scale = 100.0 if count.method == WASH else 1.0
    low, high = _bounds(count.bounds, scale)
    alone_low, alone_high = _bounds(count.alone, scale)
    return CountDocument(
        method=_member(count.method), first_day=count.first_day, last_day=count.last_day,
        counted=count.counted, colonies=count.colonies, mean=round(count.mean * scale, _DECIMALS),
        low=low, high=high, alone_low=alone_low, alone_high=alone_high,
    )  # fmt: skip


def _span(span: RoundSpan) -> SpanDocument:
    return SpanDocument(
        season=span.season, round=span.round_no, first_day=span.first_day,
        last_day=span.last_day, treated=span.treated,
        of_colonies=span.of_colonies, done_share=round(span.done_frac, 6),
    )  # fmt: skip


def _control(control: Control) -> ControlDocument:
    return ControlDocument(
        yard=sound(control.yard_key),
        before=control.before and _count(control.before),
        after=_count(control.after),
    )


def _result(result: RoundResult) -> ResultDocument:
    low, high = _bounds(result.bounds, 100.0)
    fall = None if result.fall_frac is None else round(result.fall_frac * 100, _DECIMALS) + 0.0
    return ResultDocument(
        rounds=tuple(_span(span) for span in result.rounds),
        formula=_member(result.formula),
        efficacy=result.is_efficacy,
        fall_percent=fall,
        low_percent=low,
        high_percent=high,
        controls=tuple(_control(control) for control in result.controls),
        one_sided=tuple(_control(control) for control in result.one_sided),
        before=result.before and _count(result.before),
        after=_count(result.after),
    )


def _bounds(bounds: Estimate | None, scale: float) -> tuple[float | None, float | None]:
    if bounds is None:
        return None, None
    return round(bounds.low * scale, _DECIMALS) + 0.0, round(bounds.high * scale, _DECIMALS) + 0.0


def _member(word: str) -> Any:
    """A word of the terms where the document lists them; pydantic refuses any other."""
    return word
