"""Answers of Open-Meteo; each quirk has a payload of its own in fixtures/payloads/open_meteo."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from support.open_meteo_payloads import answer, body, changed, on_local_clock, payload

from windowcast.sources.wire.open_meteo import PointForecast, read_forecasts
from windowcast.terms.outlook import VARIABLES


def only(raw: bytes) -> PointForecast:
    (point,) = read_forecasts(raw)
    return point


def at(point: PointForecast, hour: str) -> dict[str, float]:
    """Everything told for one hour."""
    n = int((np.datetime64(hour, "h") - point.hours[0]).astype(int))
    return {name: float(array[n]) for name, array in point.arrays.items()}


# --- a usual answer -------------------------------------------------------------------------


def test_a_usual_answer_names_its_cell_its_zone_and_its_height() -> None:
    point = only(payload("usual.json"))
    assert (point.lat_deg, point.lon_deg, point.elev_m) == (43.61, -116.2, 823.0)
    assert point.tz == "America/Boise"
    assert point.remarks == ()


def test_a_usual_answer_is_told_hour_by_hour() -> None:
    point = only(payload("usual.json"))
    assert point.hours.size == 72
    assert point.hours[0] == np.datetime64("2027-01-05T07", "h")
    assert point.hours[-1] == np.datetime64("2027-01-08T06", "h")
    assert at(point, "2027-01-06T13") == pytest.approx(
        {
            "temp_c": 0.7, "dewpoint_c": -1.7, "wind_mps": 1.44, "gust_mps": 3.5,
            "wind_from_deg": 270, "cloud_frac": 1.0, "rain_prob_frac": 0.8, "sun_wm2": 0,
            "rain_mm": 0.6, "snow_mm": 0, "thunder": 0, "freezing_rain": 0,
        }
    )  # fmt: skip
    assert set(point.arrays) <= set(VARIABLES)


def test_the_last_hour_has_its_state_and_not_yet_what_is_told_for_the_hour_before() -> None:
    last = at(only(payload("usual.json")), "2027-01-08T06")
    untold = {name for name, value in last.items() if math.isnan(value)}
    assert untold == {"rain_mm", "snow_mm", "rain_prob_frac", "gust_mps", "sun_wm2"}


@pytest.mark.parametrize(
    ("layer", "name", "told"),
    [
        ("precipitation", "rain_mm", 1.5),
        ("precipitation_probability", "rain_prob_frac", 0.015),
        ("wind_gusts_10m", "gust_mps", 1.5),
        ("shortwave_radiation", "sun_wm2", 1.5),
        ("snowfall", "snow_mm", 15.0),
    ],
)
def test_what_is_told_for_the_hour_before_is_moved_by_exactly_one_hour(
    layer: str, name: str, told: float
) -> None:
    def mark(a: dict[str, Any]) -> None:
        a["hourly"][layer] = [0.0] * 48
        a["hourly"][layer][12] = 1.5

    values = only(changed(mark)).arrays[name]
    assert np.flatnonzero(values > 0).tolist() == [11]
    assert values[11] == pytest.approx(told)


@pytest.mark.parametrize(
    ("layer", "name", "told"),
    [
        ("temperature_2m", "temp_c", 1.5),
        ("dew_point_2m", "dewpoint_c", 1.5),
        ("wind_speed_10m", "wind_mps", 1.5),
        ("wind_direction_10m", "wind_from_deg", 1.5),
        ("cloud_cover", "cloud_frac", 0.015),
    ],
)
def test_a_state_stays_at_its_stamp(layer: str, name: str, told: float) -> None:
    def mark(a: dict[str, Any]) -> None:
        a["hourly"][layer] = [0.0] * 48
        a["hourly"][layer][12] = 1.5

    values = only(changed(mark)).arrays[name]
    assert np.flatnonzero(values > 0).tolist() == [12]
    assert values[12] == pytest.approx(told)


def test_several_points_come_in_the_order_asked_for() -> None:
    points = read_forecasts(payload("several_points.json"))
    assert [point.lon_deg for point in points] == [-116.2, -116.19998, -120.94]
    assert [point.tz for point in points] == ["America/Boise"] * 2 + ["America/Los_Angeles"]
    assert points[2].hours[0] == np.datetime64("2027-01-05T08", "h")
    assert [point.elev_m for point in points] == [823.0, 838.0, 402.0]


# --- time -----------------------------------------------------------------------------------


def test_local_stamps_have_one_offset_on_both_sides_of_a_clock_change() -> None:
    # 14 March 2027 has no 02:00 in New York; the file names it, and every day has 24 stamps.
    point = only(payload("older_names.json"))
    assert point.hours.size == 72
    assert point.hours[0] == np.datetime64("2027-03-13T05", "h")
    assert point.hours[-1] == np.datetime64("2027-03-16T04", "h")


def test_local_stamps_and_seconds_of_utc_are_the_same_hours() -> None:
    told = answer()
    local = only(body(on_local_clock(told, -25200)))
    np.testing.assert_array_equal(local.hours, only(body(told)).hours)


def test_seconds_of_utc_do_not_move_with_the_zone() -> None:
    first = {
        only(changed(lambda a, s=s: a.update(utc_offset_seconds=s))).hours[0]
        for s in (0, -25200, 36000)
    }
    assert first == {np.datetime64("2027-01-05T07", "h")}


def test_a_zone_half_an_hour_off_is_laid_on_full_hours() -> None:
    point = only(payload("half_hour_zone.json"))
    assert point.hours[0] == np.datetime64("2027-01-05T03", "h")


@pytest.mark.parametrize("name", ["GMT", "UTC", "Etc/Nowhere", "America/Atlantis", "", 7, None])
def test_what_is_no_zone_of_a_place_is_no_zone(name: object) -> None:
    assert only(changed(lambda a: a.update(timezone=name))).tz is None


def test_a_gap_is_untold_and_not_stretched_over() -> None:
    point = only(payload("gap.json"))
    assert point.hours.size == 48
    untold = np.flatnonzero(np.isnan(point.arrays["temp_c"]))
    assert untold.tolist() == [20, 21, 22, 23]
    # Rain is told for the hour before its stamp: 24 tells hour 23, nothing tells 19 to 22.
    assert np.flatnonzero(np.isnan(point.arrays["rain_mm"])).tolist() == [19, 20, 21, 22, 47]


# --- names, units, what is not told ---------------------------------------------------------


def test_older_names_and_american_units_are_read() -> None:
    point = only(payload("older_names.json"))
    first = at(point, "2027-03-13T05")
    assert first["temp_c"] == pytest.approx((36.0 - 32) / 1.8, abs=0.06)
    assert first["wind_mps"] == pytest.approx(3.2 * 0.44704, abs=0.03)
    assert first["wind_from_deg"] == 240
    assert first["cloud_frac"] == pytest.approx(0.4)


def test_without_precipitation_its_three_kinds_are_added_as_water() -> None:
    # 0.02 in of rain, 0.01 in of showers; 0.28 in of snow depth hold water as 7 cm hold 10 mm.
    rain = only(payload("older_names.json")).arrays["rain_mm"]
    assert rain[28:34].tolist() == pytest.approx(
        [0, 0.508, 0.762, 0.508, 0.508 + 7.112 / 7, 0], abs=1e-9
    )


def test_snow_is_told_as_depth() -> None:
    assert only(payload("older_names.json")).arrays["snow_mm"][32] == pytest.approx(0.28 * 25.4)
    assert only(payload("usual.json")).arrays["snow_mm"][32] == pytest.approx(0.7)


@pytest.mark.parametrize("missing", ["rain", "showers", "snowfall"])
def test_a_sum_with_an_absent_kind_is_not_told(missing: str) -> None:
    def swap(a: dict[str, Any]) -> None:
        del a["hourly"]["precipitation"]
        for kind in ("rain", "showers", "snowfall"):
            a["hourly"][kind], a["hourly_units"][kind] = [0.0] * 48, "mm"
        del a["hourly"][missing]

    assert "rain_mm" not in only(changed(swap)).arrays


def test_a_null_in_one_kind_leaves_the_sum_untold_for_that_hour() -> None:
    def swap(a: dict[str, Any]) -> None:
        del a["hourly"]["precipitation"]
        for kind in ("rain", "showers", "snowfall"):
            a["hourly"][kind], a["hourly_units"][kind] = [0.1] * 48, "mm"
        a["hourly"]["showers"][5] = None

    rain = only(changed(swap)).arrays["rain_mm"]
    assert np.flatnonzero(np.isnan(rain)).tolist() == [4, 47]


@pytest.mark.parametrize(
    ("unit", "told", "expected"),
    [
        ("m/s", 10.0, 10.0), ("km/h", 36.0, 10.0), ("mp/h", 22.36936, 10.0),
        ("mph", 22.36936, 10.0), ("kn", 19.43844, 10.0), ("kt", 19.43844, 10.0),
        ("Knots", 19.43844, 10.0), (" KM/H ", 36.0, 10.0),
    ],
)  # fmt: skip
def test_every_unit_of_speed_is_known(unit: str, told: float, expected: float) -> None:
    def say(a: dict[str, Any]) -> None:
        a["hourly"]["wind_speed_10m"] = [told] * 48
        a["hourly_units"]["wind_speed_10m"] = unit

    assert only(changed(say)).arrays["wind_mps"][0] == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize(("unit", "told"), [("mm", 12.7), ("inch", 0.5), ("cm", 1.27)])
def test_every_unit_of_depth_is_known(unit: str, told: float) -> None:
    def say(a: dict[str, Any]) -> None:
        for layer in ("precipitation", "snowfall"):
            a["hourly"][layer], a["hourly_units"][layer] = [told] * 48, unit

    point = only(changed(say))
    assert point.arrays["rain_mm"][0] == pytest.approx(12.7)
    assert point.arrays["snow_mm"][0] == pytest.approx(12.7)


def test_a_null_is_not_zero() -> None:
    point = only(payload("nulls.json"))
    assert np.flatnonzero(np.isnan(point.arrays["rain_mm"])).tolist() == [9, 47]
    assert np.flatnonzero(np.isnan(point.arrays["rain_prob_frac"])).tolist() == [*range(23, 48)]


def test_a_layer_of_nulls_needs_no_unit_and_tells_nothing() -> None:
    assert np.isnan(only(payload("nulls.json")).arrays["sun_wm2"]).all()


def test_thunder_and_freezing_rain_are_read_from_the_code_of_the_sky() -> None:
    point = only(payload("thunder_and_freezing_rain.json"))
    assert np.flatnonzero(point.arrays["thunder"]).tolist() == [16]
    assert np.flatnonzero(point.arrays["freezing_rain"]).tolist() == [30]


def test_without_a_code_of_the_sky_thunder_is_not_told() -> None:
    def drop(a: dict[str, Any]) -> None:
        del a["hourly"]["weather_code"]

    assert {"thunder", "freezing_rain"}.isdisjoint(only(changed(drop)).arrays)


# --- values that cannot be ------------------------------------------------------------------


def test_one_wild_value_leaves_its_hour_untold_and_is_named() -> None:
    point = only(payload("wild_value.json"))
    assert np.flatnonzero(np.isnan(point.arrays["temp_c"])).tolist() == [14]
    assert point.remarks == (
        "open_meteo: hourly.temperature_2m[14]: 300 °C at 2027-01-05 21:00 UTC cannot be"
        " (possible is -60 to 55); this hour counts as not told",
    )


@pytest.mark.parametrize(
    ("layer", "last_possible", "first_wild"),
    [
        ("temperature_2m", 55.0, 55.1), ("temperature_2m", -60.0, -60.1),
        ("wind_speed_10m", 70.0, 70.1), ("wind_speed_10m", 0.0, -0.1),
        ("precipitation", 300.0, 300.1), ("precipitation", 0.0, -0.1),
        ("wind_direction_10m", 360.0, 360.1), ("cloud_cover", 102.0, 102.1),
        ("precipitation_probability", 100.0, 100.1),
    ],
)  # fmt: skip
def test_the_bounds_of_what_can_be_are_asked_on_both_sides(
    layer: str, last_possible: float, first_wild: float
) -> None:
    def say(value: float) -> Callable[[dict[str, Any]], None]:
        return lambda a: a["hourly"][layer].__setitem__(5, value)

    assert only(changed(say(last_possible))).remarks == ()
    assert len(only(changed(say(first_wild))).remarks) == 1


def test_a_sky_covered_by_101_percent_is_covered() -> None:
    point = only(changed(lambda a: a["hourly"].update(cloud_cover=[101] * 48)))
    assert point.arrays["cloud_frac"].tolist() == [1.0] * 48


def test_a_number_too_large_for_a_float_is_wild() -> None:
    huge = changed(lambda a: a["hourly"]["temperature_2m"].__setitem__(5, 10**400))
    assert "inf" in only(huge).remarks[0]


def test_a_height_that_no_ground_has_is_left_out_and_named() -> None:
    point = only(changed(lambda a: a.update(elevation=90000)))
    assert point.elev_m is None
    assert point.remarks == ("open_meteo: elevation: 90000 m cannot be; it is left out",)


def test_a_height_may_be_untold() -> None:
    assert only(changed(lambda a: a.update(elevation=None))).elev_m is None
