import math
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from support.nws_payloads import body, measured, observation, observations, payload, utc

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.nws_observations import StationHours, read_observations

NOON = utc("2027-01-12T12:00:00Z")  # hour 12 in the tests below


def at(clock: str) -> Any:
    return utc(f"2027-01-12T{clock}:00Z")


def read(*reports: dict[str, Any]) -> StationHours:
    return read_observations(body(observations("KXYA", reports)))


def hourly(told: StationHours, name: str) -> dict[str, float]:
    """What is told, by the hour of 12 January."""
    return {
        str(hour)[-2:]: round(float(value), 4)
        for hour, value in zip(told.hours, told.arrays[name], strict=True)
        if math.isfinite(value)
    }


def test_a_usual_answer_is_told_by_hour() -> None:
    told = read_observations(payload("observations"))
    assert (told.station_id, told.lat_deg, told.lon_deg) == ("KXYA", 43.64, -116.24)
    assert told.hours.size == 7  # the first report's rain is that of the hour before
    assert told.hours[0] == np.datetime64("2027-01-12T11", "h")
    expected = {f"{12 + n}": 3.3 + n / 10 for n in range(6)}
    assert hourly(told, "temp_c") == pytest.approx(expected)
    assert hourly(told, "rain_mm") == {"11": 0, "12": 0, "13": 0, "14": 0, "15": 1.27}
    assert hourly(told, "wind_mps")["17"] == 3.1
    assert hourly(told, "cloud_frac")["12"] == 0.75
    assert hourly(told, "gust_mps") == {}
    assert told.remarks == ()


def test_an_answer_without_reports_tells_no_hours() -> None:
    told = read()
    assert told.hours.size == 0
    assert (told.station_id, told.lat_deg) == ("", None)


@pytest.mark.parametrize(
    ("clock", "hour"),
    [("11:30", "12"), ("11:53", "12"), ("12:00", "12"), ("12:29", "12"), ("12:30", "13")],
)
def test_a_state_stands_for_the_nearest_full_hour(clock: str, hour: str) -> None:
    assert hourly(read(observation(at(clock), temp_c=5.0)), "temp_c") == {hour: 5.0}


@pytest.mark.parametrize(
    ("clock", "told"),
    [
        ("11:44", {}),
        ("11:45", {"11": 1.0}),
        ("11:53", {"11": 1.0}),
        ("12:02", {"11": 1.0}),
        ("12:03", {}),
        ("12:20", {}),
    ],
)
def test_rain_of_the_last_hour_belongs_to_the_hour_before(
    clock: str, told: dict[str, float]
) -> None:
    assert hourly(read(observation(at(clock), temp_c=5.0, rain_mm=1.0)), "rain_mm") == told


def test_null_rain_is_not_zero() -> None:
    told = read(observation(at("11:53"), temp_c=5.0, rain_mm=None))
    assert hourly(told, "rain_mm") == {}


def test_a_trace_of_rain_is_told_as_none() -> None:
    told = read(observation(at("11:53"), temp_c=5.0, rain_mm=0.0))
    assert hourly(told, "rain_mm") == {"11": 0.0}


def test_the_routine_report_stands_for_the_hour_and_others_fill_its_gaps() -> None:
    told = read(
        observation(at("11:40"), temp_c=1.0, wind_kmh=36.0),
        observation(at("11:53"), temp_c=2.0),
        observation(at("12:05"), temp_c=3.0, wind_kmh=72.0, gust_kmh=90.0),
    )
    assert hourly(told, "temp_c") == {"12": 2.0}
    assert hourly(told, "wind_mps") == {"12": 20.0}  # 12:05 is nearer to 11:56 than 11:40 to 11:51
    assert hourly(told, "gust_mps") == {"12": 25.0}


def test_reports_every_five_minutes_give_way_to_the_one_with_a_message() -> None:
    rows = [
        observation(NOON + timedelta(minutes=5 * n), temp_c=float(n), raw="") for n in range(24)
    ]
    told = read(*rows, observation(at("12:53"), temp_c=99.0 / 2, rain_mm=0.508))
    assert hourly(told, "temp_c")["13"] == 49.5
    assert hourly(told, "rain_mm") == {"12": 0.508}
    assert hourly(told, "temp_c")["14"] == 23.0  # 13:55, the only one from minute 51 to 56


