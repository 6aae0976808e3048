"""Wind in words: where it comes from, how strong it is, and the side on which to stand."""

from __future__ import annotations

import math

from windowcast.terms.advice import WindowScore, WindTurn
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


MOST_TURNS = 2  # more than these nobody can follow from a list
RESTLESS = "the wind turns again and again: stand upwind by smoke"
NO_SIDE = "no side to stand on is told: find the wind with smoke"


def stand(score: WindowScore, tz: str) -> str:
    """Where the crew stands in the run, as a clause: upwind, and when to change sides."""
    turns = changes(score)
    if len(turns) > MOST_TURNS:
        return f"{RESTLESS}, first on the {side(turns[0].before_deg)} side"
    if turns:
        then = [f"from {at(turn.hour, tz)} on the {side(turn.wind_from_deg)}" for turn in turns]
        return (
            f"stand on the {side(turns[0].before_deg)} side, {', '.join(then)} side: the wind turns"
        )
    if score.wind_turns:
        return (
            f"stand on the {side(score.wind_turns[0].before_deg)} side: the wind swings, use smoke"
        )
    if score.wind_from_deg is None:
        return NO_SIDE
    return f"stand on the {side(score.wind_from_deg)} side"


def changes(score: WindowScore) -> list[WindTurn]:
    """Turns that take the wind to another of the eight sides: those that a crew must follow."""
    return [t for t in score.wind_turns if side(t.before_deg) != side(t.wind_from_deg)]


def stand_short(score: WindowScore, tz: str) -> str:
    """The same in letters, for crowded lines: "W", "W>N 10:00", "W>N 10:00>W 11:00", "side ?"."""
    turns = changes(score)
    if len(turns) > MOST_TURNS:
        return "turns, use smoke"
    if turns:
        then = [f"{letters(turn.wind_from_deg)} {at(turn.hour, tz)}" for turn in turns]
        return ">".join([letters(turns[0].before_deg), *then])
    if score.wind_turns:
        return letters(score.wind_turns[0].before_deg)
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
