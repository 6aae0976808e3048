"""What a person saw, in words: one line each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from windowcast.terms.report import (
    BloomSeen,
    BroodSeen,
    MiteBoard,
    MiteWash,
    PollenSeen,
    RainMeasured,
    Report,
    RoadSeen,
    Seen,
)
from windowcast.times import local_date
from windowcast.wording import clock
from windowcast.wording.plain import clean, plural, wrapped
from windowcast.wording.scale import Scale, depth

_WIDTH = 80
_HANG = "        "
_STAGES = {
    "none": "no brood",
    "eggs": "eggs, nothing further",
    "open": "open brood, none capped",
    "capped": "capped brood",
}

# How ``--kind`` names what was seen.
KINDS: Mapping[str, tuple[type[Seen], ...]] = {
    "brood": (BroodSeen,),
    "pollen": (PollenSeen,),
    "mites": (MiteWash, MiteBoard),
    "road": (RoadSeen,),
    "rain": (RainMeasured,),
    "bloom": (BloomSeen,),
}


def seen_words(seen: Seen, scale: Scale) -> str:
    """What was seen, on one line without a full stop."""
    match seen:
        case BroodSeen():
            told = _brood(seen)
        case PollenSeen():
            plant = f" from {clean(seen.plant)}" if seen.plant else ""
            told = f"pollen comes in{plant}" if seen.coming else f"no pollen{plant}"
        case MiteWash():
            bees = plural(seen.bees, "bee")
            told = f"{plural(seen.mites, 'mite')} washed from {bees}{_colony(seen.colony)}"
        case MiteBoard():
            days = f"{seen.over_d:g} {'day' if seen.over_d == 1 else 'days'}"
            told = f"{plural(seen.mites, 'mite')} on a board in {days}{_colony(seen.colony)}"
        case RoadSeen():
            told = f"lane {seen.footing}"
        case RainMeasured():
            days = "in a day" if seen.over_d == 1 else f"in {seen.over_d:g} days"
            told = f"rain {depth(seen.rain_mm, scale)} {days}"
        case BloomSeen():
            end = "first flowers" if seen.stage == "first" else "flowers over"
            told = f"{clean(seen.plant)}: {end}"
    return told


def _brood(seen: BroodSeen) -> str:
    if seen.looked_into is None:
        return _STAGES[seen.stage]
    looked_into = plural(seen.looked_into, "colony", "colonies")
    return f"{_STAGES[seen.stage]} in {seen.colonies} of {looked_into}"


def _colony(colony: str) -> str:
    return f", colony {clean(colony)}" if colony else ""


def kind_of(seen: Seen) -> str:
    """The name by which ``--kind`` knows it."""
    return next(kind for kind, words in KINDS.items() if isinstance(seen, words))


def report_line(report: Report, tz: str, scale: Scale) -> str:
    """A report without its number: "kiln, Tue 12 Jan 2027 07:40: capped brood (Ines)"."""
    when = f"{clock.day_and_year(local_date(report.at, tz))} {clock.at(report.at, tz)}"
    person = f" ({clean(report.person)})" if report.person.strip() else ""
    return f"{clean(report.yard_key)}, {when}: {seen_words(report.seen, scale)}{person}"


def reports_text(reports: Iterable[Report], zones: Mapping[str, str], scale: Scale) -> str:
    """Reports one below another, each with its number and its note."""
    lines: list[str] = []
    for report in reports:
        text = f"{report.number or '-':>6}  {report_line(report, zones[report.yard_key], scale)}"
        lines += wrapped(text, [_WIDTH], _HANG)
        if report.note.strip():
            lines += wrapped(f"{_HANG}{clean(report.note)}", [_WIDTH], _HANG)
    return "".join(f"{line}\n" for line in lines)