def test_rain_counted_after_the_routine_report_does_not_stand_for_the_hour() -> None:
    told = read(
        observation(at("11:53"), temp_c=2.0, rain_mm=2.54),
        observation(at("11:56"), temp_c=2.0, rain_mm=0.254),
    )
    assert hourly(told, "rain_mm") == {"11": 2.54}
    told = read(
        observation(at("11:53"), temp_c=2.0, rain_mm=None),
        observation(at("11:58"), temp_c=2.0, rain_mm=0.0),
    )
    assert hourly(told, "rain_mm") == {}


def test_the_order_of_reports_and_doubles_do_not_matter() -> None:
    rows = [observation(at(f"{h}:53"), temp_c=float(h), rain_mm=0.1 * h) for h in range(10, 14)]
    forward = read_observations(body({"features": observations("KXYA", rows)["features"]}))
    features = observations("KXYA", [*rows, rows[1]])["features"][::-1]
    backward = read_observations(body({"features": features}))
    for name in forward.arrays:
        np.testing.assert_array_equal(forward.arrays[name], backward.arrays[name])


@pytest.mark.parametrize(
    ("quality", "told"),
    [("V", 5.0), ("C", 5.0), ("S", 5.0), ("Z", 5.0), ("X", None), ("Q", None), ("B", None)],
)
def test_what_quality_control_rejects_is_not_used(quality: str, told: float | None) -> None:
    row = observation(at("11:53"), temp_c=None, wind_kmh=3.6, raw="KXYA RMK AO2 T00110000")
    row["temperature"] = measured(5.0, "degC", quality)
    assert hourly(read(row), "temp_c").get("12") == told


@pytest.mark.parametrize(
    ("raw", "temp", "dewpoint"),
    [
        ("KXYA 121153Z 26/23 A3012 RMK AO2 T02560228", 25.6, 22.8),
        ("KXYA 121153Z M01/M06 A3012 RMK AO2 SLP201 T10061056 $", -0.6, -5.6),
        ("KXYA 121153Z 00/ A3012 RMK AO2 T0000", 0.0, None),
        ("KXYA 121153Z 26/23 A3012 RMK AO2", None, None),
        ("KXYA 121153Z 26/23 T02560228 A3012", None, None),
        ("KXYA 121153Z RMK AO2 T09990999", None, None),
        ("", None, None),
    ],
)
def test_a_null_temperature_is_taken_from_the_remarks_of_the_message(
    raw: str, temp: float | None, dewpoint: float | None
) -> None:
    told = read(observation(at("11:53"), wind_kmh=3.6, raw=raw))
    assert hourly(told, "temp_c").get("12") == temp
    assert hourly(told, "dewpoint_c").get("12") == dewpoint


def test_null_rain_is_taken_from_the_remarks_of_the_message() -> None:
    told = read(observation(at("11:53"), temp_c=5.0, raw="KXYA 121153Z RMK AO2 P0012 T00500011"))
    assert hourly(told, "rain_mm") == {"11": 3.048}


def test_older_units_are_converted() -> None:
    told = read_observations(payload("observations_of_2019"))
    assert hourly(told, "temp_c") == {"12": 3.3}
    assert hourly(told, "wind_mps") == {"12": 3.1}
    assert hourly(told, "rain_mm") == {"11": 1.27}


def test_an_unknown_unit_is_untold_and_remarked_on_once() -> None:
    rows = [observation(at(f"{h}:53"), temp_c=5.0) for h in range(10, 14)]
    for row in rows:
        row["windSpeed"] = measured(5.0, "furlong_fortnight-1")
    told = read(*rows)
    assert hourly(told, "wind_mps") == {}
    assert len(told.remarks) == 1
    assert told.remarks[0].startswith("nws station KXYA: windSpeed: unit")


