"""Do the yards lie where they can lie? Swapped and unsigned coordinates, strays, doublets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from windowcast.problems import Fault
from windowcast.settings.coordinates import decimal
from windowcast.settings.spelling import printable

FAR_KM = 300.0
NEAR_KM = 0.05
EARTH_KM = 6371.0  # mean radius
_BEES_SOUTH, _BEES_NORTH = -56.0, 72.0  # nobody keeps bees beyond

_STATES = frozenset((
    "AL", "AZ", "AR", "CA", "CO", "CT", "DE", "DC", "FL", "GA", "HI", "ID", "IL", "IN", "IA", "KS",
    "KY", "LA", "ME", "MD", "MA", "MI", "MN", "MS", "MO", "MT", "NE", "NV", "NH", "NJ", "NM", "NY",
    "NC", "ND", "OH", "OK", "OR", "PA", "RI", "SC", "SD", "TN", "TX", "UT", "VT", "VA", "WA", "WV",
    "WI", "WY",
))  # fmt: skip

Vector = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where one row of the file puts its yard."""

    line: int
    key: str
    lat_deg: float
    lon_deg: float
    state: str = ""
    far: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbours:
    """Groups of yards that hang together by steps of 300 km, and pairs closer than 50 m."""

    group: tuple[int, ...]
    doublets: tuple[tuple[int, int, float], ...]  # earlier, later, metres


def place_faults(
    spots: Sequence[Spot], *, file: str, us_only: bool, all_known: bool = True
) -> list[Fault]:
    """Yards that cannot be where the file puts them.

    ``us_only`` says that no source tells anything outside the United States. Where some rows have
    no readable place (``all_known`` False) nobody is called a stray.
    """
    impossible = {spot.line: told for spot in spots if (told := _impossible(spot, us_only))}
    others = [spot for spot in spots if spot.line not in impossible]
    strays = dict(_strays(others, all_known=all_known))
    return [
        Fault(file=file, line=line, field=field, found=found, cure=cure)
        for line, (field, found, cure) in sorted({**impossible, **strays}.items())
    ]


def doublet_remarks(spots: Sequence[Spot], *, file: str) -> Iterator[str]:
    """Yards so close to an earlier one that one place may have been entered twice."""
    for first, second, metres in neighbours(spots).doublets:
        yield (
            f"{file}:{spots[second].line}: {printable(spots[second].key)} lies {metres:.0f} m from"
            f" {printable(spots[first].key)} (line {spots[first].line}); one place entered twice?"
        )


def neighbours(spots: Sequence[Spot]) -> Neighbours:
    """Which yards hang together; each yard is compared with all others once."""
    lat, lon = _radians(spots)
    group = np.full(len(spots), -1)
    doublets: list[tuple[int, int, float]] = []
    for start in range(len(spots)):
        waiting = [start] if group[start] < 0 else []
        group[start] = group[start] if group[start] >= 0 else start
        while waiting:
            at = waiting.pop()
            km = distances_km(lat[at], lon[at], lat, lon)
            new = np.flatnonzero((km <= FAR_KM) & (group < 0))
            group[new] = start
            waiting += new.tolist()
            close = np.flatnonzero(km[:at] <= NEAR_KM)
            doublets += [(int(i), at, float(km[i]) * 1000) for i in close[:1]]
    return Neighbours(
        group=tuple(int(g) for g in group), doublets=tuple(sorted(doublets, key=lambda d: d[1]))
    )


def distances_km(lat: float, lon: float, lats: Vector, lons: Vector) -> Vector:
    """Great-circle distances from one place to others, by the haversine formula; in radians."""
    half = (
        np.sin((lats - lat) / 2) ** 2 + np.cos(lat) * np.cos(lats) * np.sin((lons - lon) / 2) ** 2
    )
    return np.asarray(2 * EARTH_KM * np.arcsin(np.sqrt(np.clip(half, 0, 1))), dtype=np.float64)


Told = tuple[str, str, str]  # column, found, cure


def _impossible(spot: Spot, us_only: bool) -> Told | None:
    if spot.lat_deg == 0 and spot.lon_deg == 0:
        return "lat", "is 0 and lon is 0, a place at sea", "an empty cell? write where the yard is"
    if not _BEES_SOUTH <= spot.lat_deg <= _BEES_NORTH:
        swapped = _BEES_SOUTH <= spot.lon_deg <= _BEES_NORTH
        written = f"lat {decimal(spot.lon_deg)}, lon {decimal(spot.lat_deg)}"
        cure = f"swapped? write {written}" if swapped else "check it"
        return "lat", f"{decimal(spot.lat_deg)} is too near a pole for bees", cure
    if spot.lon_deg > 0 and (us_only or spot.state.upper() in _STATES) and _us_if_west(spot):
        where = "where the US weather service tells nothing" if us_only else f"not in {spot.state}"
        found = f"{decimal(spot.lon_deg)} is east of Greenwich, {where}"
        return "lon", found, f"write {decimal(-spot.lon_deg)}"
    return None


