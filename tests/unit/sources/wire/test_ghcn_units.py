"""In which units a file speaks: found out from several clues, or refused."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from support.station_files import CLIMATES, Season, in_customary, in_metric, in_tenths, season

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.ghcn_units import (
    CUSTOMARY,
    METRIC,
    SYSTEMS,
    TENTHS,
    Evidence,
    UnitSystem,
    decide,
    odd_weather,
)

AUTUMN = date(2026, 9, 1)
FORMS = {TENTHS.says: in_tenths, METRIC.says: in_metric, CUSTOMARY.says: in_customary}


def numbers(cells: list[str]) -> np.ndarray:
    return np.array([float(cell) if cell else np.nan for cell in cells])


def evidence(told: Season, system: UnitSystem) -> Evidence:
    highs, lows, rain = (numbers(cells) for cells in FORMS[system.says](told))
    return Evidence(days=np.arange(highs.size), highs=highs, lows=lows, rain=rain)


def without_rain(seen: Evidence) -> Evidence:
    return replace(seen, rain=np.zeros_like(seen.rain))


def only_rain(seen: Evidence) -> Evidence:
    nothing = np.full_like(seen.rain, np.nan)
    return replace(seen, highs=nothing, lows=nothing)


def refusal(seen: Evidence, told: tuple[UnitSystem, ...] = SYSTEMS) -> str:
    with pytest.raises(SourceGarbled) as caught:
        decide(seen, told)
    return str(caught.value)


@pytest.mark.parametrize("system", SYSTEMS, ids=lambda s: s.says)
@pytest.mark.parametrize("climate", [name for name in CLIMATES if name != "desert"])
def test_a_whole_season_tells_its_units(climate: str, system: UnitSystem) -> None:
    told = season(CLIMATES[climate], AUTUMN, 240, seed=11)
    assert decide(evidence(told, system)) is system


@pytest.mark.parametrize("system", SYSTEMS, ids=lambda s: s.says)
def test_a_whole_year_without_a_drop_of_rain_tells_its_units(system: UnitSystem) -> None:
    told = season(CLIMATES["desert"], AUTUMN, 400, seed=11)
    assert decide(without_rain(evidence(told, system))) is system


def test_fahrenheit_and_celsius_of_a_short_dry_winter_are_not_told_apart() -> None:
    told = season(CLIMATES["continental"], date(2026, 12, 20), 40, seed=5)
    said = refusal(without_rain(evidence(told, METRIC)))
    assert "could be °C and mm or °F and inches" in said
    assert 'name the units in the header, as in "TMAX (°F)"' in said


def test_a_handful_of_days_decides_nothing() -> None:
    told = season(CLIMATES["continental"], date(2026, 12, 20), 5, seed=5)
    assert "not plain" in refusal(evidence(told, CUSTOMARY))


@pytest.mark.parametrize("temps", SYSTEMS, ids=lambda s: s.says)
@pytest.mark.parametrize("rain", SYSTEMS, ids=lambda s: s.says)
def test_a_mixture_of_units_is_refused(temps: UnitSystem, rain: UnitSystem) -> None:
    told = season(CLIMATES["continental"], AUTUMN, 240, seed=2)
    mixed = replace(evidence(told, temps), rain=evidence(told, rain).rain)
    if temps is rain:
        assert decide(mixed) is temps
    else:
        assert "units" in refusal(mixed)


def test_rain_alone_in_hundredths_of_an_inch_written_in_tenths_of_mm_is_proven() -> None:
    told = season(CLIMATES["gulf"], AUTUMN, 240, seed=2)
    american = replace(told, rain=np.round(told.rain / 0.254) * 0.254)
    assert decide(only_rain(evidence(american, TENTHS))) is TENTHS
    assert decide(only_rain(evidence(american, CUSTOMARY))) is CUSTOMARY


def test_rain_alone_in_whole_numbers_off_that_mesh_proves_nothing_without_attributes() -> None:
    told = only_rain(evidence(season(CLIMATES["gulf"], AUTUMN, 240, seed=2), TENTHS))
    assert "only rain is told" in refusal(told)
    assert decide(replace(told, has_attributes=True)) is TENTHS


def test_rain_alone_in_whole_mm_is_refused() -> None:
    told = only_rain(evidence(season(CLIMATES["basin"], AUTUMN, 240, seed=2), METRIC))
    assert "not plain" in refusal(replace(told, rain=np.round(told.rain)))


def test_units_of_the_header_still_have_to_fit() -> None:
    told = evidence(season(CLIMATES["continental"], AUTUMN, 60, seed=2), TENTHS)
    assert decide(told, (TENTHS,)) is TENTHS
    said = refusal(told, (METRIC,))
    assert "in °C and mm" in said
    assert "beyond all records" in said


def test_a_few_slips_decide_nothing() -> None:
    told = evidence(season(CLIMATES["continental"], AUTUMN, 240, seed=2), CUSTOMARY)
    highs = told.highs.copy()
    highs[[40, 90]] = 999, -400
    assert decide(replace(told, highs=highs)) is CUSTOMARY


def test_missing_days_decide_nothing() -> None:
    told = evidence(season(CLIMATES["continental"], AUTUMN, 240, seed=2), TENTHS)
    holed = replace(told, highs=np.where(told.days % 3 == 0, np.nan, told.highs))
    assert decide(holed) is TENTHS


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda e: replace(e, highs=e.highs + 60, lows=e.lows + 60), "beyond all records"),
        (lambda e: replace(e, highs=e.highs / 10, lows=e.lows / 10), "too calm"),
        (lambda e: replace(e, rain=e.rain * 25.4), "mm in the mean"),
        (lambda e: replace(e, rain=e.rain / 100), "less rain than a gauge shows"),
    ],
)
def test_each_clue_has_its_own_words(change: object, said: str) -> None:
    told = evidence(season(CLIMATES["continental"], AUTUMN, 240, seed=2), METRIC)
    assert odd_weather(told) is None
    assert said in str(odd_weather(change(told)))  # type: ignore[operator]


def test_no_place_with_bees_is_cold_all_year() -> None:
    told = evidence(season(CLIMATES["continental"], AUTUMN, 400, seed=2), METRIC)
    frozen = replace(told, highs=told.highs - 35, lows=told.lows - 35)
    assert "no season is warm" in str(odd_weather(frozen))


def test_nothing_at_all_speaks_against_nothing() -> None:
    nothing = np.array([])
    empty = Evidence(days=nothing.astype(np.int64), highs=nothing, lows=nothing, rain=nothing)
    assert odd_weather(empty) is None
    assert "not plain" in refusal(empty)
