"""Solar days ahead of the issue of a forecast, and how the hours of a block lie on them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from windowcast.science.spread.lattice import solar_days
from windowcast.terms.outlook import Bools, Floats
from windowcast.terms.spread import SpreadPractice
from windowcast.times import Hours, Ints

BEFORE = 1  # days before the day of issue that the axis of days begins with


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Places:
    """Yards side by side and when their forecasts were issued, each of shape (yard,)."""

    lat_deg: Floats
    lon_deg: Floats
    issued: Hours

    def __post_init__(self) -> None:
        """Refuse arrays that are not all (yard,)."""
        shapes = {self.lat_deg.shape, self.lon_deg.shape, self.issued.shape}
        if len(shapes) != 1 or self.lat_deg.ndim != 1:
            raise ValueError("lat_deg, lon_deg and issued are not all (yard,)")
        if not (np.isfinite(self.lat_deg).all() and np.isfinite(self.lon_deg).all()):
            raise ValueError("a place without latitude or longitude")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Frame:
    """Hours of a block of yards on an axis of solar days.

    ``lead`` counts days from that of the issue, shape (day,); ``day`` is the solar day, shape
    (yard, day). Of shape (yard, hour): ``own`` and ``other`` are positions on the axis of days of
    the hour's day and of the one next to it, ``share`` is the weight of the other, ``clock_h`` is
    solar time and ``ahead_h`` time since the issue at the middle of the hour, not below 0.
    ``past``, shape (hour,), is True before ``now``.
    """

    places: Places
    hours: Hours
    lead: Ints
    day: Ints
    own: Ints
    other: Ints
    share: Floats
    clock_h: Floats
    ahead_h: Floats
    past: Bools


def frame_of(places: Places, hours: Hours, now: np.datetime64, practice: SpreadPractice) -> Frame:
    """How the hours of some yards lie on solar days ahead.

    Parameters
    ----------
    places
        Yards and the hours of issue of their forecasts.
    hours
        UTC hours without a gap, shape (hour,).
    now
        UTC hour from which on hours are future.
    practice
        Between which hours a day has its own error alone.

    Returns
    -------
    Frame
        With days from one before the issue to one after the last hour.

    Notes
    -----
    Rule of this project: lead days are counted by the sun, 24 hours each, from the day of issue.
    From evening to morning an hour lies between two days, the weight of the other growing with
    time, so that nothing jumps at midnight.
    """
    day, clock_h = solar_days(hours, places.lon_deg)
    issued = places.issued.astype("datetime64[h]").astype(np.int64)
    issue_day = np.floor((issued + 0.5 + places.lon_deg / 15.0) / 24.0).astype(np.int64)
    ahead = day - issue_day[:, np.newaxis]
    last = int(ahead.max(initial=0)) + 1
    lead = np.arange(-BEFORE, max(last, 1) + 1)
    night_h = 24.0 - practice.day_to_h + practice.day_from_h
    early = np.maximum(practice.day_from_h - clock_h, 0.0) / night_h
    late = np.maximum(clock_h - practice.day_to_h, 0.0) / night_h
    own = np.clip(ahead + BEFORE, 0, lead.size - 1)
    step = np.where(early > 0.0, -1, np.where(late > 0.0, 1, 0))
    middle = hours.astype("datetime64[h]").astype(np.int64) + 0.5
    return Frame(
        places=places, hours=hours, lead=lead, day=issue_day[:, np.newaxis] + lead, own=own,
        other=np.clip(own + step, 0, lead.size - 1), share=np.asarray(early + late),
        clock_h=clock_h, ahead_h=np.maximum(middle - issued[:, np.newaxis], 0.0),
        past=np.asarray(hours < now),
    )  # fmt: skip


def at_own_day(daily: Floats, frame: Frame) -> Floats:
    """Values of days laid on their hours.

    Parameters
    ----------
    daily
        Shape (yard, member, day).
    frame
        Where the hours lie.

    Returns
    -------
    ndarray
        The value of the hour's own solar day, shape (yard, member, hour).

    Notes
    -----
    Rule of this project: whether a day is wet changes at solar midnight.
    """
    return np.take_along_axis(daily, frame.own[:, np.newaxis, :], axis=-1)


def between_days(daily: Floats, frame: Frame) -> Floats:
    """Values of days laid on their hours, passing over from day to day at night.

    Parameters
    ----------
    daily
        Shape (yard, member, day).
    frame
        Where the hours lie.

    Returns
    -------
    ndarray
        Shape (yard, member, hour).

    Notes
    -----
    Rule of this project: by day the day's own value, at night a line from one to the next.
    """
    share = frame.share[:, np.newaxis, :]
    other = np.take_along_axis(daily, frame.other[:, np.newaxis, :], axis=-1)
    return np.asarray((1.0 - share) * at_own_day(daily, frame) + share * other)


def normals_between_days(daily: Floats, corr: Floats, frame: Frame) -> Floats:
    """Standard normals of days laid on their hours, standard normals at night too.

    Parameters
    ----------
    daily
        Shape (yard, member, day).
    corr
        Correlation of each day with the one before, shape (yard, day).
    frame
        Where the hours lie.

    Returns
    -------
    ndarray
        Shape (yard, member, hour), of variance 1 in every hour.

    Notes
    -----
    Rule of this project: the line of ``between_days`` divided by its standard deviation,
    sqrt((1 - w)^2 + w^2 + 2 w (1 - w) c).
    """
    later = np.maximum(frame.own, frame.other)
    together = np.where(frame.own == frame.other, 1.0, np.take_along_axis(corr, later, axis=-1))
    share = frame.share
    variance = (1.0 - share) ** 2 + share**2 + 2.0 * share * (1.0 - share) * together
    return np.asarray(between_days(daily, frame) / np.sqrt(variance)[:, np.newaxis, :])
