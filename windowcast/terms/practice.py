"""Every threshold that an outfit may change: default, unit, source and grade, once.

The settings model, the commented ``practice.toml`` and ``windowcast why`` are made from the
metadata of these fields. Change a number here and it changes everywhere. A field's name ends in
the SI unit it holds; its key in ``practice.toml`` is the name without that ending. Those of
rounds stand in ``terms/rounds.py``, those of mites in ``terms/mites.py``.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from windowcast.terms.mites import MitePractice
from windowcast.terms.rounds import RoundPractice
from windowcast.terms.threshold import COMMON, HANDBOOK, OURS, PUBLISHED, key_of, threshold

_TRADE = "common practice, no source"
_HOUSE = "rule of this project, not published"
_FLIGHT_TEMP = (
    "Burrill & Dietz 1981 (foraging rises from 12 to 20 C) and Vicens & Bosch 2000 (full activity"
    " of Apis mellifera at 12-14 C), both as cited by others; the numbers are ours"
)
_FLIGHT_WIND = (
    "Hennessy et al. 2020, Animal Behaviour (visits fall with wind already from 0 to 3 m/s), and a"
    " teaching page (none above 15 mph); the numbers are ours"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperaturePractice:
    """Air temperature in which colonies are loose enough for vapour and bees do not fly."""

    best_low_c: float = threshold(
        "40 F",
        "temperature",
        says="from here up to best_high an hour gets full credit",
        source=_TRADE,
        grade=COMMON,
    )
    best_high_c: float = threshold(
        "46 F",
        "temperature",
        says="up to here an hour gets full credit",
        source=_TRADE,
        grade=COMMON,
    )
    edge_low_c: float = threshold(
        "35 F", "temperature", says="coldest hour that still works", source=_TRADE, grade=COMMON
    )
    edge_high_c: float = threshold(
        "51 F", "temperature", says="warmest hour that still works", source=_TRADE, grade=COMMON
    )
    edge_credit: float = threshold(
        "0.6",
        "number",
        says="credit at edge_low and edge_high; an hour below it is not usable",
        source=_HOUSE,
        grade=OURS,
    )
    none_low_c: float = threshold(
        "32 F",
        "temperature",
        says="no credit at or below: clusters are tight",
        source=_TRADE,
        grade=COMMON,
    )
    none_high_c: float = threshold(
        "55 F",
        "temperature",
        says="no credit from here up: bees fly and pollen comes in",
        source=_TRADE,
        grade=COMMON,
    )

    def __post_init__(self) -> None:
        """Refuse thresholds out of order."""
        ladder = (
            "none_low_c",
            "edge_low_c",
            "best_low_c",
            "best_high_c",
            "edge_high_c",
            "none_high_c",
        )
        for low, high in pairwise(ladder):
            below, above = getattr(self, low), getattr(self, high)
            if not (below < above or (low == "best_low_c" and below == above)):
                raise ValueError(
                    f"{key_of(low)} must be colder than {key_of(high)}; order them as"
                    f" {', '.join(key_of(step) for step in ladder)}"
                )
        _demand_credit("edge_credit", self.edge_credit)


@dataclass(frozen=True, slots=True, kw_only=True)
class RainPractice:
    """Rain at the yard during the work."""

    wet_from_mm: float = threshold(
        "0.2 mm",
        "depth",
        says="this much rain told for one hour stops the work",
        source="METAR reports precipitation from 0.01 in (0.25 mm) up; a little below it is ours",
        grade=OURS,
    )
    likely_from_frac: float = threshold(
        "60 %",
        "fraction",
        says="chance of rain from which any told amount, or a missing amount, stops the work",
        source=_HOUSE,
        grade=OURS,
    )
    untold_credit: float = threshold(
        "0.7",
        "number",
        says="credit of an hour for which neither amount nor chance is told",
        source=_HOUSE,
        grade=OURS,
    )

    def __post_init__(self) -> None:
        """Refuse amounts and chances that cannot be."""
        if not self.wet_from_mm > 0:
            raise ValueError("wet_from must be more than 0 mm")
        _demand_credit("likely_from", self.likely_from_frac)
        _demand_credit("untold_credit", self.untold_credit)


@dataclass(frozen=True, slots=True, kw_only=True)
class WindPractice:
    """Wind at 10 m: it blows the vapour out of the hive and into faces."""

    calm_to_mps: float = threshold(
        "8 mph", "speed", says="full credit up to here", source=_TRADE, grade=COMMON
    )
    none_from_mps: float = threshold(
        "15 mph", "speed", says="no credit from here up", source=_TRADE, grade=COMMON
    )
    swing_deg: float = threshold(
        "60 deg",
        "angle",
        says="a turn of the wind inside the run by more than this is said aloud,"
        " since the crew must change sides",
        source=_HOUSE,
        grade=OURS,
    )

    def __post_init__(self) -> None:
        """Refuse speeds out of order."""
        if not 0 <= self.calm_to_mps < self.none_from_mps:
            raise ValueError("calm_to must be at least 0 and less than none_from")
        if not 0 < self.swing_deg <= 180:
            raise ValueError("swing must be more than 0 deg and at most 180 deg")


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightPractice:
    """How much bees fly in an hour, from 0 (none) to 1 (full flight)."""

    cost: float = threshold(
        "0.4", "number", says="credit lost in full flight", source=_HOUSE, grade=OURS
    )
    none_below_c: float = threshold(
        "10 C", "temperature", says="no flight at or below", source=_FLIGHT_TEMP, grade=OURS
    )
    full_over_dc: float = threshold(
        "6 C",
        "temperature difference",
        says="degrees above none_below at which flight is full",
        source=_FLIGHT_TEMP,
        grade=OURS,
    )
    full_sun_wm2: float = threshold(
        "300 W/m2",
        "irradiance",
        says="sunshine from which it no longer holds flight back",
        source="Vicens & Bosch 2000, Environ. Entomol. 29:413-420 (from its summary)",
        grade=PUBLISHED,
    )
    dark_factor: float = threshold(
        "0.2", "number", says="factor under a dark sky", source=_HOUSE, grade=OURS
    )
    cloud_from_frac: float = threshold(
        "50 %",
        "fraction",
        says="where sunshine is not known: cloud cover from which flight falls",
        source=_HOUSE,
        grade=OURS,
    )
    overcast_factor: float = threshold(
        "0.5",
        "number",
        says="where sunshine is not known: factor under a full cover of cloud",
        source=_HOUSE,
        grade=OURS,
    )
    none_from_mps: float = threshold(
        "8 m/s", "speed", says="no flight from this wind up", source=_FLIGHT_WIND, grade=OURS
    )
    wind_over_mps: float = threshold(
        "4 m/s",
        "speed",
        says="wind slower than none_from by this no longer holds flight back",
        source=_FLIGHT_WIND,
        grade=OURS,
    )

    def __post_init__(self) -> None:
        """Refuse factors and widths that cannot be."""
        for name in ("cost", "dark_factor", "cloud_from_frac", "overcast_factor"):
            _demand_credit(key_of(name), getattr(self, name))
        if self.cost >= 1:
            raise ValueError("cost must be less than 1: full flight alone does not stop the work")
        if self.cloud_from_frac >= 1:
            raise ValueError("cloud_from must be less than 100 %")
        for name in ("full_over_dc", "full_sun_wm2", "none_from_mps", "wind_over_mps"):
            if not getattr(self, name) > 0:
                raise ValueError(f"{key_of(name)} must be more than 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPractice:
    """From hours to a verdict on a day."""

    min_run_h: float = threshold(
        "2 h",
        "duration",
        says="shortest run of usable hours worth a drive; whole hours",
        source=_HOUSE,
        grade=OURS,
    )
    good_from: float = threshold(
        "0.75", "number", says="day score from which a day is good", source=_HOUSE, grade=OURS
    )
    workable_from: float = threshold(
        "0.45", "number", says="day score from which a day is workable", source=_HOUSE, grade=OURS
    )

    def __post_init__(self) -> None:
        """Refuse limits out of order."""
        if self.min_run_h != int(self.min_run_h) or not 1 <= self.min_run_h <= 12:
            raise ValueError("min_run must be a whole number of hours from 1 to 12")
        if not 0 < self.workable_from < self.good_from <= 1:
            raise ValueError("workable_from must be more than 0 and less than good_from, at most 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionPractice:
    """From where on a caution is said aloud."""

    still_to_mps: float = threshold(
        "1.5 m/s",
        "speed",
        says="wind up to here hardly moves the vapour: let it clear before you step in",
        source="WMO-No. 306, code table 1100: Beaufort force 1 ends at 1.5 m/s (from memory)",
        grade=HANDBOOK,
    )
    frost_to_c: float = threshold(
        "0 C",
        "temperature",
        says="a working hour this cold may leave ice on the lane",
        source="water freezes",
        grade=HANDBOOK,
    )
    hives_measured: float = threshold(
        "21",
        "number",
        says="most hives in one session whose vapour anybody measured",
        source="Gumpp, Drysch, Radjaipour & Dartsch 2003, thesis abstract, Tuebingen",
        grade=PUBLISHED,
    )

    def __post_init__(self) -> None:
        """Refuse limits that cannot be."""
        if not self.still_to_mps >= 0:
            raise ValueError("still_to must not be negative")
        if self.hives_measured != int(self.hives_measured) or self.hives_measured < 0:
            raise ValueError("hives_measured must be a whole number of hives")


@dataclass(frozen=True, slots=True, kw_only=True)
class AgePractice:
    """How old a forecast may be."""

    silent_to_h: float = threshold(
        "12 h", "duration", says="up to here the age is not remarked on", source=_HOUSE, grade=OURS
    )
    demote_after_h: float = threshold(
        "24 h",
        "duration",
        says="older than this, the next source goes first",
        source=_HOUSE,
        grade=OURS,
    )
    stale_after_h: float = threshold(
        "36 h",
        "duration",
        says="older than this, a forecast kept in the book stands in for no silent service",
        source=_HOUSE,
        grade=OURS,
    )
    unusable_after_h: float = threshold(
        "48 h",
        "duration",
        says="older than this, a forecast is not used at all",
        source=_HOUSE,
        grade=OURS,
    )
    future_to_h: float = threshold(
        "10 min",
        "duration",
        says="a forecast issued later than this after now is refused: a clock is wrong",
        source=_HOUSE,
        grade=OURS,
    )

    def __post_init__(self) -> None:
        """Refuse ages out of order."""
        if not 0 < self.silent_to_h <= self.demote_after_h <= self.unusable_after_h:
            raise ValueError("silent_to, demote_after and unusable_after must rise in this order")
        if not 0 < self.stale_after_h <= self.unusable_after_h:
            raise ValueError("stale_after must not be longer than unusable_after")
        if not self.future_to_h >= 0:
            raise ValueError("future_to must not be negative")


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """All thresholds of an outfit."""

    temperature: TemperaturePractice = field(default_factory=TemperaturePractice)
    rain: RainPractice = field(default_factory=RainPractice)
    wind: WindPractice = field(default_factory=WindPractice)
    flight: FlightPractice = field(default_factory=FlightPractice)
    day: DayPractice = field(default_factory=DayPractice)
    age: AgePractice = field(default_factory=AgePractice)
    caution: CautionPractice = field(default_factory=CautionPractice)
    rounds: RoundPractice = field(default_factory=RoundPractice)
    mites: MitePractice = field(default_factory=MitePractice)


def _demand_credit(name: str, value: float) -> None:
    if not 0 <= value <= 1:
        raise ValueError(f"{key_of(name)} must be from 0 to 1")
