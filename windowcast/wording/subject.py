"""The subject of a letter: the decision first, on one line that a telephone shows whole."""

from __future__ import annotations

from datetime import datetime

from windowcast.terms.advice import OutfitDay
from windowcast.wording import clock
from windowcast.wording.gist import decision, envelope, share
from windowcast.wording.plain import cut
from windowcast.wording.view import View

LONGEST = 78  # characters of a line of mail, RFC 5322 section 2.1.1
NO_FORECAST = "No forecast this morning: nothing is advised"


def subject_of(view: View, *, late: bool = False) -> str:
    """Go today or not, when and how many yards; ``late`` tells the clock time first."""
    return _on_one_line(_told(view), view.morning.issued_at, view.morning.tz, late=late)


def _on_one_line(told: str, now: datetime, tz: str, *, late: bool = False) -> str:
    """A subject within its length, with the clock time in front where the letter is late."""
    return cut(f"Late {clock.at(now, tz)}: {told}" if late else told, LONGEST)


def _told(view: View) -> str:
    chosen = view.chosen
    if chosen is None:
        return decision(view).rstrip(".")
    if view.today_served:
        return f"Go today {_offer(view, chosen, ': ')}"
    if chosen.served:
        return f"No go today; best {clock.day_words(chosen.day)}, {_offer(view, chosen, ', ')}"
    last = max(day.day for day in view.morning.days)
    return "No go today" if last == view.today else f"No go on any day to {clock.day_words(last)}"


def _offer(view: View, day: OutfitDay, between: str) -> str:
    hours = envelope(view, view.served(day))
    return f"{hours}{between}{share(view, day)}{_round(view, day)}"


def _round(view: View, day: OutfitDay) -> str:
    """The round that is due at all yards of the day, "" where they differ."""
    due = [view.due.get(score.yard_key) for score in view.served(day)]
    numbers = {None if item is None else item.round_no for item in due}
    return "" if len(numbers) > 1 or numbers <= {None} else f", round {numbers.pop()}"
