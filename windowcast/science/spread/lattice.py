"""Standard normals that belong to a place, a day and a member, and to nothing else.

The earth carries a fixed lattice of cells. Every cell has a normal for each solar day, member and
stream, found by hashing these four numbers; a yard takes the weighted sum of the cells round it.
No issue time, no list of yards and no order of calls enters, so that a day keeps its draws from
one forecast to the next, and near yards share their weather.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from windowcast.science.distance import EARTH_RADIUS_KM
from windowcast.terms.outlook import Floats
from windowcast.times import Hours, Ints

CELLS = 8192  # 250 km apart on average
REACH_KM = 650.0  # how far a cell is felt: correlation over 0.999 at 10 km, 0.36 at 500 km
TEMPERATURE, RAIN, TIMING = range(3)  # streams

Words = NDArray[np.uint64]

# SplitMix64: the golden ratio as an odd step, and the two factors of its mixing function.
_STEP = np.uint64(0x9E3779B97F4A7C15)
_FACTORS = (np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB))
_GOLDEN_ANGLE = np.pi * (3.0 - np.sqrt(5.0))


def hashed_uniforms(*keys: ArrayLike) -> Floats:
    """Numbers evenly spread over (0, 1), each a function of its integer keys alone.

    Parameters
    ----------
    keys
        Integers of any sign, shapes that broadcast. The order of the keys matters.

    Returns
    -------
    ndarray
        float64, at least 2**-53 away from 0 and from 1, shape of the broadcast keys.

    Notes
    -----
    The mixing function of SplitMix64, once for each key, started from what came before. Whole
    numbers modulo 2**64 only, so that every machine finds the same.

    References
    ----------
    Steele, Lea & Flood (2014): Fast splittable pseudorandom number generators. OOPSLA '14,
    453-472, Fig. 17, doi:10.1145/2660193.2660195 (constants from memory).
    """
    state = np.zeros(1, np.uint64)
    for key in keys:
        word = np.atleast_1d(np.asarray(key, np.int64)).astype(np.uint64)
        state = _mixed(state ^ _mixed(word))
    return np.asarray(((state >> np.uint64(12)).astype(np.float64) + 0.5) * 2.0**-52)


def _mixed(word: Words) -> Words:
    """One step on and mixed, modulo 2**64; arrays, unlike scalars, overflow in silence."""
    word = word + _STEP
    for shift, factor in zip((30, 27), _FACTORS, strict=True):
        word = (word ^ (word >> np.uint64(shift))) * factor
    return np.asarray(word ^ (word >> np.uint64(31)))


def solar_days(hours: Hours, lon_deg: ArrayLike) -> tuple[Ints, Floats]:
    """Day and time of the day by the sun, for hours at places.

    Parameters
    ----------
    hours
        UTC hours, shape (hour,).
    lon_deg
        East positive, shape (yard,). [deg]

    Returns
    -------
    day
        Days since 1970-01-01 by mean solar time, at the middle of the hour, shape (yard, hour).
    clock_h
        Mean solar time at the middle of the hour, 0 to 24, shape (yard, hour). [h]

    Notes
    -----
    Rule of this project: draws belong to the day of the sun and not of the law, which changes its
    clock, and which at one meridian may have two dates. 15 degrees are an hour.
    """
    middle_h = hours.astype("datetime64[h]").astype(np.int64) + 0.5
    solar_h = middle_h + np.asarray(lon_deg, np.float64)[:, np.newaxis] / 15.0
    day = np.floor(solar_h / 24.0)
    return day.astype(np.int64), np.asarray(solar_h - 24.0 * day)


def cell_places() -> tuple[Floats, Floats]:
    """Where the cells of the lattice lie.

    Returns
    -------
    lat_deg, lon_deg
        Shape (cell,), longitudes from -180 to below 180. [deg]

    Notes
    -----
    A Fibonacci lattice: cell i at sine of latitude 1 - (2 i + 1) / n, each turned by the golden
    angle from the one before. Every cell stands for the same area, at the poles too.

    References
    ----------
    Gonzalez (2010): Measurement of areas on a sphere using Fibonacci and latitude-longitude
    lattices. Mathematical Geosciences 42:49-64, doi:10.1007/s11004-009-9257-x (from memory).
    """
    number = np.arange(CELLS)
    sine = 1.0 - (2.0 * number + 1.0) / CELLS
    lon_deg = np.mod(np.rad2deg(number * _GOLDEN_ANGLE) + 180.0, 360.0) - 180.0
    return np.asarray(np.rad2deg(np.arcsin(sine))), np.asarray(lon_deg)


def cells_round(lat_deg: ArrayLike, lon_deg: ArrayLike) -> tuple[Ints, Floats, Ints]:
    """The cells that places feel, how much, and by how many days their solar dates differ.

    Parameters
    ----------
    lat_deg, lon_deg
        Places, shape (yard,). [deg]

    Returns
    -------
    cell
        Numbers of cells in rising order, shape (yard, near). Rows with fewer end in cells of
        weight 0.
    weight
        Same shape; the squares of a row sum to 1, so that the sum of normals has variance 1.
    days_on
        Same shape: -1, 0 or 1, to be added to a yard's solar day to get that of the cell.

    Notes
    -----
    Rule of this project. Weight (1 - (d / reach)^2)^2 within ``REACH_KM``, d along the chord. The
    cell's day is the one whose noon is nearest to the yard's noon: beyond the meridian of 180
    degrees the date differs and the weather does not. Round a pole, places on opposite meridians
    have days that overlap by half, and so do their draws.
    """
    lat, lon = np.atleast_1d(lat_deg).astype(float), np.atleast_1d(lon_deg).astype(float)
    lon = np.mod(lon + 180.0, 360.0) - 180.0
    cell_lat, cell_lon = cell_places()
    chord = _on_sphere(lat, lon)[:, np.newaxis, :] - _on_sphere(cell_lat, cell_lon)
    gap = chord * chord
    squared = (gap[..., 0] + gap[..., 1] + gap[..., 2]) * (EARTH_RADIUS_KM / REACH_KM) ** 2
    raw = np.maximum(1.0 - squared, 0.0) ** 2
    felt = raw > 0.0
    order = np.argsort(~felt, axis=1, kind="stable")[:, : int(felt.sum(axis=1).max(initial=0))]
    weight = np.take_along_axis(raw, order, axis=1)
    # Added one after the other: zeros at the end of a row then change no bit of its sum.
    total = np.cumsum(weight * weight, axis=1)[:, -1:]
    days_on = np.rint((cell_lon[order] - lon[:, np.newaxis]) / 360.0).astype(np.int64)
    return order, np.asarray(weight / np.sqrt(total)), days_on


def _on_sphere(lat_deg: Floats, lon_deg: Floats) -> Floats:
    lat, lon = np.deg2rad(lat_deg), np.deg2rad(lon_deg)
    return np.stack([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)], axis=-1)


def normal_field(
    lat_deg: ArrayLike, lon_deg: ArrayLike, days: Ints, members: int, stream: int
) -> Floats:
    """Standard normals for yards, members and solar days.

    Parameters
    ----------
    lat_deg, lon_deg
        Places, shape (yard,). [deg]
    days
        Solar days of each yard, shape (yard, day); see ``solar_days``.
    members
        How many members; the first are the same whatever their number.
    stream
        ``TEMPERATURE``, ``RAIN`` or any other whole number: streams are independent.

    Returns
    -------
    ndarray
        Mean 0, variance 1, independent between days and members, shape (yard, member, day).

    Notes
    -----
    Rule of this project: weighted sums over the cells of ``cells_round``, added in rising order
    of cells, so that a yard's normals do not depend on the yards beside it, to the last bit.
    """
    from scipy.special import ndtri

    cell, weight, days_on = cells_round(lat_deg, lon_deg)
    used, place = np.unique(cell, return_inverse=True)
    place = place.reshape(cell.shape)
    known = days.ravel() if days.size else np.zeros(1, np.int64)
    first = int(known.min()) - 1
    steps = np.arange(first, int(known.max()) + 2)
    member = np.arange(members)
    normals = ndtri(
        hashed_uniforms(stream, used[:, np.newaxis, np.newaxis], member[:, np.newaxis], steps)
    )
    total = np.zeros((cell.shape[0], members, days.shape[1]))
    for near in range(cell.shape[1]):
        step = days + days_on[:, near, np.newaxis] - first
        drawn = normals[
            place[:, near, np.newaxis, np.newaxis], member[:, np.newaxis], step[:, np.newaxis, :]
        ]
        total += weight[:, near, np.newaxis, np.newaxis] * drawn
    return total
