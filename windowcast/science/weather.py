"""One outlook out of several: who tells which hour, and sunshine where nobody tells it.

Rules of this project: a yard takes the first source that answers; hours beyond its reach, and
hours for which it lacks temperature or wind, come from the next one; hours before it from records
of the past. One hour comes
from one source, so that nothing is told twice, and every hour knows which.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from windowcast.science.air import clear_sky_wm2, extraterrestrial_wm2, sun_under_cloud_wm2
from windowcast.terms.outlook import VARIABLES, Bools, Origin, Outlook
from windowcast.terms.yard import Yard
from windowcast.times import Hours, hour_index


def last_told(outlook: Outlook) -> np.datetime64 | None:
    """The last hour with both temperature and wind: the reach of an outlook.

    Parameters
    ----------
    outlook
        Any outlook.

    Returns
    -------
    datetime64 or None
        UTC hour, None where no hour has both.

    Notes
    -----
    Rule of this project: an hour without wind cannot be judged, so a source that can replace it
    may.
    """
    told = np.flatnonzero(outlook.told())
    return outlook.hours[told[-1]] if told.size else None


def has_gap(forecasts: Sequence[Outlook], first: np.datetime64, last: np.datetime64) -> bool:
    """Whether some hour of a span has temperature and wind in none of the forecasts.

    Parameters
    ----------
    forecasts
        Forecasts of one yard.
    first, last
        UTC hours, both inside the span.

    Returns
    -------
    bool
        False for an empty span.

    Notes
    -----
    Rule of this project: a gap is a reason to ask the next source.
    """
    known = [outlook.hours[outlook.told()] for outlook in forecasts]
    inside = np.unique(np.concatenate([h[(h >= first) & (h <= last)] for h in known]))
    return bool(inside.size < int((last - first).astype(np.int64)) + 1)


def join(forecasts: Sequence[Outlook], pasts: Sequence[Outlook]) -> Outlook:
    """One outlook from forecasts in order of preference and records of the past in order.

    Parameters
    ----------
    forecasts
        At least one, each of the same yard and number of members.
    pasts
        Records of past hours; used only before the first hour that the forecasts tell.

    Returns
    -------
    Outlook
        On the hours that any of them covers, without a gap.

    Notes
    -----
    Rule of this project: see the head of this module. Official hazards are kept from every
    forecast, whoever tells the hours that they touch: a warning is not taken back by another
    service's silence.
    """
    hours = _span([*forecasts, *pasts])
    chosen = np.full(hours.size, -1)
    pieces = [*forecasts, *pasts]
    for says in (Outlook.told, _tells):
        for number, outlook in enumerate(forecasts):
            chosen[_on(hours, outlook, says(outlook)) & (chosen < 0)] = number
    future = np.flatnonzero(chosen >= 0)
    begin = future[0] if future.size else hours.size
    for number, outlook in enumerate(pasts, start=len(forecasts)):
        told = _on(hours, outlook, _tells(outlook))
        chosen[told & (chosen < 0) & (np.arange(hours.size) < begin)] = number
    return _assemble(hours, pieces, chosen)


def _span(outlooks: Iterable[Outlook]) -> Hours:
    ends = [(o.hours[0], o.hours[-1]) for o in outlooks if o.hours.size]
    if not ends:
        return np.empty(0, "datetime64[h]")
    first, last = min(end[0] for end in ends), max(end[1] for end in ends)
    return hour_index(first, int((last - first).astype(np.int64)) + 1)


def _tells(outlook: Outlook) -> Bools:
    """Whether an outlook tells anything, shape (hour,)."""
    return np.asarray(outlook.origin_of_hour >= 0, np.bool_)


def _on(hours: Hours, outlook: Outlook, flags: Bools) -> Bools:
    """Flags of an outlook's hours laid on a wider index."""
    laid = np.zeros(hours.size, np.bool_)
    if outlook.hours.size:
        shift = int((outlook.hours[0] - hours[0]).astype(np.int64))
        laid[shift : shift + outlook.hours.size] = flags
    return laid


def _assemble(
    hours: Hours, pieces: list[Outlook], chosen: np.ndarray[tuple[int], np.dtype[np.int64]]
) -> Outlook:
    members = pieces[0].members
    arrays = {name: np.full((members, hours.size), np.nan, np.float32) for name in VARIABLES}
    origins: list[Origin] = []
    origin_of_hour = np.full(hours.size, -1, np.int8)
    hazards = dict.fromkeys(hazard for piece in pieces for hazard in piece.hazards)
    for number in np.unique(chosen[chosen >= 0]):
        piece = pieces[number]
        where = np.flatnonzero(chosen == number)
        source = where - int((piece.hours[0] - hours[0]).astype(np.int64))
        for name in VARIABLES:
            arrays[name][:, where] = piece.arrays[name][:, source]
        known = [_index_of(origins, origin) for origin in piece.origins]
        told = piece.origin_of_hour[source]
        origin_of_hour[where] = np.where(told >= 0, np.asarray(known)[told], -1)
    return Outlook(
        yard_key=pieces[0].yard_key, hours=hours, arrays=arrays, origins=tuple(origins),
        origin_of_hour=origin_of_hour, hazards=tuple(hazards),
    )  # fmt: skip


def _index_of(origins: list[Origin], origin: Origin) -> int:
    if origin not in origins:
        origins.append(origin)
    return origins.index(origin)


def with_sunshine(outlook: Outlook, yard: Yard) -> Outlook:
    """The same outlook with sunshine computed from sky cover where it is not told.

    Parameters
    ----------
    outlook
        Hourly weather of the yard.
    yard
        Its place; a height that is not known counts as sea level (about 5 % too little sun at
        2,000 m).

    Returns
    -------
    Outlook
        ``sun_wm2`` filled where ``cloud_frac`` is told; origins that needed it name it as derived.

    Notes
    -----
    Rule of this project: FAO-56 clear sky under the cloud formula of Kasten & Czeplak (1980); see
    ``science/air.py``.
    """
    missing = ~np.isfinite(outlook.arrays["sun_wm2"]) & np.isfinite(outlook.arrays["cloud_frac"])
    if not missing.any():
        return outlook
    above = extraterrestrial_wm2(yard.lat_deg, yard.lon_deg, outlook.hours)
    clear = clear_sky_wm2(above, 0.0 if yard.elev_m is None else yard.elev_m)
    computed = sun_under_cloud_wm2(clear, outlook.arrays["cloud_frac"]).astype(np.float32)
    sun = np.where(missing, computed, outlook.arrays["sun_wm2"])
    touched = set(outlook.origin_of_hour[missing.any(axis=0)].tolist())
    origins = tuple(
        replace(origin, derived=origin.derived | {"sun_wm2"}) if number in touched else origin
        for number, origin in enumerate(outlook.origins)
    )
    return replace(outlook, arrays={**outlook.arrays, "sun_wm2": sun}, origins=origins)