def _us_if_west(spot: Spot) -> bool:
    """Whether a missing minus sign would explain a longitude; Guam and Attu really are east."""
    guam = 13 <= spot.lat_deg <= 21 and 144 <= spot.lon_deg <= 147
    attu = spot.lat_deg >= 51 and spot.lon_deg >= 172
    inside = 17 <= spot.lat_deg <= _BEES_NORTH and 64 <= spot.lon_deg <= 180
    return inside and not guam and not attu


def _strays(spots: Sequence[Spot], *, all_known: bool) -> Iterator[tuple[int, Told]]:
    """Yards far from the main group: with a cure that fits, or alone.

    Two yards or more that lie near each other are a second district of the outfit, unless a
    swapped pair or a lost sign explains them. Several lone yards, or two yards far apart, are an
    outfit that is spread out, since nothing tells which of them would be wrong. The main group is
    the largest; among equals the one that is further west, then the one that stands first.
    """
    group = neighbours(spots).group
    sizes = {g: group.count(g) for g in set(group)}
    if len(sizes) < 2:
        return
    west = {g: min(s.lon_deg for s, h in zip(spots, group, strict=True) if h == g) for g in sizes}
    main = min(sizes, key=lambda g: (-sizes[g], west[g], g))
    one_slip = all_known and _one_lone(sizes, main)
    lat, lon = _radians([s for s, g in zip(spots, group, strict=True) if g == main])
    for spot, own in zip(spots, group, strict=True):
        if own == main or spot.far:
            continue
        told = _mirrored(spot, lat, lon)
        if told is None and sizes[own] == 1 and one_slip:
            told = _alone(spot, lat, lon)
        if told is not None:
            yield spot.line, told


def _one_lone(sizes: Mapping[int, int], main: int) -> bool:
    """Whether one yard alone lies far from a main group that is more than one yard itself."""
    return sizes[main] > 1 and sum(s == 1 for g, s in sizes.items() if g != main) == 1


def lone_remarks(spots: Sequence[Spot], *, file: str) -> Iterator[str]:
    """Yards that lie alone in an outfit that is spread out; a slip in one would look like that."""
    group = neighbours(spots).group
    sizes = {g: group.count(g) for g in set(group)}
    if len(sizes) < 2 or _one_lone(sizes, max(sizes, key=lambda g: sizes[g])):
        return
    lat, lon = _radians(spots)
    for at, spot in enumerate(spots):
        if sizes[group[at]] == 1 and not spot.far:
            km = np.sort(distances_km(lat[at], lon[at], lat, lon))[1]
            yield (
                f"{file}:{spot.line}: {printable(spot.key)} lies {km:.0f} km from all others;"
                " check lat and lon"
            )


def _mirrored(spot: Spot, lat: Vector, lon: Vector) -> Told | None:
    """The slip that explains a far yard: with it mended the yard lies near the main group."""
    mended = (
        ("lon", "lacks a minus", spot.lat_deg, -spot.lon_deg),
        ("lat", "is swapped with lon", spot.lon_deg, spot.lat_deg),
        ("lat", "is swapped with lon, and one lacks a minus", spot.lon_deg, -spot.lat_deg),
        ("lat", "is swapped with lon, and one lacks a minus", -spot.lon_deg, spot.lat_deg),
        ("lat", "has the wrong sign", -spot.lat_deg, spot.lon_deg),
        ("lat", "has the wrong sign, and lon too", -spot.lat_deg, -spot.lon_deg),
    )
    for field, slip, at_lat, at_lon in mended:
        if abs(at_lat) > 90:
            continue
        km = distances_km(np.radians(at_lat), np.radians(at_lon), lat, lon).min()
        if km <= FAR_KM:
            away = distances_km(np.radians(spot.lat_deg), np.radians(spot.lon_deg), lat, lon).min()
            found = f"{slip}, it seems: the yard would lie {away:.0f} km from the others"
            return field, found, f"write lat {decimal(at_lat)}, lon {decimal(at_lon)}"
    return None


def _alone(spot: Spot, lat: Vector, lon: Vector) -> Told:
    km = distances_km(np.radians(spot.lat_deg), np.radians(spot.lon_deg), lat, lon).min()
    found = f"puts the yard {km:.0f} km from all others"
    return "lat", found, 'check lat and lon, or write yes in a column "far" if it is there'


def _radians(spots: Sequence[Spot]) -> tuple[Vector, Vector]:
    places = np.radians([(spot.lat_deg, spot.lon_deg) for spot in spots]).reshape(-1, 2)
    return places[:, 0], places[:, 1]
