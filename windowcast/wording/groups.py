"""The yards of one day, those with equal hours and reasons together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from windowcast.terms.advice import GOOD, VERDICTS, WORKABLE, OutfitDay, WindowScore
from windowcast.wording.alarms import alarms, watch
from windowcast.wording.clock import day_words
from windowcast.wording.plain import capital, clean, commas, joined
from windowcast.wording.reasons import against, numbers, reason_of
from windowcast.wording.scale import temperatures
from windowcast.wording.view import Named, View, label, labels
from windowcast.wording.wind import stand, stand_short, wind

_WHY_ROOM = 200
UNTOLD_DAY = "the forecast does not tell this day"
UNTOLD_DAYS = "the forecast tells no day"


@dataclass(frozen=True, slots=True)
class Block:
    """A lead and items that are set one after the other, and shorter ones that must stand."""

    lead: str
    items: list[str]
    short: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Yards that share a lead ("08:00-12:00 good, 4 h") and what is told about them."""

    lead: str
    keys: tuple[str, ...]
    told: str


def yards_heading(view: View) -> str:
    """What stands above the yards of the chosen day."""
    if view.chosen is None:
        return "Yards"
    name = day_words(view.chosen.day)
    return f"Yards today, {name}" if view.chosen.day == view.today else f"Yards on {name}"


def exact_groups(view: View, day: OutfitDay | None) -> list[Group]:
    """Every yard of a day, in groups of equal hours, verdict, reasons and side to stand on."""
    if day is None:
        return blind_groups(view, None)
    return [*_fit_groups(view, day), *_poor_groups(view, day), *blind_groups(view, day)]


def _fit_groups(view: View, day: OutfitDay) -> list[Group]:
    together: dict[tuple[str, ...], list[WindowScore]] = {}
    ordered = sorted(
        view.served(day), key=lambda s: (VERDICTS.index(s.verdict), s.start is None, s.start, s.end)
    )
    for score in ordered:
        together.setdefault(_sameness(score, view), []).append(score)
    return [_fit_group(scores, view) for scores in together.values()]


def _sameness(score: WindowScore, view: View) -> tuple[str, ...]:
    reason = reason_of(score, view)
    return (
        view.hours(score),
        score.verdict,
        reason.phrase if reason else "",
        stand(score, view.tz(score)),
        *alarms(score),
    )


def _fit_group(scores: Sequence[WindowScore], view: View) -> Group:
    first = scores[0]
    return Group(
        lead=f"{view.hours(first)} {first.verdict}, {first.usable_hours} h",
        keys=tuple(score.yard_key for score in scores),
        told=facts(scores, view),
    )


def facts(scores: Sequence[WindowScore], view: View) -> str:
    """What is told about runs that share hours and reasons: air, wind, side, limits, alarms."""
    first = scores[0]
    air = ", ".join(filter(None, [air_range(scores, view), wind(list(scores), view.scale)]))
    reason = reason_of(first, view)
    told = [
        air,
        stand(first, view.tz(first)),
        f"held back: {reason.phrase}" if reason else "",
        f"watch for {joined(alarms(first))}" if alarms(first) else "",
    ]
    return " ".join(f"{capital(clause)}." for clause in told if clause)


def air_range(scores: Sequence[WindowScore], view: View) -> str:
    """Temperatures over the runs of some yards, "" where none is told."""
    lows = [score.temp_low_c for score in scores if score.temp_low_c is not None]
    highs = [score.temp_high_c for score in scores if score.temp_high_c is not None]
    return temperatures(min(lows), max(highs), view.scale) if lows and highs else ""


def _poor_groups(view: View, day: OutfitDay) -> list[Group]:
    return [
        Group(
            lead=f"poor, {reason.phrase}{numbers(reason.code, scores, view)}",
            keys=tuple(score.yard_key for score in scores),
            told="",
        )
        for reason, scores in against(view.of_day(day.day), view)
    ]


def blind_groups(view: View, day: OutfitDay | None) -> list[Group]:
    """Yards without a forecast on a day, by the reason told."""
    whys: dict[str, list[str]] = {}
    for key in view.unseen(day.day if day else None):
        why = view.blind.get(key, UNTOLD_DAY if day else UNTOLD_DAYS)
        whys.setdefault(clean(why, _WHY_ROOM), []).append(key)
    return [Group(lead="blind", keys=tuple(keys), told=why) for why, keys in whys.items()]


def compact_groups(view: View, day: OutfitDay | None) -> list[Block]:
    """The same yards in few lines.

    Each fit yard keeps its hours and its side; temperature and wind are those of all together.
    """
    if day is None:
        return [Block("blind", commas(labels(view.unseen(None))))]
    poor = against(view.of_day(day.day), view)
    blocks = [
        _compact_fit(view, day, GOOD),
        _compact_fit(view, day, WORKABLE),
        _compact_watch(watch(view.served(day))),
        Block("blind", commas(labels(view.unseen(day.day)))),
        Block(
            "poor",
            _by_phrase((r.phrase, labels([s.yard_key for s in scores])) for r, scores in poor),
        ),
    ]
    return [block for block in blocks if block.items]


def _compact_watch(alarms: Sequence[Named]) -> Block:
    return Block(
        "watch",
        _by_phrase((named.phrase, labels(named.keys)) for named in alarms),
        tuple(commas([f"{named.phrase} ({len(named.keys)})" for named in alarms])),
    )


def _compact_fit(view: View, day: OutfitDay, verdict: str) -> Block:
    scores = [score for score in view.served(day) if score.verdict == verdict]
    air = ", ".join(filter(None, [air_range(scores, view), wind(scores, view.scale)]))
    together: dict[str, list[str]] = {}
    for score in sorted(scores, key=lambda s: (s.start is None, s.start, s.end)):
        phrase = f"{view.hours(score)} {stand_short(score, view.tz(score))}"
        together.setdefault(phrase, []).append(label(score.yard_key))
    return Block(f"{verdict} ({air})" if air else verdict, _by_phrase(together.items()))


def _by_phrase(groups: Iterable[tuple[str, Sequence[str]]], colon: str = ": ") -> list[str]:
    """Items such as "too warm: kiln," "mill;" "rain: fen": phrases apart by semicolons."""
    parts = [commas([f"{phrase}{colon}{names[0]}", *names[1:]]) for phrase, names in groups]
    ended = [[*part[:-1], f"{part[-1]};"] for part in parts[:-1]] + parts[-1:]
    return [item for part in ended for item in part]
