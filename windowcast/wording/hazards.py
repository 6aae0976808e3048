"""Official hazards in words: VTEC phenomenon and significance (NWS Directive 10-1703).

The names are from memory of that directive; a code that is not here is shown as it is. The order
of danger is a rule of this project: what kills in minutes first.
"""

from __future__ import annotations

from collections.abc import Sequence

from windowcast.terms.outlook import Hazard
from windowcast.wording.plain import clean

_CODE_ROOM = 8
_PHENOMENA = {
    "AF": "ashfall", "AS": "air stagnation", "AV": "avalanche", "BH": "beach hazard",
    "BS": "blowing snow", "BW": "brisk wind", "BZ": "blizzard", "CF": "coastal flood",
    "CW": "cold weather", "DS": "dust storm", "DU": "blowing dust", "EC": "extreme cold",
    "EH": "excessive heat", "EW": "extreme wind", "FA": "flood", "FF": "flash flood",
    "FG": "dense fog", "FL": "river flood", "FR": "frost", "FW": "fire weather", "FZ": "freeze",
    "GL": "gale", "HF": "hurricane force wind", "HT": "heat", "HU": "hurricane",
    "HW": "high wind", "HY": "high water", "HZ": "hard freeze", "IS": "ice storm",
    "LE": "lake effect snow", "LS": "lakeshore flood", "LW": "lake wind", "RP": "rip current",
    "SC": "small craft", "SM": "dense smoke", "SQ": "snow squall", "SR": "storm",
    "SS": "storm surge", "SU": "high surf", "SV": "severe thunderstorm", "TO": "tornado",
    "TR": "tropical storm", "TS": "tsunami", "TY": "typhoon", "UP": "freezing spray",
    "WC": "wind chill", "WI": "wind", "WS": "winter storm", "WW": "winter weather",
    "XH": "extreme heat", "ZF": "freezing fog", "ZR": "freezing rain", "ZY": "freezing spray",
}  # fmt: skip
_SIGNIFICANCES = {
    "W": "warning", "A": "watch", "Y": "advisory", "S": "statement", "F": "forecast",
    "O": "outlook", "N": "synopsis",
}  # fmt: skip
_WORST_FIRST = (
    "TO", "SV", "EW", "HU", "TY", "HF", "TR", "HW", "BZ", "IS", "WS", "SQ", "ZR", "FF", "FA", "FL",
    "TS", "SS", "CF", "FW", "DS", "AF", "AV", "EC", "LE", "WC", "WW", "WI", "ZF", "FG", "SM",
)  # fmt: skip
_GRAVEST_FIRST = ("W", "A", "Y", "S")


def danger(hazard: Hazard) -> tuple[int, int]:
    """Sorts hazards, the worst first: warnings before watches, advisories and statements."""
    return _place(hazard.significance, _GRAVEST_FIRST), _place(hazard.phenomenon, _WORST_FIRST)


def _place(code: str, ordered: Sequence[str]) -> int:
    return ordered.index(code) if code in ordered else len(ordered)


def hazard_words(hazard: Hazard) -> str:
    """The hazard as services call it, in lower case: "high wind warning"."""
    what = _PHENOMENA.get(hazard.phenomenon) or f"hazard {clean(hazard.phenomenon, _CODE_ROOM)}"
    if not hazard.significance:
        return what
    how = _SIGNIFICANCES.get(hazard.significance) or clean(hazard.significance, _CODE_ROOM)
    return f"{what} {how}"
