"""Every quirk of the raw grid has its own payload in fixtures/payloads/nws."""

import json
import math
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from support.nws_payloads import body, from_f, payload

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.nws_grid import Grid, read_grid
from windowcast.terms.outlook import Hazard

NAN = math.nan


def told(grid: Grid, name: str) -> list[float]:
    return [round(float(value), 6) for value in grid.arrays[name]]


def changed(name: str, change: Callable[[dict[str, Any]], Any]) -> bytes:
    answer = json.loads(payload(name))
    change(answer)
    return body(answer)


def same(found: list[float], expected: list[float]) -> None:
    np.testing.assert_allclose(found, expected, atol=1e-6, equal_nan=True)


# --- a usual answer -------------------------------------------------------------------------


def test_a_usual_answer_names_its_cell_its_height_and_its_age() -> None:
    grid = read_grid(payload("usual"))
    assert (grid.office, grid.x, grid.y, grid.cell) == ("BOI", 118, 77, "BOI 118,77")
    assert grid.elev_m == 823.0
    assert grid.updated_at == datetime(2027, 1, 12, 15, 12, tzinfo=UTC)
    assert len(grid.polygon) == 5
    assert grid.polygon[0] == pytest.approx((-116.2155, 43.6212), abs=1e-4)
    assert grid.remarks == ()


def test_a_usual_answer_is_told_hour_by_hour() -> None:
    grid = read_grid(payload("usual"))
    assert grid.hours.size == 48
    assert grid.hours[0] == np.datetime64("2027-01-12T12", "h")
    first = {name: float(array[0]) for name, array in grid.arrays.items()}
    assert first == pytest.approx(
        {
            "temp_c": from_f(36), "dewpoint_c": from_f(31), "wind_mps": 5.556 / 3.6,
            "gust_mps": 11.112 / 3.6, "wind_from_deg": 290, "cloud_frac": 0.35,
            "rain_prob_frac": 0.05, "rain_mm": 0, "snow_mm": 0, "ice_mm": 0, "thunder": 0,
            "freezing_rain": 0,
        }
    )  # fmt: skip
    last = {name: float(array[-1]) for name, array in grid.arrays.items()}
    assert last == pytest.approx(
        {
            "temp_c": from_f(35), "dewpoint_c": from_f(33), "wind_mps": 12.964 / 3.6,
            "gust_mps": 24.076 / 3.6, "wind_from_deg": 170, "cloud_frac": 0.8,
            "rain_prob_frac": 0.6, "rain_mm": 0.254, "snow_mm": 0, "ice_mm": 0, "thunder": 0,
            "freezing_rain": 0,
        }
    )  # fmt: skip


# --- the quirks -----------------------------------------------------------------------------


def test_hours_before_the_issue_time_are_kept() -> None:
    grid = read_grid(payload("starts_before_update"))
    assert grid.updated_at == datetime(2027, 1, 12, 19, 41, tzinfo=UTC)
    assert grid.hours[0] == np.datetime64("2027-01-12T12", "h")
    assert np.isfinite(grid.arrays["temp_c"][0])


def test_rain_that_ends_early_is_untold_and_not_zero() -> None:
    grid = read_grid(payload("rain_ends_early"))
    same(told(grid, "rain_mm"), [0.508] * 6 + [0.0] * 6 + [NAN] * 12)
    same(told(grid, "rain_prob_frac"), [0.7] * 12 + [0.15] * 12)
    same(told(grid, "snow_mm"), [0.0] * 6 + [NAN] * 18)
    same(told(grid, "ice_mm"), [0.1] * 6 + [NAN] * 18)


def test_the_hours_reach_to_the_last_layer_and_others_end_in_nan() -> None:
    grid = read_grid(payload("layers_end_apart"))
    assert grid.hours.size == 18
    assert np.isfinite(grid.arrays["temp_c"]).tolist() == [True] * 12 + [False] * 6
    assert np.isfinite(grid.arrays["wind_mps"]).tolist() == [True] * 11 + [False] * 7


def test_empty_and_absent_layers_tell_nothing() -> None:
    grid = read_grid(payload("empty_layers"))
    for name in ("gust_mps", "rain_mm", "dewpoint_c", "rain_prob_frac", "thunder"):
        assert np.isnan(grid.arrays[name]).all(), name
    assert np.isfinite(grid.arrays["temp_c"]).all()


def test_a_null_is_untold_and_not_zero() -> None:
    grid = read_grid(payload("nulls"))
    same(told(grid, "temp_c"), [from_f(43)] * 3 + [NAN] * 2 + [from_f(45)] * 7)
    same(told(grid, "rain_mm"), [0.1] * 6 + [NAN] * 6)
    assert np.isnan(grid.arrays["gust_mps"]).all()
    assert grid.hazards == ()


def test_a_gap_stays_a_gap() -> None:
    grid = read_grid(payload("gaps"))
    same(told(grid, "temp_c"), [from_f(43)] * 4 + [NAN] * 3 + [from_f(45)] * 5)


