"""Layers of the raw grid: run-length coded numbers, laid out hour by hour.

Three kinds. A *state* (temperature, sky) is that of the hour's beginning: it holds for every hour
that begins inside its interval, and an hour at whose beginning nothing is told is not told. A
*worst* (wind, gust, chance of rain, thunder) is the greatest value that touches the hour, since ten
windy or thundery minutes are enough to spoil it. An *amount* (rain, snow) fell over exactly its
interval and is split by overlap in time. Where intervals overlap the later element wins; what no
element speaks of is NaN, never zero.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.intervals import Interval, read_interval
from windowcast.sources.wire.json_body import (
    Place,
    as_list,
    as_number,
    as_object,
    as_text,
    dotted,
    refuse,
    shown,
)
from windowcast.sources.wire.units import Conversion, bare, conversion, known, plausible
from windowcast.terms.outlook import PLAUSIBLE, Bools, Floats

HOUR_S = 3600
MOST_ELEMENTS = 3000  # four a hour for a month; recorded layers have at most about 200

# Values this close outside a bound are rounding noise of the service and count as the bound.
NOISE = 1e-6

# One wild value is a slip of an editor. Many of them, or a large share of the told time, are a
# wrong unit: then nothing of the layer can be believed. Rule of this project.
WILD_AT_MOST = 5
WILD_SHARE_AT_MOST = 1 / 3


class Wanted(NamedTuple):
    """A layer that we read: its name on the wire, ours, and the kind of its unit.

    ``most_a_period`` bounds an amount of one whole interval, None where it is no amount.
    """

    layer: str
    name: str
    kind: str
    most_a_period: float | None = None


STATES = (
    Wanted("temperature", "temp_c", "temperature"),
    Wanted("dewpoint", "dewpoint_c", "temperature"),
    Wanted("windDirection", "wind_from_deg", "angle"),
    Wanted("skyCover", "cloud_frac", "share"),
)
WORSTS = (
    Wanted("windSpeed", "wind_mps", "speed"),
    Wanted("windGust", "gust_mps", "speed"),
    Wanted("probabilityOfPrecipitation", "rain_prob_frac", "share"),
)
AMOUNTS = (
    Wanted("quantitativePrecipitation", "rain_mm", "depth", 500.0),
    Wanted("snowfallAmount", "snow_mm", "depth", 3000.0),
    Wanted("iceAccumulation", "ice_mm", "depth", 150.0),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Told:
    """What a layer tells: seconds since 1970 and SI values (NaN for null), shape (element,).

    ``wild`` marks the elements whose value cannot be; their value is NaN.
    """

    start_s: NDArray[np.int64]
    end_s: NDArray[np.int64]
    values: Floats
    wild: Bools
    remarks: tuple[str, ...] = ()


def elements_of(layer: object, *place: str | int) -> Iterator[tuple[Interval, object, Place]]:
    """The interval, raw value and place of each element; nothing for an absent or empty layer."""
    if layer is None:
        return
    values = as_object(layer, *place).get("values")
    if values is None:
        return
    for index, raw in enumerate(as_list(values, *place, "values", most=MOST_ELEMENTS)):
        where = (*place, "values", index)
        element = as_object(raw, *where)
        if "value" not in element:
            refuse(where, raw, "an object with validTime and value")
        text = as_text(element.get("validTime"), *where, "validTime")
        try:
            interval = read_interval(text)
        except ValueError as error:
            raise SourceGarbled(
                f"{dotted((*where, 'validTime'))}: {shown(text)} is not an interval that can be"
                f" read: {error}"
            ) from None
        yield interval, element["value"], (*where, "value")


def read_layer(properties: Mapping[str, object], wanted: Wanted, source: str) -> Told:
    """A layer of numbers in SI; wild values are NaN with a remark, too many are refused."""
    place = (source, wanted.layer)
    layer = properties.get(wanted.layer)
    intervals, raw, places = [], [], []
    for interval, value, where in elements_of(layer, *place):
        intervals.append(interval)
        raw.append(np.nan if value is None else as_number(value, *where))
        places.append(where)
    written = np.array(raw, dtype=np.float64)
    unit = as_object(layer, *place).get("uom") if layer is not None else None
    needs_unit = np.isfinite(written).any()  # empty layers and layers of nulls often have none
    si = _in_si(written, _conversion(unit, wanted, place)) if needs_unit else written
    told = told_of(intervals, si)
    wild = _wild(told, wanted)
    if not wild.any():
        return _tidied(told, wanted, wild, ())
    worst = int(np.argmax(wild))
    found = f"{written[worst]:.6g} {bare(str(unit))}"
    remark = _about_wild(dotted(places[worst]), found, told, wild, wanted)
    return _tidied(told, wanted, wild, (remark,))


def told_of(intervals: list[Interval], values: Floats) -> Told:
    """Intervals and values side by side, nothing of it wild."""
    bounds = np.array([(i.start_s, i.end_s) for i in intervals], dtype=np.int64).reshape(-1, 2)
    return Told(
        start_s=bounds[:, 0],
        end_s=bounds[:, 1],
        values=values,
        wild=np.zeros(len(values), dtype=np.bool_),
    )


def _conversion(unit: object, wanted: Wanted, place: Place) -> Conversion:
    where = (*place, "uom")
    found = conversion(as_text(unit, *where), wanted.kind)
    if found is None:
        refuse(where, unit, f"a unit of {wanted.kind} ({known(wanted.kind)})")
    return found


def _in_si(written: Floats, convert: Conversion) -> Floats:
    return np.array([convert(value) for value in written.tolist()], dtype=np.float64)


def _wild(told: Told, wanted: Wanted) -> Bools:
    """Where a value is outside what weather can be, shape (element,)."""
    low, high = PLAUSIBLE[wanted.name]
    if wanted.most_a_period is None:
        return (told.values < low - NOISE) | (told.values > high + NOISE)
    hours = np.maximum((told.end_s - told.start_s) / HOUR_S, 1.0)
    most = np.minimum(high * hours, wanted.most_a_period)
    return (told.values < low - NOISE) | (told.values > most + NOISE)


def _about_wild(where: str, found: str, told: Told, wild: Bools, wanted: Wanted) -> str:
    """The remark on wild values; SourceGarbled if they are so many that the unit must be wrong."""
    count, spoken = int(wild.sum()), np.isfinite(told.values)
    seconds = told.end_s - told.start_s
    share = seconds[wild].sum() / seconds[spoken].sum()
    cannot_be = f"{found} cannot be (an hour has {plausible(wanted.name, wanted.kind)})"
    if count > WILD_AT_MOST or share > WILD_SHARE_AT_MOST:
        raise SourceGarbled(
            f"{where}: {cannot_be}, and so {count} of the {spoken.sum()} values of"
            f" {wanted.layer}; a unit is wrong"
        )
    others = f", and so {count - 1} more" if count > 1 else ""
    return f"{where}: {cannot_be}{others}; hours with such a value count as not told"


def _tidied(told: Told, wanted: Wanted, wild: Bools, remarks: tuple[str, ...]) -> Told:
    """Without wild values and rounding noise; ``-0.0`` becomes ``0.0``."""
    low, high = PLAUSIBLE[wanted.name]
    values = np.where(wild, np.nan, told.values)
    if wanted.most_a_period is None:
        values = np.clip(values, low, high)
    else:
        values = np.where(np.abs(values) < NOISE, 0.0, values)
    return Told(
        start_s=told.start_s, end_s=told.end_s, values=values + 0.0, wild=wild, remarks=remarks
    )


# --- hour by hour -----------------------------------------------------------------------------


def hours_begun(told: Told) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First hour that begins inside each interval, and the first that no longer does."""
    return -(-told.start_s // HOUR_S), -(-told.end_s // HOUR_S)


def hours_touched(told: Told) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First hour that overlaps each interval, and the first after it that no longer does."""
    return told.start_s // HOUR_S, -(-told.end_s // HOUR_S)


def spread_state(told: Told, first: int, count: int) -> Floats:
    """A state over ``count`` hours from hour ``first`` (since 1970) on, shape (hour,)."""
    hourly = np.full(count, np.nan)
    begins, ends = hours_begun(told)
    for begin, end, value in zip(begins - first, ends - first, told.values, strict=True):
        hourly[max(begin, 0) : max(end, 0)] = value
    return hourly


class _Pieces(NamedTuple):
    """The told time, cut where an hour or an element begins or ends, shape (piece,) each.

    ``hour`` counts from the first hour wanted; ``owner`` is the element that speaks, the latest
    where several do.
    """

    hour: NDArray[np.int64]
    owner: NDArray[np.int64]
    seconds: NDArray[np.int64]


def _pieces(told: Told, first: int, count: int) -> _Pieces:
    hour_edges = (first + np.arange(count + 1)) * HOUR_S
    edges = np.unique(np.concatenate([hour_edges, told.start_s, told.end_s]))
    owner = np.full(edges.size - 1, -1)
    begins, ends = np.searchsorted(edges, told.start_s), np.searchsorted(edges, told.end_s)
    for element, (begin, end) in enumerate(zip(begins, ends, strict=True)):
        owner[begin:end] = element
    inside = (edges[:-1] >= hour_edges[0]) & (edges[:-1] < hour_edges[-1]) & (owner >= 0)
    return _Pieces(
        hour=edges[:-1][inside] // HOUR_S - first,
        owner=owner[inside],
        seconds=np.diff(edges)[inside],
    )


def spread_worst(told: Told, first: int, count: int) -> Floats:
    """The greatest value that touches each of ``count`` hours from hour ``first`` on."""
    hourly = np.full(count, np.nan)
    pieces = _pieces(told, first, count)
    np.fmax.at(hourly, pieces.hour, told.values[pieces.owner])
    return hourly


def spread_amount(told: Told, first: int, count: int) -> Floats:
    """Amounts over ``count`` hours from hour ``first`` on, split by overlap, shape (hour,).

    The sum over the hours is the sum of the elements. An hour that is told only in part keeps the
    amount of that part; if that is zero, the hour is not told, since its other part may be wet.
    """
    pieces = _pieces(told, first, count)
    rate = told.values / (told.end_s - told.start_s)
    piece = rate[pieces.owner] * pieces.seconds
    known = np.isfinite(piece)
    hour = pieces.hour[known]
    amount = np.bincount(hour, weights=piece[known], minlength=count)
    covered_s = np.bincount(hour, weights=pieces.seconds[known], minlength=count)
    return np.where((covered_s == HOUR_S) | (amount > 0), amount, np.nan)


def spread_wild(told: Told, first: int, count: int) -> Bools:
    """Which hours a wild value touches, shape (hour,)."""
    hourly = np.zeros(count, dtype=np.bool_)
    begins, ends = hours_touched(told)
    for begin, end in zip(begins[told.wild] - first, ends[told.wild] - first, strict=True):
        hourly[max(begin, 0) : max(end, 0)] = True
    return hourly
