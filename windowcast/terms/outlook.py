"""Hourly weather for one place, and a batch of such places on one hour index."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from windowcast.terms.yard import Place, Yard
from windowcast.times import Hours

Floats = NDArray[np.floating[Any]]
Bools = NDArray[np.bool_]

# Our names, each with its unit; NaN means "not told", never zero. An hour is [t, t + 1 h).
#   temp_c, dewpoint_c   air and dew point at 2 m, at the start of the hour       °C
#   wind_mps, gust_mps   wind at 10 m                                             m/s
#   wind_from_deg        where the wind comes from                                ° from north
#   rain_mm              all precipitation of the hour, as water                  mm
#   snow_mm              depth of new snow in the hour                            mm
#   ice_mm               ice accretion in the hour                                mm
#   cloud_frac           sky covered                                              0-1
#   rain_prob_frac       chance of rain in the told period that holds the hour    0-1
#   sun_wm2              global horizontal irradiance, mean of the hour           W/m2
#   thunder, freezing_rain   1 where the forecast mentions it, 0 where it does not
VARIABLES = (
    "temp_c", "dewpoint_c", "wind_mps", "gust_mps", "wind_from_deg", "rain_mm", "snow_mm",
    "ice_mm", "cloud_frac", "rain_prob_frac", "sun_wm2", "thunder", "freezing_rain",
)  # fmt: skip

# What an hour can be at most and at least; a source refuses what lies outside (decision 5).
PLAUSIBLE = {
    "temp_c": (-60.0, 55.0), "dewpoint_c": (-70.0, 40.0), "wind_mps": (0.0, 70.0),
    "gust_mps": (0.0, 110.0), "wind_from_deg": (0.0, 360.0), "rain_mm": (0.0, 300.0),
    "snow_mm": (0.0, 500.0), "ice_mm": (0.0, 150.0), "cloud_frac": (0.0, 1.0),
    "rain_prob_frac": (0.0, 1.0), "sun_wm2": (0.0, 1500.0), "thunder": (0.0, 1.0),
    "freezing_rain": (0.0, 1.0),
}  # fmt: skip

FORECAST = "forecast"
PAST = "past"


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Who told some of the hours, and when.

    ``issued_at`` is the issue time of a forecast, or the newest hour of a record of the past;
    None where the service does not say. ``derived`` names arrays that were computed and not told;
    ``spread`` says that daily totals and extremes were spread over the hours. ``credit`` is the
    line that the service wants to see beside its data. ``kept`` says that the book told it because
    no service answered.
    """

    name: str
    kind: str = FORECAST
    issued_at: datetime | None = None
    detail: str = ""
    derived: frozenset[str] = frozenset()
    spread: bool = False
    credit: str | None = None
    kept: bool = False

    def __post_init__(self) -> None:
        """Refuse a kind that is neither forecast nor past, and a time without a zone."""
        if self.kind not in (FORECAST, PAST):
            raise ValueError(f"{self.kind!r} is neither {FORECAST!r} nor {PAST!r}")
        if self.issued_at is not None and self.issued_at.tzinfo is None:
            raise ValueError("issued_at has no time zone")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """An official hazard in force over some hours, by its VTEC phenomenon and significance.

    Significance W is a warning, A a watch, Y an advisory, S a statement (NWS Directive 10-1703).
    """

    phenomenon: str
    significance: str
    first: np.datetime64
    count: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outlook:
    """Hourly weather of one yard, past and future, no gaps in the hour index.

    ``arrays`` holds every name of ``VARIABLES``, float32, shape (member, hour). ``origin_of_hour``
    is an index into ``origins`` for each hour, -1 where nobody told anything, shape (hour,).
    """

    yard_key: str
    hours: Hours
    arrays: Mapping[str, Floats]
    origins: tuple[Origin, ...]
    origin_of_hour: NDArray[np.int8]
    hazards: tuple[Hazard, ...] = ()

    def __post_init__(self) -> None:
        """Refuse gaps in the index, missing arrays and shapes that differ."""
        if self.hours.dtype != np.dtype("datetime64[h]") or self.hours.ndim != 1:
            raise ValueError("hours must be a datetime64[h] vector")
        if self.hours.size and np.any(np.diff(self.hours.astype(np.int64)) != 1):
            raise ValueError("hours have a gap")
        missing = [name for name in VARIABLES if name not in self.arrays]
        if missing:
            raise ValueError(f"arrays lack {', '.join(missing)}")
        shapes = {self.arrays[name].shape for name in VARIABLES}
        if len(shapes) != 1 or next(iter(shapes))[1:] != self.hours.shape:
            raise ValueError(f"arrays are not all (member, hour): {sorted(shapes)}")
        if self.origin_of_hour.shape != self.hours.shape:
            raise ValueError("origin_of_hour is not (hour,)")
        if np.any((self.origin_of_hour < -1) | (self.origin_of_hour >= len(self.origins))):
            raise ValueError("origin_of_hour points past the origins")

    @property
    def members(self) -> int:
        """How many members the arrays hold; a deterministic forecast has one."""
        return int(self.arrays["temp_c"].shape[0])

    def told(self) -> Bools:
        """Whether temperature and wind are told in any member, shape (hour,)."""
        both = np.isfinite(self.arrays["temp_c"]) & np.isfinite(self.arrays["wind_mps"])
        return np.asarray(both.any(axis=0), dtype=np.bool_)