def test_where_intervals_overlap_the_later_element_wins() -> None:
    grid = read_grid(payload("overlap"))
    same(told(grid, "gust_mps"), [18.52 / 3.6] * 5 + [37.04 / 3.6] + [18.52 / 3.6] * 6)
    same(told(grid, "rain_mm"), [1.0, 1.0, 0.25, 1.0, 1.0, 1.0] + [NAN] * 6)


def test_a_short_first_period_is_not_stretched() -> None:
    grid = read_grid(payload("short_first_period"))
    same(told(grid, "rain_mm"), [0.5] * 8 + [NAN] * 4)


def test_the_cell_comes_in_numbers_or_in_text() -> None:
    numbers, text = read_grid(payload("cell_in_numbers")), read_grid(payload("usual"))
    assert (numbers.x, numbers.y) == (text.x, text.y) == (118, 77)


def test_rounding_noise_is_no_weather() -> None:
    grid = read_grid(payload("noise"))
    assert math.copysign(1, grid.arrays["temp_c"][0]) == 1
    assert grid.arrays["rain_mm"][:6].tolist() == [0.0] * 6
    assert np.nansum(grid.arrays["rain_mm"]) == pytest.approx(0.507999988645311, abs=1e-9)
    assert grid.arrays["rain_prob_frac"].max() == 1.0
    assert grid.remarks == ()


def test_a_single_wild_value_makes_its_hour_untold_and_is_named() -> None:
    grid = read_grid(payload("wild_value"))
    expected = [from_f(43)] * 12
    expected[3] = NAN
    same(told(grid, "temp_c"), expected)
    assert np.isnan(grid.arrays["wind_mps"]).tolist() == [hour == 3 for hour in range(12)]
    (remark,) = grid.remarks
    assert remark.startswith("nws grid BOI 118,77: temperature.values[3].value: 4213.4")


def test_impossible_rain_does_not_make_an_hour_look_dry() -> None:
    grid = read_grid(payload("wild_rain"))
    for name in ("rain_mm", "rain_prob_frac", "temp_c"):
        assert np.isnan(grid.arrays[name]).tolist() == [hour == 3 for hour in range(12)], name
    assert "quantitativePrecipitation.values[3].value: 9999" in grid.remarks[0]


def test_many_wild_values_are_a_wrong_unit_and_refused() -> None:
    with pytest.raises(SourceGarbled, match=r"temperature\.values\[0\].*a unit is wrong"):
        read_grid(payload("unit_slip"))


@pytest.mark.parametrize(("wild", "refused"), [(5, False), (6, True)])
def test_a_handful_of_wild_values_is_the_bound(wild: int, refused: bool) -> None:
    def spoil(answer: dict[str, Any]) -> None:
        for element in answer["properties"]["temperature"]["values"][:wild]:
            element["value"] = 999

    spoiled = changed("usual", spoil)
    if refused:
        with pytest.raises(SourceGarbled, match="temperature"):
            read_grid(spoiled)
    else:
        assert len(read_grid(spoiled).remarks) == 1


@pytest.mark.parametrize(("hours", "refused"), [(4, False), (5, True)])
def test_a_third_of_the_told_time_is_the_other_bound(hours: int, refused: bool) -> None:
    def spoil(answer: dict[str, Any]) -> None:
        slip = {"validTime": f"2027-01-12T12:00:00Z/PT{hours}H", "value": 999}
        answer["properties"]["windSpeed"]["values"] = [
            slip,
            {"validTime": "2027-01-12T20:00:00Z/PT8H", "value": 5},
        ]

    spoiled = changed("gaps", spoil)
    if refused:
        with pytest.raises(SourceGarbled, match="windSpeed"):
            read_grid(spoiled)
    else:
        assert len(read_grid(spoiled).remarks) == 1


@pytest.mark.parametrize(
    ("layer", "value"),
    [
        ("temperature", 55.1), ("temperature", -60.1), ("dewpoint", 41), ("windSpeed", -1),
        ("windSpeed", 253), ("windGust", 400), ("windDirection", 361), ("windDirection", -10),
        ("skyCover", 101), ("probabilityOfPrecipitation", 900), ("probabilityOfPrecipitation", -1),
        ("quantitativePrecipitation", -0.1), ("quantitativePrecipitation", 501),
        ("snowfallAmount", 3001), ("iceAccumulation", 151),
    ],
)  # fmt: skip
def test_no_wild_number_of_any_layer_leaves_its_hours_told(layer: str, value: float) -> None:
    def spoil(answer: dict[str, Any]) -> None:
        slip = {"validTime": "2027-01-12T15:00:00Z/PT1H", "value": value}
        answer["properties"][layer]["values"].append(slip)

    grid = read_grid(changed("usual", spoil))
    assert all(np.isnan(array[3]) for array in grid.arrays.values())
    assert layer in grid.remarks[0]
    assert np.isfinite(grid.arrays["temp_c"][4])


