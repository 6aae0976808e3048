"""How members are made from one forecast: every coefficient with unit, source and grade."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from windowcast.terms.threshold import COMMON, OURS, PUBLISHED, threshold

_HOUSE = "rule of this project, not published"
_FIT = (
    "fitted by this project to errors of US winter maxima in the summaries of ASA Data Expo 2018"
    " (Lundell, Bean & Symanzik), with 5.2 C at day 7 of our own choice"
)
_DAY_TO_DAY = (
    "rule of this project, within correlations of errors (0.27-0.33 at short lead) and of daily"
    " anomalies (0.63 New York, 0.74 Seattle) computed by it"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadPractice:
    """How members are made from one forecast and from the climate of the place."""

    rho_most: float = threshold(
        "0.95",
        "number",
        says="most correlation that a forecast day may be credited with",
        source=_HOUSE,
        grade=OURS,
    )
    fade_start: float = threshold(
        "0.92",
        "number",
        says="correlation of forecast and truth at once, in rho = start exp(-(lead / scale)^power)",
        source=_FIT,
        grade=OURS,
    )
    fade_scale: float = threshold(
        "10.4", "number", says="scale of that fade, in days ahead", source=_FIT, grade=OURS
    )
    fade_power: float = threshold(
        "2.69", "number", says="power of that fade", source=_FIT, grade=OURS
    )
    day_corr_first: float = threshold(
        "0.30",
        "number",
        says="correlation of the errors of two days in a row, up to one day ahead",
        source=_DAY_TO_DAY,
        grade=OURS,
    )
    day_corr_step: float = threshold(
        "0.05",
        "number",
        says="growth of that correlation for each further day ahead",
        source=_DAY_TO_DAY,
        grade=OURS,
    )
    growth_h: float = threshold(
        "6 h",
        "duration",
        says="the error grows from nothing at the issue of the forecast with this time scale",
        source=_HOUSE,
        grade=OURS,
    )
    day_from_h: float = threshold(
        "9 h",
        "duration",
        says="from this time by the sun on an hour has the error of its own day alone",
        source=_HOUSE,
        grade=OURS,
    )
    day_to_h: float = threshold(
        "17 h",
        "duration",
        says="after this time by the sun the error passes over to that of the next day",
        source=_HOUSE,
        grade=OURS,
    )
    warm_wet_from: float = threshold(
        "6",
        "number",
        says="from this many days ahead on warm and wet go together as in the climate",
        source=_HOUSE,
        grade=OURS,
    )
    rain_most_mm: float = threshold(
        "5 mm",
        "depth",
        says="mean of a wet hour at most, where a forecast tells much rain with little chance",
        source=_HOUSE,
        grade=OURS,
    )
    trace_mm: float = threshold(
        "0.001 mm",
        "depth",
        says="rain of a wet hour for which the forecast tells a chance but no amount above zero",
        source=_HOUSE,
        grade=OURS,
    )
    wet_from_mm: float = threshold(
        "1 mm",
        "depth",
        says="least rain of a wet day",
        source="usual limit of wet days in climate statistics (from memory)",
        grade=COMMON,
    )
    wet_spell_h: float = threshold(
        "8 h",
        "duration",
        says="hours over which the rain of a generated wet day falls",
        source=_HOUSE,
        grade=OURS,
    )
    warm_day_c: float = threshold(
        "13 C",
        "temperature",
        says="a day with this maximum counts as warm in the chance that a warm day is dry",
        source="Vicens & Bosch 2000 (full activity of Apis mellifera at 12-14 C), cited by others",
        grade=PUBLISHED,
    )
    least_winters: float = threshold(
        "10",
        "number",
        says="winters of daily records that make a local climate",
        source=_HOUSE,
        grade=OURS,
    )
    handover_from: float = threshold(
        "5",
        "number",
        says="from this many days ahead on deviations pass over to those of the climate",
        source=_HOUSE,
        grade=OURS,
    )
    handover_to: float = threshold(
        "10",
        "number",
        says="from this many days ahead on they are those of the climate alone",
        source="forecasts of the maximum beat climate no further (one city, three winters); ours",
        grade=OURS,
    )

    settle_h: float = threshold(
        "6 h",
        "duration",
        says="after the last told hour its own anomaly turns into that of its day so fast",
        source=_HOUSE,
        grade=OURS,
    )
    past_reach_m: float = threshold(
        "250 km",
        "length",
        says="days of a station's past years are felt no further from it",
        source=_HOUSE,
        grade=OURS,
    )
    past_shift_h: float = threshold(
        "10 d",
        "duration",
        says="a past year that is taken again is moved by this much at most; whole days",
        source=_HOUSE,
        grade=OURS,
    )
    continental_spread_dc: float = threshold(
        "6.2 C",
        "temperature difference",
        says="spread of daily temperatures inland, where no climate is known",
        source="within-month spread of winter maxima, ASA Data Expo 2018, US but the Pacific side",
        grade=OURS,
    )
    maritime_spread_dc: float = threshold(
        "4.3 C",
        "temperature difference",
        says="the same on the Pacific side",
        source="the same, 7 cities of Washington and Oregon",
        grade=OURS,
    )
    default_lag_corr: float = threshold(
        "0.65",
        "number",
        says="correlation of daily anomalies of days in a row, where no climate is known",
        source="0.63 New York, 0.74 Seattle, computed by this project",
        grade=OURS,
    )
    default_wet_frac: float = threshold(
        "30 %",
        "fraction",
        says="share of wet days, where no climate is known",
        source=_HOUSE,
        grade=OURS,
    )
    default_wet_day_mm: float = threshold(
        "8 mm",
        "depth",
        says="mean rain of a wet day, where no climate is known",
        source=_HOUSE,
        grade=OURS,
    )

    def __post_init__(self) -> None:
        """Refuse coefficients that cannot be."""
        wild = [
            f.name for f in fields(self) if not 0 <= getattr(self, f.name) < math.inf
            and f.name != "warm_day_c"
        ]  # fmt: skip
        if wild:
            raise ValueError(f"{', '.join(wild)} must be numbers from 0 up")
        for name in _BELOW_ONE:
            if getattr(self, name) >= 1:
                raise ValueError(f"{name} must be less than 1")
        low = [name for name in _ABOVE_ZERO if getattr(self, name) <= 0]
        if low:
            raise ValueError(f"{', '.join(low)} must be more than 0")
        if not 0 <= self.day_from_h < self.day_to_h <= 24:
            raise ValueError("day_from must come before day_to, both within 24 h")
        if self.default_wet_day_mm <= self.wet_from_mm:
            raise ValueError("default_wet_day must be more than wet_from")
        if not self.handover_from < self.handover_to:
            raise ValueError("handover_from must come before handover_to")


_BELOW_ONE = ("rho_most", "fade_start", "day_corr_first", "default_lag_corr", "default_wet_frac")
_ABOVE_ZERO = (
    "fade_scale", "growth_h", "rain_most_mm", "trace_mm", "wet_spell_h", "settle_h",
    "past_reach_m", "continental_spread_dc", "maritime_spread_dc", "default_wet_frac",
)  # fmt: skip
