"""The hours of an Open-Meteo answer.

Stamps come as whole seconds since 1970 in UTC (what we ask for) or as ISO text on a clock of
constant offset: the offset told is that of the moment of asking and holds for every stamp, on
both sides of a clock change, so local text is never read by the wall clock of the zone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.json_body import Place, as_list, as_number, dotted, refuse
from windowcast.times import Hours, hour_index

HOUR_S = 3600
MOST_STAMPS = 24 * 120  # 92 past and 16 coming days at most
LAST_S = int(datetime(2200, 1, 1, tzinfo=UTC).timestamp())
MOST_OFFSET_S = 26 * HOUR_S
HOLES_AT_MOST_FRAC = 0.1  # with more holes the steps are not hours: rule of this project

_STAMP = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Axis:
    """The hours of one point, and where each told stamp stands among them, shape (stamp,)."""

    hours: Hours
    places: NDArray[np.int64]


def read_axis(stamps: object, offset: object, place: Place) -> Axis:
    """The hour axis of a point, with every hour between the first and the last stamp.

    Hours that no stamp names stay empty. Steps other than an hour are refused: a value for three
    hours is not three values.
    """
    where = (*place, "hourly", "time")
    raw = as_list(stamps, *where, most=MOST_STAMPS)
    if not raw:
        raise SourceGarbled(f"{dotted(where)}: the list is empty, expected hours")
    if all(isinstance(value, str) for value in raw):
        offset_s = as_number(offset, *place, "utc_offset_seconds")
        seconds = [_iso_s(value, (*where, n)) for n, value in enumerate(raw)]
        utc_s = np.array(seconds, np.int64) - _whole_offset(offset_s, place)
    else:
        seconds = [_unix_s(value, (*where, n)) for n, value in enumerate(raw)]
        utc_s = np.array(seconds, np.int64)
    return _axis(_onto_the_hour(utc_s, offset), where)


def _axis(utc_s: NDArray[np.int64], where: Place) -> Axis:
    odd = np.flatnonzero(utc_s % HOUR_S)
    if odd.size:
        found = datetime.fromtimestamp(int(utc_s[odd[0]]), UTC)
        raise SourceGarbled(
            f"{dotted((*where, int(odd[0])))}: {found:%Y-%m-%d %H:%M} UTC is not a full hour;"
            " ask in GMT"
        )
    step_h = np.diff(utc_s // HOUR_S)
    if (step_h <= 0).any():
        late = int(np.argmax(step_h <= 0)) + 1
        raise SourceGarbled(
            f"{dotted((*where, late))}: the time does not come after the one before it"
        )
    wide = step_h[step_h != 1]
    if wide.size > HOLES_AT_MOST_FRAC * step_h.size:
        raise SourceGarbled(
            f"{dotted(where)}: {wide.size} of {step_h.size} times are {np.median(wide):g} hours"
            " after the one before, expected 1 hour"
        )
    first_h, last_h = int(utc_s[0]) // HOUR_S, int(utc_s[-1]) // HOUR_S
    if last_h - first_h >= MOST_STAMPS:
        raise SourceGarbled(
            f"{dotted(where)}: the times span {(last_h - first_h) / 24:.0f} days, expected at most"
            f" {MOST_STAMPS // 24}"
        )
    hours = hour_index(np.datetime64(first_h, "h"), last_h - first_h + 1)
    return Axis(hours=hours, places=utc_s // HOUR_S - first_h)


def _unix_s(value: object, place: Place) -> int:
    seconds = as_number(value, *place)
    if not 0 <= seconds < LAST_S or seconds != int(seconds):
        refuse(place, value, "whole seconds since 1970, not after 2199")
    return int(seconds)


def _iso_s(value: object, place: Place) -> int:
    if not isinstance(value, str) or _STAMP.fullmatch(value) is None:
        refuse(place, value, "a time such as 2027-01-12T06:00")
    try:
        seconds = int(datetime.fromisoformat(f"{value}+00:00").timestamp())
    except ValueError:
        refuse(place, value, "a time that a calendar has")
    if not 0 <= seconds < LAST_S:
        refuse(place, value, "a year from 1970 to 2199")
    return seconds


def _whole_offset(offset_s: float, place: Place) -> int:
    if offset_s != int(offset_s) or abs(offset_s) > MOST_OFFSET_S:
        refuse((*place, "utc_offset_seconds"), offset_s, "whole seconds within a day")
    return int(offset_s)


def told_offset_s(offset: object) -> int | None:
    """The offset of a clock from UTC in seconds, None for what cannot be one."""
    if isinstance(offset, bool) or not isinstance(offset, int | float):
        return None
    return int(offset) if abs(offset) <= MOST_OFFSET_S else None


def _onto_the_hour(utc_s: NDArray[np.int64], offset: object) -> NDArray[np.int64]:
    """Seconds moved by the part of an hour that the zone's offset has, where they need it.

    Asked for the zone of a place whose clock is half an hour off, the service takes its values
    for full hours and labels them by the place's midnight (its server source, the preparation of
    the time range): the label lacks what the offset has beyond whole hours, towards zero.
    """
    offset_s = told_offset_s(offset)
    if offset_s is None or not (utc_s % HOUR_S).any():
        return utc_s
    rest_s = offset_s - int(offset_s / HOUR_S) * HOUR_S
    return utc_s + rest_s
