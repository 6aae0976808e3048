"""What the raw grid says in words: thunder and freezing rain by hour, and official hazards."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping

import numpy as np

from windowcast.sources.wire.intervals import Interval
from windowcast.sources.wire.json_body import (
    Place,
    as_list,
    as_object,
    as_text,
    dotted,
    plain,
    shown,
)
from windowcast.sources.wire.nws_layers import HOUR_S, Told, elements_of, told_of
from windowcast.terms.outlook import Hazard

_CODE_AT_MOST = 8  # characters of a phenomenon that is none
_MOST_MENTIONS = 50  # objects in one element; recorded ones hold up to a handful

# Rain that freezes where it falls. Not sleet, which bounces off frozen and is counted as
# precipitation; not freezing spray, which is sea water on ships; not freezing fog.
_FREEZING = frozenset({"freezing_rain", "freezing_drizzle"})
_THUNDER = "thunder"  # thunderstorms, thunderstorm, dry_thunderstorms

_PHENOMENON = re.compile(r"[A-Z]{2}", re.ASCII)
_SIGNIFICANCE = re.compile(r"[A-Z]", re.ASCII)


def read_mentions(properties: Mapping[str, object], source: str) -> tuple[Told, Told]:
    """Thunder and freezing rain: 1 where it is mentioned at any coverage, 0 where it is not."""
    intervals: list[Interval] = []
    thunder: list[float] = []
    freezing: list[float] = []
    for interval, value, place in elements_of(properties.get("weather"), source, "weather"):
        intervals.append(interval)
        if value is None:
            thunder.append(np.nan)
            freezing.append(np.nan)
            continue
        words = _words(value, place)
        thunder.append(float(any(_THUNDER in word for word in words)))
        freezing.append(float(not _FREEZING.isdisjoint(words)))
    return told_of(intervals, np.array(thunder)), told_of(intervals, np.array(freezing))


def _words(value: object, place: Place) -> frozenset[str]:
    """Every word of weather and its attributes in one element, in one spelling."""
    words: set[str] = set()
    for index, mention in enumerate(as_list(value, *place, most=_MOST_MENTIONS)):
        where = (*place, index)
        told = as_object(mention, *where)
        weather = told.get("weather")
        if weather is not None:
            words.add(as_text(weather, *where, "weather"))
        attributes = told.get("attributes") or []
        for word in as_list(attributes, *where, "attributes", most=_MOST_MENTIONS):
            words.add(as_text(word, *where, "attributes"))
    return frozenset("_".join(word.lower().replace("-", " ").split()) for word in words)


def read_hazards(
    properties: Mapping[str, object], source: str
) -> tuple[tuple[Hazard, ...], tuple[str, ...]]:
    """Official hazards with the hours they touch, and a remark on codes that are none.

    A hazard of an odd code is kept as it is told, since a warning holds however it is spelled; "?"
    stands for a phenomenon that is not told and for a significance that is no letter. Elements that
    follow or overlap each other with the same hazard are one. An entry of nulls says that there is
    none.
    """
    told: defaultdict[tuple[str, str], list[tuple[int, int]]] = defaultdict(list)
    remarks: list[str] = []
    for interval, value, place in elements_of(properties.get("hazards"), source, "hazards"):
        if value is None:
            continue
        touched = (interval.start_s // HOUR_S, -(-interval.end_s // HOUR_S))
        for index, entry in enumerate(as_list(value, *place, most=_MOST_MENTIONS)):
            code = _code(entry, (*place, index))
            if code is None:
                continue
            told[_kept(code)].append(touched)
            if _kept(code) != code or not _PHENOMENON.fullmatch(code[0]):
                remarks.append(_not_a_code(code, (*place, index)))
    return tuple(
        Hazard(
            phenomenon=code[0],
            significance=code[1],
            first=np.datetime64(first, "h"),
            count=end - first,
        )
        for code, spans in sorted(told.items())
        for first, end in _merged(spans)
    ), tuple(remarks[:1])


def _code(entry: object, place: Place) -> tuple[str, str] | None:
    """Phenomenon and significance as told, "" for one that is not; None where neither is."""
    told = as_object(entry, *place)
    phenomenon, significance = (
        "" if told.get(name) is None else as_text(told[name], *place, name).strip().upper()
        for name in ("phenomenon", "significance")
    )
    return (phenomenon, significance) if phenomenon or significance else None


def _not_a_code(code: tuple[str, str], place: Place) -> str:
    return (
        f"{dotted(place)}: phenomenon {shown(code[0])} with significance {shown(code[1])} is not"
        " a hazard's code of two letters and one; it is kept as told"
    )


def _kept(code: tuple[str, str]) -> tuple[str, str]:
    """The code as it is shown: short, safe to print, and never empty."""
    significance = code[1] if _SIGNIFICANCE.fullmatch(code[1]) else "?"
    return plain(code[0], _CODE_AT_MOST) or "?", significance


def _merged(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """First and end of each run of hours, where spans that touch or overlap are one."""
    merged: list[tuple[int, int]] = []
    for first, end in sorted(spans):
        if merged and first <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((first, end))
    return merged
