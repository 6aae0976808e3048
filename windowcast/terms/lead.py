"""What is known of weather by days ahead: errors of forecasts, and national outlooks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from windowcast.terms.text import demand_year
from windowcast.terms.threshold import GRADES, OURS

LONGEST_OUTLOOK_D = 31
ROUNDED_FRAC = 0.0201  # three chances in whole percent may miss 100 by two


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadErrors:
    """Errors of a forecast's daily maximum by lead day, from day 0 on.

    ``raw_dc`` is the root mean square error of the forecast as it stands, ``bias_dc`` its mean
    error (forecast less truth), taken off before anything else. ``source`` and ``grade`` say where
    the errors come from.
    """

    raw_dc: tuple[float, ...]
    bias_dc: tuple[float, ...]
    source: str
    grade: str

    def __post_init__(self) -> None:
        """Refuse tables of different length, and errors that are none."""
        if not self.raw_dc or len(self.raw_dc) != len(self.bias_dc):
            raise ValueError("raw_dc and bias_dc must hold one number for each lead day")
        if not all(0 < raw < math.inf for raw in self.raw_dc):
            raise ValueError("errors in raw_dc must be more than 0")
        if not all(math.isfinite(bias) for bias in self.bias_dc):
            raise ValueError("errors in bias_dc must be numbers")
        if self.grade not in GRADES:
            raise ValueError(f"{self.grade!r} is not a grade")


_NO_BIAS = (0.0,) * 8
_EXPO = "RMSE of US winter maxima, ASA Data Expo 2018 (Lundell, Bean & Symanzik), lead days 0-5"

CONTINENTAL_ERRORS = LeadErrors(
    raw_dc=(2.28, 2.52, 2.77, 3.06, 3.37, 3.82, 4.50, 5.20),
    bias_dc=_NO_BIAS,
    source=f"{_EXPO}; days 6 and 7 are ours",
    grade=OURS,
)
MARITIME_ERRORS = LeadErrors(
    raw_dc=(2.03, 2.24, 2.34, 2.54, 2.69, 2.89, 3.0, 3.1),
    bias_dc=_NO_BIAS,
    source=f"{_EXPO}, Washington and Oregon; days 6 and 7 from one winter at Portland",
    grade=OURS,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlookTilt:
    """What a national outlook says of the mean temperature of a span of days.

    Chances of the lowest, middle and highest third of years, for the days from ``first`` to
    ``last``, both included.
    """

    first: date
    last: date
    below_frac: float
    near_frac: float
    above_frac: float

    def __post_init__(self) -> None:
        """Refuse spans out of order and chances that do not add to one."""
        demand_year("first", self.first)
        demand_year("last", self.last)
        chances = (self.below_frac, self.near_frac, self.above_frac)
        if not 0 <= (self.last - self.first).days < LONGEST_OUTLOOK_D:
            raise ValueError(
                f"an outlook must end on its first day or up to {LONGEST_OUTLOOK_D} d on"
            )
        if not all(0 < chance < 1 for chance in chances):
            raise ValueError("each chance of an outlook must lie between 0 and 1")
        if abs(sum(chances) - 1.0) > ROUNDED_FRAC:
            raise ValueError("the three chances of an outlook must add up to 1")
