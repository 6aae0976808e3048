"""In which units a daily station file speaks, found out or refused, never guessed.

The archive's own files hold tenths of °C and of mm; orders come in °C and mm or in °F and inches;
none of them says so. Each of the three systems is held against several independent clues over the
whole file. A clue can only object: values that no weather has, days too calm or too wild,
amounts finer than a gauge or larger than a cloud, fractions where tenths have none, the mesh of
American thermometers and gauges. One system without an objection is the answer; none, or two,
and the file is refused. A file is taken to speak one system: temperatures of one and rain of
another leave none. All bounds are rules of this project, with the reasons beside them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from windowcast.problems import SourceGarbled
from windowcast.terms.outlook import Floats
from windowcast.units import MM_PER_IN


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitSystem:
    """What a file's numbers mean: °C per step above a zero, and mm per step of rain and of snow."""

    says: str
    temp_step: float
    temp_zero: float
    rain_step: float
    snow_step: float

    def to_c(self, raw: Floats) -> Floats:
        """Temperatures in °C."""
        return np.asarray((raw - self.temp_zero) * self.temp_step)

    def to_mm(self, raw: Floats) -> Floats:
        """Rain in mm."""
        return np.asarray(raw * self.rain_step)


TENTHS = UnitSystem(
    says="tenths of °C and mm", temp_step=0.1, temp_zero=0.0, rain_step=0.1, snow_step=1.0
)
METRIC = UnitSystem(says="°C and mm", temp_step=1.0, temp_zero=0.0, rain_step=1.0, snow_step=1.0)
CUSTOMARY = UnitSystem(
    says="°F and inches",
    temp_step=1 / 1.8,
    temp_zero=32.0,
    rain_step=MM_PER_IN,
    snow_step=MM_PER_IN,
)
SYSTEMS: tuple[UnitSystem, ...] = (TENTHS, METRIC, CUSTOMARY)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """Raw numbers of a file, one row a day in order, shape (day,); NaN is not told.

    ``has_attributes`` says that the archive's columns of flags stand beside them.
    """

    days: NDArray[np.int64]
    highs: Floats
    lows: Floats
    rain: Floats
    has_attributes: bool = False

    @property
    def temps(self) -> Floats:
        """All told temperatures."""
        both = np.concatenate([self.highs, self.lows])
        return np.asarray(both[np.isfinite(both)])

    @property
    def wet(self) -> Floats:
        """All amounts above zero."""
        return np.asarray(self.rain[self.rain > 0])


# A handful of slips in a long record must not decide; a hundredth of the values may.
SLIPS_FRAC = 0.01
# Records on earth: -67.7 °C (Verkhoyansk) outside the ice sheets, 56.7 °C (Death Valley); WMO.
COLDEST_C, HOTTEST_C = -68.0, 57.0
# Daily range and change from day to day, as a share of a usual climate's (8.5 and 3 °C): the
# calmest islands reach 0.37, the wildest high valleys 2. A tenth or tenfold of that is no weather.
USUAL_RANGE_DC, USUAL_CHANGE_DC = 8.5, 3.0
CALMEST, WILDEST = 0.33, 3.0
# Where bees are kept, the warmest days of a whole year are above 8 °C, those of five months above
# 3 °C, and September, early autumn or early spring, has highs above 5 °C in the mean.
WARMEST_OF_DAYS_C = ((300, 8.0), (150, 3.0))
MILDEST_OF_SEPTEMBER_C = 5.0
# Gauges are read to 0.1 mm or 0.01 in; half of the finer of the two.
FINEST_MM = 0.05
# Mean of wet days without the wettest twentieth: 1 mm in the Arctic, 13 mm on the Gulf coast, 17 mm
# on the wettest coasts, more in one season; a few days alone may have more still.
LEAST_WET_DAY_MM, MOST_WET_DAY_MM, MOST_OF_FEW_WET_DAYS_MM = 0.8, 30.0, 40.0
FEWEST_DAYS, FEWEST_WET_DAYS = 20, 8
# Distinct values that must all lie on a mesh before it proves anything: it has 39 % (rain) and
# 56 % (temperature) of the whole numbers, so chance is below 1 in 100,000.
FEWEST_ON_MESH_RAIN, FEWEST_ON_MESH_TEMPS = 13, 25

Clue = Callable[[UnitSystem, Evidence], str | None]


