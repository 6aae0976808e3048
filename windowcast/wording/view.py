"""A morning laid out for reading: who is asked about which day, on which clock, in which units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from windowcast.planning.cautions import chosen_day
from windowcast.planning.rounds import is_due_on
from windowcast.terms.advice import BLIND, GOOD, WORKABLE, Morning, OutfitDay, WindowScore
from windowcast.terms.rounds import RoundDue
from windowcast.terms.yard import Yard
from windowcast.times import local_date
from windowcast.wording import clock
from windowcast.wording.plain import clean
from windowcast.wording.scale import Scale, scale_of

KEY_ROOM = 18  # cells that a yard's key may take in a list
NO_ADVICE = "no forecast came for this yard"


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A phrase and the keys of the yards that it is about."""

    phrase: str
    keys: tuple[str, ...]


def named(phrase: str, scores: Sequence[WindowScore]) -> Named:
    """A phrase about the yards of some yard-days."""
    return Named(phrase=phrase, keys=tuple(score.yard_key for score in scores))


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A morning with what every sentence needs to look up."""

    morning: Morning
    scale: Scale
    today: date
    chosen: OutfitDay | None
    by_key: Mapping[str, Mapping[date, WindowScore]]
    due: Mapping[str, RoundDue]
    zones: Mapping[str, str]
    blind: Mapping[str, str]

    @property
    def last_day(self) -> date:
        """The last day of which any yard knows anything; today without one."""
        return max((day.day for day in self.morning.days), default=self.today)

    @property
    def today_served(self) -> bool:
        """Whether a crew can go out today."""
        return (
            self.chosen is not None and self.chosen.day == self.today and bool(self.chosen.served)
        )

    def of_day(self, day: date) -> list[WindowScore]:
        """The scores of a day at every yard that has a round due and is not blind, in order."""
        return [
            scores[day]
            for key, scores in self.by_key.items()
            if day in scores and self.is_due(key, day)
        ]

    def is_due(self, key: str, day: date) -> bool:
        """Whether the next round of a yard may be done on a day."""
        return is_due_on(self.due.get(key), day)

    def due_on(self, day: date) -> int:
        """How many yards have a round due on a day, blind ones among them."""
        return sum(self.is_due(key, day) for key in (*self.by_key, *self.blind))

    @property
    def anything_due(self) -> bool:
        """Whether any yard that is not blind has a round due on a day that it knows of."""
        return any(
            self.is_due(key, day)
            for key, scores in self.by_key.items()
            for day in scores
            if day >= self.today
        )

    def served(self, day: OutfitDay) -> list[WindowScore]:
        """The scores of the yards that can be treated on a day."""
        return [s for s in self.of_day(day.day) if s.verdict in (GOOD, WORKABLE)]

    def unseen(self, day: date | None) -> list[str]:
        """Keys of the yards of which nothing is known on a day.

        Without any day, those are all that have a round due; where none has, the blind ones.
        """
        if day is None:
            return [*self.blind, *(self.by_key if self.anything_due else ())]
        dark = [s.yard_key for s in self.of_day(day) if s.verdict == BLIND]
        return [*self.blind, *dark]

    @property
    def chosen_date(self) -> date | None:
        """The date of the chosen day, None without one."""
        return None if self.chosen is None else self.chosen.day

    def tz(self, score: WindowScore) -> str:
        """The zone of a score's yard."""
        return self.zones[score.yard_key]

    def abbreviations(self, moment: datetime) -> list[str]:
        """Short names of all zones of the yards at an instant, sorted."""
        return sorted({clock.abbreviation(moment, tz) for tz in self.zones.values()})

    def hours(self, score: WindowScore) -> str:
        """Clock times of a run: "08:00-12:00", "" without one."""
        if score.start is None or score.end is None:
            return ""
        return self.between(score.start, score.end, self.tz(score))

    def begin(self, score: WindowScore) -> str:
        """Clock time at which a run begins: "08:00", "08:00 PST", "" without one."""
        if score.start is None:
            return ""
        tz = self.tz(score)
        return self._marked(clock.at(score.start, tz), score.start, tz)

    def between(self, start: datetime, end: datetime, tz: str) -> str:
        """Clock times of a span, with the zone where it is not that of the outfit."""
        return self._marked(clock.span(start, end, tz), start, tz)

    def _marked(self, text: str, moment: datetime, tz: str) -> str:
        zone, home = (clock.abbreviation(moment, name) for name in (tz, self.morning.tz))
        return text if zone == home else f"{text} {zone}"


def view_of(morning: Morning, units: str) -> View:
    """The view of a morning in the units that ``outfit.toml`` names, "us" or "si"."""
    today = local_date(morning.issued_at, morning.tz)
    advised = {item.yard.key for item in morning.advice}
    named = {item.key: item.why for item in morning.blind}
    unnamed = {y.key: NO_ADVICE for y in morning.yards if y.key not in advised | named.keys()}
    blind = {**named, **unnamed}
    return View(
        morning=morning,
        scale=scale_of(units),
        today=today,
        chosen=chosen_day(morning.days, today),
        by_key={
            item.yard.key: {score.day: score for score in item.scores}
            for item in morning.advice
            if item.yard.key not in blind
        },
        due={item.yard_key: item for item in morning.rounds},
        zones=_zones(morning),
        blind=blind,
    )


def _zones(morning: Morning) -> dict[str, str]:
    yards: Sequence[Yard] = [*morning.yards, *(item.yard for item in morning.advice)]
    return {yard.key: yard.tz or morning.tz for yard in yards}


def label(key: str) -> str:
    """A yard's key, safe to print and short enough for a list."""
    return clean(key, KEY_ROOM)


def labels(keys: Sequence[str]) -> list[str]:
    """The keys of some yards, safe to print."""
    return [label(key) for key in keys]