def test_other_units_are_converted() -> None:
    grid = read_grid(payload("other_units"))
    first = {name: float(array[0]) for name, array in grid.arrays.items()}
    assert first["temp_c"] == pytest.approx(from_f(43))
    assert first["dewpoint_c"] == pytest.approx(0.0)
    assert first["wind_mps"] == 2.5
    assert first["gust_mps"] == pytest.approx(9 * 1852 / 3600)
    assert first["wind_from_deg"] == 270
    assert first["rain_mm"] == pytest.approx(0.12 * 25.4 / 12)
    assert first["snow_mm"] == pytest.approx(2.0)
    assert first["cloud_frac"] == 0.25
    assert grid.elev_m == pytest.approx(2700 * 0.3048)


def test_an_unknown_unit_is_refused_by_name() -> None:
    with pytest.raises(SourceGarbled, match=r'windSpeed\.uom: found "wmoUnit:hPa".*speed'):
        read_grid(payload("unknown_unit"))


def test_numbers_without_a_unit_are_refused() -> None:
    spoiled = changed("usual", lambda answer: answer["properties"]["temperature"].pop("uom"))
    with pytest.raises(SourceGarbled, match=r"temperature\.uom: found null"):
        read_grid(spoiled)


def test_a_unit_that_puts_the_dew_point_above_the_temperature_is_refused() -> None:
    def spoil(answer: dict[str, Any]) -> None:
        answer["properties"]["temperature"]["uom"] = "wmoUnit:degF"

    with pytest.raises(SourceGarbled, match=r"dewpoint lies up to .* above temperature"):
        read_grid(changed("usual", spoil))


def test_all_forms_of_intervals_are_read() -> None:
    grid = read_grid(payload("interval_forms"))
    assert told(grid, "temp_c") == [1.0] * 3 + [2.0] * 3 + [3.0] * 3 + [4.0] * 3


def test_an_amount_between_the_hours_is_split_by_overlap() -> None:
    rain = told(read_grid(payload("interval_forms")), "rain_mm")
    same(rain, [1.0, 2.0, 1.0] + [NAN] * 9)


def test_an_hour_that_is_dry_only_in_part_is_not_told() -> None:
    def dry(answer: dict[str, Any]) -> None:
        answer["properties"]["quantitativePrecipitation"]["values"] = [
            {"validTime": "2027-01-12T12:30:00Z/PT90M", "value": 0}
        ]

    same(told(read_grid(changed("interval_forms", dry)), "rain_mm"), [NAN, 0.0] + [NAN] * 10)


def test_a_state_holds_for_the_hours_that_begin_inside_its_interval() -> None:
    def shift(answer: dict[str, Any]) -> None:
        answer["properties"]["temperature"]["values"] = [
            {"validTime": "2027-01-12T12:30:00Z/PT2H", "value": 1.0},
            {"validTime": "2027-01-12T14:30:00Z/PT30M", "value": 2.0},
        ]

    grid = read_grid(changed("interval_forms", shift))
    same(told(grid, "temp_c"), [NAN, 1.0, 1.0] + [NAN] * 9)


# --- words ----------------------------------------------------------------------------------


def test_thunder_counts_at_any_coverage_and_as_an_attribute() -> None:
    grid = read_grid(payload("weather_words"))
    same(told(grid, "thunder"), [0, 0, 1, 1, 0, 0, 0, NAN, NAN, 0, NAN, NAN])


def test_freezing_rain_and_drizzle_count_and_sleet_does_not() -> None:
    grid = read_grid(payload("weather_words"))
    same(told(grid, "freezing_rain"), [0, 0, 0, 0, 1, 1, 0, NAN, NAN, 0, NAN, NAN])


def test_hazards_are_joined_and_touch_whole_hours() -> None:
    def hazard(phenomenon: str, significance: str, hour: str, count: int) -> Hazard:
        return Hazard(
            phenomenon=phenomenon,
            significance=significance,
            first=np.datetime64(f"2027-01-12T{hour}", "h"),
            count=count,
        )

    assert read_grid(payload("hazards")).hazards == (
        hazard("FZ", "W", "22", 1),
        hazard("WI", "Y", "15", 6),
        hazard("WS", "W", "17", 4),
    )


# --- height ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("told", "height_m"),
    [
        (None, None),
        ({"unitCode": "wmoUnit:m", "value": None}, None),
        ({"unitCode": "wmoUnit:m", "value": 9001}, None),
        ({"unitCode": "wmoUnit:hPa", "value": 823}, None),
        ({"unitCode": "wmoUnit:ft", "value": 1000}, 304.8),
    ],
)
def test_a_height_that_cannot_be_is_not_told(told: object, height_m: float | None) -> None:
    raised = changed("usual", lambda answer: answer["properties"].update(elevation=told))
    assert read_grid(raised).elev_m == (None if height_m is None else pytest.approx(height_m))
