"""Hours to days: the best run of a local day and the day's score.

Arrays have the shape (yard, member, hour) before, and (yard, member, day, slot) once cut into
local days; a slot is the n-th hour of a local day, which has 23, 24 or 25 of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from numpy.typing import NDArray

from windowcast.science.window import rounded
from windowcast.terms.outlook import Bools, Floats
from windowcast.times import Hours, Ints, local_clock

SLOTS = 25  # hours of the longest local day


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DaySlots:
    """Where on the hour index each local day of each yard lies.

    ``index`` has the shape (yard, day, slot); ``inside`` is False where a day has no such slot or
    the index does not reach it.
    """

    days: tuple[date, ...]
    index: Ints
    inside: Bools


def day_slots(hours: Hours, zones: Sequence[str], days: Sequence[date]) -> DaySlots:
    """Positions of the hours of some local days, for yards in their own zones.

    Parameters
    ----------
    hours
        UTC hours without a gap, shape (hour,).
    zones
        IANA zone of each yard.
    days
        Calendar days wanted.

    Returns
    -------
    DaySlots
        Index arrays of shape (yard, day, slot).

    Notes
    -----
    Rule of this project: an hour belongs to the local day in which it begins.
    """
    ordinals = np.array([day.toordinal() for day in days])
    first = np.empty((len(zones), len(days)), np.int64)
    count = np.empty_like(first)
    for row, tz in enumerate(zones):
        local_day, _ = local_clock(hours, tz)
        first[row] = np.searchsorted(local_day, ordinals, side="left")
        count[row] = np.searchsorted(local_day, ordinals, side="right") - first[row]
    slot = np.arange(SLOTS)
    index = first[..., np.newaxis] + slot
    inside = slot < count[..., np.newaxis]
    return DaySlots(
        days=tuple(days), index=np.where(inside, index, 0), inside=np.asarray(inside, np.bool_)
    )


def by_day(values: Floats, slots: DaySlots) -> Floats:
    """Cut an array of hours into local days.

    Parameters
    ----------
    values
        Shape (yard, member, hour).
    slots
        Where the days lie.

    Returns
    -------
    ndarray
        Shape (yard, member, day, slot), dtype of ``values``; NaN where a day has no such slot.

    Notes
    -----
    Rule of this project: a day of 23 hours has two empty slots, never a borrowed hour.
    """
    cut = _cut(values, slots)
    return np.where(slots.inside[:, np.newaxis], cut, np.asarray(np.nan, values.dtype))


def flags_by_day(flags: Bools, slots: DaySlots) -> Bools:
    """Cut an array of yes and no into local days.

    Parameters
    ----------
    flags
        Shape (yard, member, hour).
    slots
        Where the days lie.

    Returns
    -------
    ndarray
        bool, shape (yard, member, day, slot); False where a day has no such slot.

    Notes
    -----
    Rule of this project: see ``by_day``.
    """
    return np.asarray(slots.inside[:, np.newaxis] & _cut(flags, slots))


def _cut(values: NDArray[Any], slots: DaySlots) -> NDArray[Any]:
    yards, days, width = slots.index.shape
    flat = slots.index.reshape(yards, 1, days * width)
    cut = np.take_along_axis(values, flat, axis=-1)
    return cut.reshape(yards, values.shape[1], days, width)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Runs:
    """The best run of each day: first slot and number of hours, shape (..., day)."""

    start: Ints
    length: Ints

    def mask(self, width: int = SLOTS) -> Bools:
        """Slots inside the run, shape (..., day, slot)."""
        slot = np.arange(width)
        begin = self.start[..., np.newaxis]
        return np.asarray((slot >= begin) & (slot < begin + self.length[..., np.newaxis]))


def best_runs(score: Floats, usable: Bools) -> Runs:
    """Consecutive usable hours with the greatest sum of scores, the earlier on a tie.

    Parameters
    ----------
    score
        Hour scores, shape (..., slot); read only where usable.
    usable
        Same shape.

    Returns
    -------
    Runs
        Shapes without the last axis; length 0 where no hour is usable.

    Notes
    -----
    Rule of this project. Every usable hour scores more than 0, so the best run is never a piece
    of a longer one. Sums are compared after rounding to 1e-6.
    """
    slot = np.arange(usable.shape[-1])
    total = np.cumsum(np.where(usable, score, 0.0), axis=-1)
    broken_at = np.maximum.accumulate(np.where(usable, -1, slot), axis=-1)
    before = np.where(
        broken_at >= 0, np.take_along_axis(total, np.maximum(broken_at, 0), axis=-1), 0.0
    )
    follows = np.concatenate([usable[..., 1:], np.zeros_like(usable[..., :1])], axis=-1)
    sums = np.where(usable & ~follows, rounded(total - before), -1.0)
    last = np.argmax(sums, axis=-1)
    found = np.take_along_axis(usable & ~follows, last[..., np.newaxis], axis=-1)[..., 0]
    start = np.take_along_axis(broken_at, last[..., np.newaxis], axis=-1)[..., 0] + 1
    return Runs(start=np.where(found, start, 0), length=np.where(found, last - start + 1, 0))


def day_scores(score: Floats, runs: Runs, min_run_h: int) -> Floats:
    """Mean of the best ``min_run_h`` hours of the run, 0 if the run is shorter.

    Parameters
    ----------
    score
        Hour scores, shape (..., day, slot).
    runs
        Best runs, shape (..., day).
    min_run_h
        Hours that a visit needs at least. [h]

    Returns
    -------
    ndarray
        0 to 1, shape (..., day).

    Notes
    -----
    Rule of this project: a long mediocre tail must not spoil two perfect hours.
    """
    inside = np.where(runs.mask(score.shape[-1]), score, 0.0)
    best = np.partition(inside, inside.shape[-1] - min_run_h, axis=-1)[..., -min_run_h:]
    return np.where(runs.length >= min_run_h, np.sort(best, axis=-1).mean(axis=-1), 0.0)


def mean_where(values: Floats, where: Bools) -> Floats:
    """Mean over the last axis of told values in some slots; NaN where there is none.

    Parameters
    ----------
    values
        Shape (..., slot); NaN where not told.
    where
        Slots that count, broadcasts.

    Returns
    -------
    ndarray
        Shape (...).

    Notes
    -----
    Rule of this project: what is not told neither helps nor harms the mean.
    """
    counts = where & np.isfinite(values)
    number = counts.sum(axis=-1)
    total = np.where(counts, values, 0.0).sum(axis=-1)
    return np.where(number > 0, total / np.maximum(number, 1), np.nan)