def decide(seen: Evidence, told: tuple[UnitSystem, ...] = SYSTEMS) -> UnitSystem:
    """The one system that nothing speaks against.

    ``told`` are the systems that the file's form or header leaves open. Raises SourceGarbled, with
    a clause that has neither source nor place, where none or more than one remains.
    """
    against = {system.says: _first_objection(system, seen) for system in told}
    left = [system for system in told if against[system.says] is None]
    if len(left) == 1:
        doubt = _doubt(left[0], seen) if len(told) > 1 else None
        if doubt is not None:
            raise SourceGarbled(f"the units are not plain: {doubt}; {_CURE}")
        return left[0]
    if not left:
        reasons = "; ".join(f"in {says}, {reason}" for says, reason in against.items())
        raise SourceGarbled(f"the values fit no units: {reasons}; {_CURE}")
    names = " or ".join(system.says for system in left)
    raise SourceGarbled(f"the units are not plain: the values could be {names}; {_CURE}")


_CURE = (
    "use the archive's own file of the station, a longer one, or name the units in the header, as"
    ' in "TMAX (°F)" and "PRCP (inches)"'
)


def odd_weather(seen: Evidence) -> str | None:
    """Why values that claim to be °C and mm are no weather, None where they may be."""
    return next((said for clue in WEATHER_CLUES if (said := clue(METRIC, seen))), None)


def _first_objection(system: UnitSystem, seen: Evidence) -> str | None:
    return next((said for clue in CLUES if (said := clue(system, seen)) is not None), None)


# --- the clues --------------------------------------------------------------------------------


def _fractions(system: UnitSystem, seen: Evidence) -> str | None:
    values = np.concatenate([seen.temps, seen.wet])
    share = float(np.mean(values != np.round(values))) if values.size else 0.0
    if system is not TENTHS or share <= SLIPS_FRAC:
        return None
    return f"all values would be whole numbers, {share:.0%} are not"


def _records(system: UnitSystem, seen: Evidence) -> str | None:
    temps_c = system.to_c(seen.temps)
    beyond = (temps_c < COLDEST_C) | (temps_c > HOTTEST_C)
    if not temps_c.size or beyond.mean() <= SLIPS_FRAC:
        return None
    worst = temps_c[beyond][np.argmax(np.abs(temps_c[beyond]))]
    return f"{beyond.mean():.0%} of the temperatures are beyond all records ({worst:.0f} °C)"


def _restlessness(system: UnitSystem, seen: Evidence) -> str | None:
    ranges = (seen.highs - seen.lows)[np.isfinite(seen.highs - seen.lows)]
    follows = np.diff(seen.days) == 1
    changes = np.abs(np.diff(seen.highs))[follows & np.isfinite(np.diff(seen.highs))]
    if min(ranges.size, changes.size) < FEWEST_DAYS:
        return None
    range_dc = float(np.median(ranges)) * system.temp_step
    change_dc = _trimmed_mean(changes) * system.temp_step
    scale = np.sqrt(max(range_dc, 0.0) / USUAL_RANGE_DC * change_dc / USUAL_CHANGE_DC)
    if CALMEST <= scale <= WILDEST:
        return None
    kind = "calm" if scale < CALMEST else "wild"
    return (
        f"the days are too {kind} (range {range_dc:.1f} °C, change from day to day"
        f" {change_dc:.1f} °C)"
    )


def _trimmed_mean(values: Floats) -> float:
    """Mean without the largest twentieth, which may be slips."""
    return float(np.sort(values)[: max(1, int(values.size * 0.95))].mean())


def _warm_season(system: UnitSystem, seen: Evidence) -> str | None:
    highs_c = system.to_c(seen.highs[np.isfinite(seen.highs)])
    least_c = next((warm for days, warm in WARMEST_OF_DAYS_C if highs_c.size >= days), None)
    if least_c is not None and (warm_c := float(np.quantile(highs_c, 0.99))) < least_c:
        return f"no season is warm (at most {warm_c:.0f} °C)"
    return None


def _september(system: UnitSystem, seen: Evidence) -> str | None:
    month = seen.days.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64) % 12
    highs_c = system.to_c(seen.highs[np.isfinite(seen.highs) & (month == 8)])
    if highs_c.size < FEWEST_DAYS or (mean_c := float(highs_c.mean())) >= MILDEST_OF_SEPTEMBER_C:
        return None
    return f"September's days reach only {mean_c:.0f} °C"