@pytest.mark.parametrize(
    ("field", "value", "unit"),
    [
        ("windSpeed", 1048.36 * 1.609344, "km_h-1"),
        ("temperature", 300.0, "degC"),
        ("precipitationLastHour", -1.0, "mm"),
        ("windDirection", 999.0, "degree_(angle)"),
    ],
)
def test_an_impossible_value_is_untold_and_remarked_on(field: str, value: float, unit: str) -> None:
    row = observation(at("11:53"), dewpoint_c=1.0)
    row[field] = measured(value, unit)
    told = read(row)
    assert sum(np.isfinite(array).sum() for array in told.arrays.values()) == 1
    assert field in told.remarks[0]


def test_fields_that_are_absent_are_untold() -> None:
    row = observation(at("11:53"), temp_c=5.0, wind_kmh=3.6, rain_mm=0.0, cloud=["BKN"])
    for field in ("windSpeed", "precipitationLastHour", "cloudLayers", "rawMessage"):
        del row[field]
    told = read(row)
    assert hourly(told, "temp_c") == {"12": 5.0}
    for name in ("wind_mps", "rain_mm", "cloud_frac"):
        assert hourly(told, name) == {}


def test_a_cloud_layer_without_an_amount_is_passed_over() -> None:
    row = observation(at("11:53"), temp_c=5.0, cloud=["BKN"])
    row["cloudLayers"].append({"base": None, "amount": None})
    assert hourly(read(row), "cloud_frac") == {"12": 0.75}


def test_a_calm_has_no_direction() -> None:
    told = read(observation(at("11:53"), wind_kmh=0.0, wind_from_deg=0.0))
    assert hourly(told, "wind_mps") == {"12": 0.0}
    assert hourly(told, "wind_from_deg") == {}


@pytest.mark.parametrize(
    ("cloud", "cover"),
    [
        (["CLR"], 0.0),
        (["FEW"], 0.1875),
        (["FEW", "SCT"], 0.4375),
        (["OVC", "FEW"], 1.0),
        (["VV"], 1.0),
        ([], None),
        (["odd"], None),
    ],
)
def test_cloud_is_the_greatest_cover_of_any_layer(cloud: list[str], cover: float | None) -> None:
    told = read(observation(at("11:53"), temp_c=5.0, cloud=cloud))
    assert hourly(told, "cloud_frac").get("12") == cover


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("timestamp", None),
        ("timestamp", "yesterday"),
        ("temperature", 5.0),
        ("temperature", {"value": "5", "unitCode": "wmoUnit:degC"}),
        ("temperature", {"value": 5.0}),
        ("rawMessage", 5),
        ("cloudLayers", "OVC"),
        ("cloudLayers", ["OVC"]),
        ("cloudLayers", [{"amount": 8}]),
        ("station", None),
    ],
)
def test_a_report_of_the_wrong_form_is_refused_by_place(field: str, value: object) -> None:
    row = observation(at("11:53"), temp_c=5.0)
    row["station"] = "https://api.weather.gov/stations/KXYA"
    answer = observations("KXYA", [row])
    answer["features"][0]["properties"][field] = value
    with pytest.raises(SourceGarbled, match=f"^nws station.*{field}"):
        read_observations(body(answer))


def test_reports_of_two_stations_are_refused() -> None:
    row = observation(at("11:53"), temp_c=5.0)
    both = observations("KXYA", [row])["features"] + observations("KXYB", [row])["features"]
    with pytest.raises(SourceGarbled, match="2 stations"):
        read_observations(body({"features": both}))


def test_reports_over_more_than_a_month_are_refused() -> None:
    with pytest.raises(SourceGarbled, match="span"):
        read(observation(NOON, temp_c=5.0), observation(NOON + timedelta(days=32), temp_c=5.0))


@pytest.mark.parametrize(
    "answer", [b"", b"<html>", b"[]", b"{}", b'{"features": [7]}', payload("problem_marine")]
)
def test_a_body_that_holds_no_reports_is_refused(answer: bytes) -> None:
    with pytest.raises(SourceGarbled, match=r"^nws station"):
        read_observations(answer)
