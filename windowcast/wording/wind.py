"""Wind in words: where it comes from, how strong it is, and the side on which to stand."""

from __future__ import annotations

import math

from windowcast.terms.advice import WindowScore
from windowcast.wording.clock import at
from windowcast.wording.scale import Scale, speeds

LETTERS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
_SIDES = (
    "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
)  # fmt: skip


def letters(from_deg: float) -> str:
    """One of eight compass points for a direction; a bound belongs to the point clockwise of it."""
    return LETTERS[_point(from_deg)]


def side(from_deg: float) -> str:
    """The same as a word: "north-west"."""
    return _SIDES[_point(from_deg)]


def _point(from_deg: float) -> int:
    return math.floor(from_deg % 360.0 / 45.0 + 0.5) % 8


def stand(score: WindowScore, tz: str) -> str:
    """Where the crew stands in the run, as a clause: upwind, and when to change sides."""
    turn = score.wind_turn
    if turn is not None:
        later = f"from {at(turn.hour, tz)} on the {side(turn.wind_from_deg)} side"
        return f"stand on the {side(turn.before_deg)} side, {later}: the wind turns"
    if score.wind_from_deg is None:
        return "no steady wind direction: keep out of the plume"
    return f"stand on the {side(score.wind_from_deg)} side"


def stand_short(score: WindowScore, tz: str) -> str:
    """The same in letters, for crowded lines: "W", "W>N 10:00" or "side ?"."""
    turn = score.wind_turn
    if turn is not None:
        first, then = letters(turn.before_deg), letters(turn.wind_from_deg)
        return f"{first}>{then} {at(turn.hour, tz)}"
    return "side ?" if score.wind_from_deg is None else letters(score.wind_from_deg)


def wind(scores: list[WindowScore], scale: Scale) -> str:
    """Strength over the runs of some yards: "wind 5-7 mph, gusts 15 mph"; "" where not told."""
    told = [score.wind_mps for score in scores if score.wind_mps is not None]
    gusts = [score.gust_mps for score in scores if score.gust_mps is not None]
    if not told:
        return ""
    words = f"wind {speeds(min(told), max(told), scale)}"
    gust = max(gusts, default=0.0)
    return f"{words}, gusts {speeds(gust, gust, scale)}" if gust > max(told) else words