def _one_finish(system: UnitSystem, seen: Evidence) -> str | None:
    if system is not METRIC or not _has_fractions(seen.temps) or _has_fractions(seen.wet):
        return None
    if np.unique(seen.wet).size < FEWEST_WET_DAYS:
        return None
    return "rain would have decimals, as the temperatures have"


def _finest_amount(system: UnitSystem, seen: Evidence) -> str | None:
    wet_mm = system.to_mm(seen.wet)
    fine = wet_mm < FINEST_MM
    if fine.sum() < 2 or fine.mean() <= SLIPS_FRAC:
        return None
    return f"{fine.mean():.0%} of the wet days have less rain than a gauge shows"


def _wet_days(system: UnitSystem, seen: Evidence) -> str | None:
    wet_mm = system.to_mm(seen.wet)
    mean_mm = _trimmed_mean(wet_mm) if wet_mm.size else np.nan
    most_mm = MOST_WET_DAY_MM if wet_mm.size >= FEWEST_DAYS else MOST_OF_FEW_WET_DAYS_MM
    if wet_mm.size >= FEWEST_WET_DAYS and mean_mm > most_mm:
        return f"a wet day has {mean_mm:.0f} mm in the mean"
    if wet_mm.size >= FEWEST_DAYS and mean_mm < LEAST_WET_DAY_MM:
        return f"a wet day has only {mean_mm:.2f} mm in the mean"
    return None


def _american_mesh(system: UnitSystem, seen: Evidence) -> str | None:
    if system is not TENTHS and _is_mesh_of_rain(seen.wet):
        return "every amount is a whole hundredth of an inch, written in tenths of mm"
    if system is not TENTHS and _is_mesh_of_temps(seen.temps):
        return "every temperature is a whole °F, written in tenths of °C"
    if system is CUSTOMARY and _has_fractions(seen.temps) and _is_mesh_of_temps(seen.temps * 10):
        return "every temperature is a whole °F, written in °C"
    return None


WEATHER_CLUES: tuple[Clue, ...] = (
    _records,
    _restlessness,
    _warm_season,
    _september,
    _finest_amount,
    _wet_days,
)
CLUES: tuple[Clue, ...] = (_fractions, _one_finish, *WEATHER_CLUES, _american_mesh)


def _doubt(system: UnitSystem, seen: Evidence) -> str | None:
    """Why the one system left is not yet beyond doubt, None where it is."""
    if seen.temps.size >= FEWEST_DAYS:
        if system is CUSTOMARY and _has_fractions(seen.temps) and not _records(METRIC, seen):
            return "°F come in whole numbers, and read as °C the temperatures may be weather"
        return None
    if system is TENTHS:
        is_sure = _is_mesh_of_rain(seen.wet) or seen.has_attributes
    else:
        finest = 10.0 if system is METRIC else 100.0
        is_sure = _has_fractions(seen.wet) and _all_whole(seen.wet * finest)
    return None if is_sure else f"only rain is told, and nothing proves that it is {system.says}"


def _is_mesh_of_rain(raw: Floats) -> bool:
    """Whether all values are whole hundredths of an inch, rounded to tenths of mm."""
    hundredths = np.round(raw / 2.54)
    return _all_on(raw, np.round(hundredths * 2.54), FEWEST_ON_MESH_RAIN)


def _is_mesh_of_temps(raw: Floats) -> bool:
    """Whether all values are whole °F, rounded to tenths of °C."""
    whole = np.round(raw * 0.18 + 32.0)
    return _all_on(raw, np.round((whole - 32.0) / 0.18), FEWEST_ON_MESH_TEMPS)


def _all_on(raw: Floats, mesh: Floats, fewest: int) -> bool:
    off = np.abs(raw - mesh) > 0.01
    return np.unique(np.round(raw, 2)).size >= fewest and bool(off.mean() <= SLIPS_FRAC)


def _has_fractions(raw: Floats) -> bool:
    return bool(raw.size and np.mean(raw != np.round(raw)) > SLIPS_FRAC)


def _all_whole(raw: Floats) -> bool:
    return bool((np.abs(raw - np.round(raw)) <= 0.01).mean() >= 1.0 - SLIPS_FRAC)
