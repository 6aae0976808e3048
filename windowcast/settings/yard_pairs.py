"""Which row of ``yards.csv`` a waypoint of another file is: by key, by name, then by place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from windowcast.problems import Fault
from windowcast.settings.coordinates import latitude, longitude
from windowcast.settings.spelling import Slip, shown
from windowcast.settings.yard_columns import made_key
from windowcast.settings.yard_places import NEAR_KM, Vector, distances_km
from windowcast.settings.yard_table import Row
from windowcast.settings.yards import key_of_row

LatLon = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Waypoint:
    """A place that a file tells, as cells of ``yards.csv``.

    ``at`` says where it stands, such as ``ranch.gpx: waypoint 3 (Kiln)`` or ``hives.csv:3``.
    ``named`` is False where the name was made up, ``lon_first`` True where the format puts
    longitude first.
    """

    at: str
    cells: Mapping[str, str]
    named: bool = True
    lon_first: bool = False


def place_of(cells: Mapping[str, str]) -> LatLon | None:
    """Latitude and longitude of a row [deg], None where one of them cannot be read."""
    try:
        return latitude(cells.get("lat", "")), longitude(cells.get("lon", ""))
    except Slip:
        return None


def metres_between(one: LatLon, other: LatLon) -> float:
    """Great-circle distance of two places [m]."""
    return float(_metres(one, [other])[0])


def wanted_key(waypoint: Waypoint) -> str:
    """The key that a waypoint has or would be given; "" where its name holds no letter or digit."""
    return waypoint.cells.get("key") or made_key(waypoint.cells.get("name", ""))


def told_twice(waypoints: Sequence[Waypoint]) -> Iterator[Fault]:
    """A key that the file itself gives to two of its rows."""
    first: dict[str, str] = {}
    for waypoint in waypoints:
        key = waypoint.cells.get("key", "")
        before = first.setdefault(key.casefold(), waypoint.at)
        if key and before != waypoint.at:
            found = f"{shown(key)} stands at {before} already"
            yield Fault(file=waypoint.at, field="key", found=found, cure="give each its own key")


def once(waypoints: Sequence[Waypoint]) -> tuple[list[Waypoint], list[str]]:
    """The waypoints without those that repeat a name within 50 m, and a sentence for each.

    Rows with a key of their own are left alone.
    """
    kept: list[Waypoint] = []
    remarks: list[str] = []
    by_key: dict[str, list[LatLon]] = {}
    for waypoint in waypoints:
        place, key = place_of(waypoint.cells), wanted_key(waypoint).casefold()
        if place and key and waypoint.named and "key" not in waypoint.cells:
            near = by_key.setdefault(key, [])
            if near and _metres(place, near).min() <= NEAR_KM * 1000:
                remarks.append(f"{waypoint.at}: stands twice within 50 m; taken once")
                continue
            near.append(place)
        kept.append(waypoint)
    return kept, remarks


def pairings(rows: Sequence[Row], waypoints: Sequence[Waypoint]) -> list[int | None]:
    """For each waypoint the index of its row, None for a new yard; no row is taken twice.

    A name that several waypoints share says nothing, so that those go by place alone.
    """
    found = _by_words(rows, waypoints)
    free = np.array([place_of(row.cells) or (np.nan, np.nan) for row in rows]).reshape(-1, 2)
    free[[at for at in found if at is not None]] = np.nan
    for index, waypoint in enumerate(waypoints):
        place = place_of(waypoint.cells)
        if found[index] is None and place:
            near = np.flatnonzero((metres := _metres(place, free)) < NEAR_KM * 1000)
            if near.size:
                at = int(near[metres[near].argmin()])
                found[index], free[at] = at, np.nan
    return found


def _by_words(rows: Sequence[Row], waypoints: Sequence[Waypoint]) -> list[int | None]:
    """Rows found by key, the rest by name; a word that two rows or waypoints share finds none."""
    wanted = [wanted_key(w).casefold() if w.named else "" for w in waypoints]
    told = Counter(wanted)
    keys = _lone(key_of_row(row).casefold() for row in rows)
    names = _lone(made_key(row.cells.get("name", "")) for row in rows)
    found = [keys.get(key) if told[key] == 1 else None for key in wanted]
    taken = {at for at in found if at is not None}
    for index, (key, waypoint) in enumerate(zip(wanted, waypoints, strict=True)):
        if found[index] is None and told[key] == 1 and "key" not in waypoint.cells:
            at = names.get(key)
            found[index] = None if at in taken else at
            taken |= {at} if at is not None else set()
    return found


def _lone(words: Iterable[str]) -> dict[str, int]:
    """Where each word stands that stands once and is not empty."""
    listed = list(words)
    often = Counter(listed)
    return {word: at for at, word in enumerate(listed) if word and often[word] == 1}


def _metres(place: LatLon, others: Sequence[LatLon] | Vector) -> Vector:
    there = np.radians(np.array(others, dtype=np.float64).reshape(-1, 2))
    lat, lon = np.radians(place)
    return distances_km(float(lat), float(lon), there[:, 0], there[:, 1]) * 1000.0
