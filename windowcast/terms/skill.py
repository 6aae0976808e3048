"""How good forecasts were: figures that rest on counted cases, or say that these are too few."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from windowcast.terms.counts import Interval
from windowcast.terms.lead import LeadErrors
from windowcast.terms.outlook import Floats
from windowcast.times import Hours


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of merit, and what it rests on.

    ``value`` is None where nothing can be said: not enough cases, or nothing to compare with.
    ``cases`` were used; ``dropped`` had something untold and were not.
    """

    value: float | None
    cases: int
    dropped: int = 0

    def __post_init__(self) -> None:
        """Refuse counts below zero, and a value that is no number."""
        if self.cases < 0 or self.dropped < 0:
            raise ValueError("cases and dropped are counts")
        if self.value is not None and not (math.isfinite(self.value) and self.cases):
            raise ValueError(f"{self.value} from {self.cases} cases is not a figure")


@dataclass(frozen=True, slots=True, kw_only=True)
class BrierParts:
    """What a Brier score consists of, and what it rests on.

    brier = reliability - resolution + uncertainty + within_variance - within_covariance. The last
    two are what forecasts that differ inside a bin leave over; they are 0 where forecasts are
    grouped by value. All six are None where there are not enough cases.
    """

    brier: float | None
    reliability: float | None
    resolution: float | None
    uncertainty: float | None
    within_variance: float | None
    within_covariance: float | None
    cases: int
    dropped: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ReliabilityBin:
    """Forecasts of chances from ``low_frac`` up to ``high_frac``, and how often it happened.

    ``told_frac`` is the mean chance that was told, ``came_frac`` the share of cases in which it
    happened, ``interval`` where that share may lie by its count alone; all None without a case.
    """

    low_frac: float
    high_frac: float
    cases: int
    told_frac: float | None = None
    came_frac: float | None = None
    interval: Interval | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reliability:
    """Bins of chances from 0 to 1; ``dropped`` cases had something untold."""

    bins: tuple[ReliabilityBin, ...]
    dropped: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadFit:
    """Errors of an outfit's own archive by lead day, and how much each day rests on.

    For each lead day of ``errors``: ``cases`` that were used, and how many of them were
    ``clipped`` because they lay far out. ``unused`` cases were untold, or of a day beyond.
    """

    errors: LeadErrors
    cases: tuple[int, ...]
    clipped: tuple[int, ...]
    unused: int

    def __post_init__(self) -> None:
        """Refuse counts that do not fit the table."""
        if {len(self.cases), len(self.clipped)} != {len(self.errors.raw_dc)}:
            raise ValueError("cases and clipped must hold one count for each lead day")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ForecastArchive:
    """Forecasts of one place as they were issued, and what the hours then were.

    ``issued`` are the hours of issue, shape (case,), rising; ``lead_h`` the hours from the hour of
    issue on, shape (lead,), below 0 for hours of the same answer that had passed. ``forecast`` and
    ``came`` hold arrays of ``terms.outlook.VARIABLES``, each of shape (case, lead), NaN where not
    told. ``tz`` is the zone of the place. ``remarks`` tell what was left out.
    """

    lat_deg: float
    lon_deg: float
    tz: str
    issued: Hours
    lead_h: NDArray[np.int64]
    forecast: Mapping[str, Floats]
    came: Mapping[str, Floats]
    remarks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse arrays that do not fit, and issues out of order."""
        if np.any(np.diff(self.issued.astype(np.int64)) < 1):
            raise ValueError("issued is not rising")
        shapes = {array.shape for side in (self.forecast, self.came) for array in side.values()}
        if shapes != {(self.issued.size, self.lead_h.size)}:
            raise ValueError("an array of the archive is not (case, lead)")

    @property
    def hours(self) -> Hours:
        """The UTC hour that each element tells of, shape (case, lead)."""
        return np.asarray(self.issued[:, None] + self.lead_h[None, :])
