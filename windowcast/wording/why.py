"""``windowcast why``: every hour of a yard's day with the parts that made its score."""

from __future__ import annotations

from windowcast.terms.advice import Part
from windowcast.terms.practice import Practice
from windowcast.wording import clock
from windowcast.wording.account import (
    PART_WORDS,
    SECTIONS,
    Account,
    day_sentences,
    standing,
    zone_of,
)
from windowcast.wording.plain import clean, joined, wrapped
from windowcast.wording.scale import Scale, percent, scale_of
from windowcast.wording.thresholds import Threshold, thresholds
from windowcast.wording.why_document import why_document_text, why_schema

__all__ = ["why_document_text", "why_schema", "why_text"]

WIDTH = 100
_LEGEND = (
    "A credit is from 0 (stops the work) to 1. The score of an hour is the product of its credits."
    " Each part: what is told, then its credit; - is not told. Only working hours in daylight."
)


def why_text(account: Account, practice: Practice, units: str = "us") -> str:
    """Every part of a yard-day's score as text of at most 100 columns, ending in a line feed."""
    scale = scale_of(units)
    paragraphs = [
        *_opening(account),
        "",
        *_table(account, practice, scale),
        "",
        *day_sentences(account, practice),
        "",
        "Thresholds, with grade and source",
        *_threshold_lines(thresholds(practice, SECTIONS, scale)),
    ]
    lines = [line for text in paragraphs for line in _laid(text)]
    return "\n".join(lines) + "\n"


def _laid(text: str) -> list[str]:
    indent = " " * (len(text) - len(text.lstrip(" ")))
    return wrapped(text, [WIDTH], indent + "  ") or [""]


def _opening(account: Account) -> list[str]:
    score, tz = account.score, zone_of(account)
    key, name = clean(account.yard.key, 40), clean(account.yard.name, 40)
    title = key if key == name else f"{key} ({name})"
    zone = clock.abbreviation(clock.noon(score.day, tz), tz)
    return [
        f"{title}, {clock.day_and_year(score.day)}: {score.verdict}, score {score.score:.3f}",
        f"Hours are {zone}. {_LEGEND}",
        *_told_by(account),
    ]


def _told_by(account: Account) -> list[str]:
    names = {
        clean(f"{h.origin.name} ({h.origin.detail})" if h.origin.detail else h.origin.name, 60)
        for h in account.hours
        if h.origin is not None and h.working
    }
    return [f"Told by {joined(sorted(names))}."] if names else []


def _table(account: Account, practice: Practice, scale: Scale) -> list[str]:
    working = [hour for hour in account.hours if hour.working]
    if not working:
        return ["No crew works in daylight on this day: no hour counts."]
    tz = zone_of(account)
    units = ("", scale.temperature_unit, scale.depth_unit, scale.speed_unit, "", "")
    heads = ("hour", *PART_WORDS.values())
    titles = [f"{head} {unit}".strip() for head, unit in zip(heads, units, strict=True)]
    rows = [
        [clock.at(hour.hour, tz), *(_cell(part, scale) for part in hour.parts), _score(hour.score)]
        for hour in working
    ]
    verdicts = [standing(hour, account.score, practice) for hour in working]
    return _columns([[*titles, "score"], *rows], ["", *verdicts])


def _columns(rows: list[list[str]], ends: list[str]) -> list[str]:
    rooms = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join([*map(str.ljust, row, rooms), end]).rstrip()
        for row, end in zip(rows, ends, strict=True)
    ]


def _cell(part: Part, scale: Scale) -> str:
    return f"{told(part, scale)} {_score(part.credit)}"


def _score(value: float | None) -> str:
    return "-" if value is None else f"{value:.3f}"


def told(part: Part, scale: Scale) -> str:
    """A part's value in the outfit's units, without the unit where the column names it."""
    if part.value is None:
        return "-"
    numbers = {
        "C": f"{scale.temperature(part.value):.1f}",
        "mm": f"{scale.depth(part.value):.{scale.depth_decimals + 1}f}",
        "m/s": f"{scale.speed(part.value):.1f}",
    }
    return numbers.get(part.unit, percent(part.value))


def _threshold_lines(items: list[Threshold]) -> list[str]:
    """Thresholds below the grade and source that they share, in the order of the first of each."""
    groups: dict[str, list[Threshold]] = {}
    for item in items:
        groups.setdefault(_backing(item), []).append(item)
    return [
        line
        for backing, members in groups.items()
        for line in (f" {backing}", *map(_threshold_line, members))
    ]


def _backing(item: Threshold) -> str:
    """Grade and source, once where they say the same."""
    same = _letters(item.grade) == _letters(item.source)
    return item.grade if same else f"{item.grade}: {item.source}"


def _letters(text: str) -> str:
    return "".join(filter(str.isalpha, text))


def _threshold_line(item: Threshold) -> str:
    yours = f" (yours; default {item.default})" if item.default is not None else ""
    return f"   {item.key} = {item.value}{yours}: {item.says}"