def outlook_of(
    yard_key: str,
    hours: Hours,
    arrays: Mapping[str, Floats],
    origin: Origin,
    hazards: tuple[Hazard, ...] = (),
) -> Outlook:
    """A deterministic outlook from one source.

    ``arrays`` may hold any of ``VARIABLES``, each of shape (hour,); the others are NaN. An hour
    belongs to the origin where any array tells something.
    """
    unknown = set(arrays) - set(VARIABLES)
    if unknown:
        raise ValueError(f"unknown arrays {', '.join(sorted(unknown))}")
    misfits = [name for name, array in arrays.items() if np.shape(array) != hours.shape]
    if misfits:
        raise ValueError(f"arrays are not all (hour,): {', '.join(misfits)}")
    full = {
        name: np.asarray(arrays.get(name, np.full(hours.shape, np.nan)), np.float32)[np.newaxis]
        for name in VARIABLES
    }
    any_told = np.any([np.isfinite(array[0]) for array in full.values()], axis=0)
    return Outlook(
        yard_key=yard_key, hours=hours, arrays=full, origins=(origin,),
        origin_of_hour=np.where(any_told, 0, -1).astype(np.int8), hazards=hazards,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answer:
    """What a source said when asked about some yards. Keys are yard keys.

    ``outlooks`` are forecasts (with whatever past the same answer holds), ``pasts`` are records of
    past hours. ``trouble`` holds one sentence for each yard that got no forecast, ``remarks`` are
    sentences about what is missing without making a yard blind.
    """

    outlooks: Mapping[str, Outlook] = field(default_factory=dict)
    pasts: Mapping[str, Outlook] = field(default_factory=dict)
    places: Mapping[str, Place] = field(default_factory=dict)
    trouble: Mapping[str, str] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Batch:
    """Yards on one hour index: the arrays that the core works on, shape (yard, member, hour)."""

    yards: tuple[Yard, ...]
    hours: Hours
    arrays: Mapping[str, Floats]
    outlooks: tuple[Outlook, ...]

    def __post_init__(self) -> None:
        """Refuse a batch whose parts do not fit together."""
        if len(self.yards) != len(self.outlooks):
            raise ValueError("one outlook for each yard")


def stack(yards: Sequence[Yard], outlooks: Sequence[Outlook], hours: Hours) -> Batch:
    """Lay outlooks of one member count on a common hour index; hours not told are NaN."""
    members = {outlook.members for outlook in outlooks}
    if len(members) > 1:
        raise ValueError(f"outlooks differ in members: {sorted(members)}")
    count = members.pop() if members else 1
    arrays = {
        name: np.full((len(yards), count, hours.size), np.nan, np.float32) for name in VARIABLES
    }
    for row, outlook in enumerate(outlooks):
        shift = int((outlook.hours[0] - hours[0]).astype(np.int64)) if outlook.hours.size else 0
        low, high = max(shift, 0), min(shift + outlook.hours.size, hours.size)
        if low < high:
            for name in VARIABLES:
                arrays[name][row, :, low:high] = outlook.arrays[name][:, low - shift : high - shift]
    return Batch(yards=tuple(yards), hours=hours, arrays=arrays, outlooks=tuple(outlooks))
