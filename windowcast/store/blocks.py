"""The past of a yard in blocks of 168 UTC hours: cut, merged hour by hour, laid together again.

Rule of this project: an hour is kept from one telling. The better telling stays: one that tells
temperature and wind before one that does not, then an hourly record before daily records spread
over the hours before a forecast, then the one with more to tell, then the newer. So a late record
replaces the forecast of its hour, and a forecast never replaces a record.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from windowcast.terms.outlook import PAST, VARIABLES, Bools, Origin, Outlook
from windowcast.times import Hours, hour_index

BLOCK_H = 168
MOST_ORIGINS = 127  # an origin is named by an int8


def block_of(hour: np.datetime64) -> int:
    """The block that holds an hour: seven UTC days, counted from 1970."""
    return int(hour.astype("datetime64[h]").astype(np.int64)) // BLOCK_H


def block_hours(block: int) -> Hours:
    """The 168 hours of a block."""
    return hour_index(np.datetime64(block * BLOCK_H, "h"), BLOCK_H)


def told_before(outlook: Outlook, end: np.datetime64) -> dict[int, Outlook]:
    """The told hours of an outlook before ``end`` by block, the first member of each."""
    told = (outlook.hours < end) & (outlook.origin_of_hour >= 0)
    blocks = sorted({block_of(hour) for hour in outlook.hours[told]})
    ours = replace(outlook, origin_of_hour=np.where(told, outlook.origin_of_hour, -1).astype("i1"))
    return {block: laid(outlook.yard_key, block_hours(block), [ours]) for block in blocks}


def merged(kept: Outlook, new: Outlook) -> Outlook:
    """Both on the hours of ``kept``; each hour from the better telling, on a tie the newer."""
    wins = _worth(new) >= _worth(kept)
    parts = [
        replace(piece, origin_of_hour=np.where(ours, piece.origin_of_hour, -1).astype("i1"))
        for piece, ours in ((kept, ~wins), (new, wins))
    ]
    return laid(kept.yard_key, kept.hours, parts)


def laid(yard_key: str, hours: Hours, pieces: Sequence[Outlook]) -> Outlook:
    """The told hours of all pieces on one index, one member; what nobody tells is NaN."""
    arrays = {name: np.full((1, hours.size), np.nan, np.float32) for name in VARIABLES}
    chosen = np.full(hours.size, -1, np.int64)
    origins: list[Origin] = []
    for piece in pieces:
        here, there = _common(hours, piece)
        for name in VARIABLES:
            arrays[name][0, here] = piece.arrays[name][0, there]
        chosen[here] = piece.origin_of_hour[there] + len(origins)
        origins.extend(piece.origins)
    fewer, number = _fewer(origins, chosen)
    return Outlook(
        yard_key=yard_key, hours=hours, arrays=arrays, origins=fewer, origin_of_hour=number
    )


def _common(hours: Hours, piece: Outlook) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Positions on the index and in the piece of the hours that the piece tells."""
    if not hours.size:
        return np.empty(0, np.intp), np.empty(0, np.intp)
    there = np.flatnonzero(piece.origin_of_hour >= 0)
    here = (piece.hours[there] - hours[0]).astype(np.intp)
    inside = (here >= 0) & (here < hours.size)
    return here[inside], there[inside]


def _worth(outlook: Outlook) -> NDArray[np.int64]:
    """How good the telling of each hour is, -1 where there is none, shape (hour,)."""
    told: Bools = outlook.origin_of_hour >= 0
    ranks = np.array([_rank(origin) for origin in outlook.origins] or [0])
    told_arrays = np.sum([np.isfinite(outlook.arrays[n][0]) for n in VARIABLES], axis=0)
    worth = 1000 * outlook.told() + 100 * ranks[np.maximum(outlook.origin_of_hour, 0)] + told_arrays
    return np.where(told, worth, -1)


def _rank(origin: Origin) -> int:
    return 0 if origin.kind != PAST else 1 if origin.spread else 2


def _fewer(
    origins: Sequence[Origin], chosen: NDArray[np.int64]
) -> tuple[tuple[Origin, ...], NDArray[np.int8]]:
    """Only origins that tell an hour, those alike but for their issue time as one, the newest.

    A season has a forecast for each morning; beyond what an int8 can name, details go too.
    """
    used = [origins[number] for number in np.unique(chosen[chosen >= 0])]
    alike = {_likeness(origin) for origin in used}
    keep_detail = len(alike) <= MOST_ORIGINS
    groups: dict[Origin, list[datetime]] = {}
    for origin in used:
        times = groups.setdefault(_likeness(origin, keep_detail), [])
        times.extend([origin.issued_at] if origin.issued_at else [])
    place = {likeness: number for number, likeness in enumerate(groups)}
    numbers = [place.get(_likeness(origin, keep_detail), -1) for origin in origins]
    kept = tuple(replace(o, issued_at=max(times, default=None)) for o, times in groups.items())
    return kept, np.array([*numbers, -1], np.int8)[chosen]


def _likeness(origin: Origin, keep_detail: bool = True) -> Origin:
    return replace(origin, issued_at=None, detail=origin.detail if keep_detail else "")
