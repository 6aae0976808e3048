"""What the reader of Open-Meteo's answers refuses, and with which words."""

from typing import Any

import pytest
from support.open_meteo_payloads import answer, body, changed, on_local_clock, payload

from windowcast.problems import SourceGarbled
from windowcast.sources.wire.open_meteo import PointForecast, read_forecasts, read_points


def refusal(raw: bytes) -> str:
    with pytest.raises(SourceGarbled) as caught:
        read_forecasts(raw)
    sentence = str(caught.value)
    assert sentence.startswith("open_meteo: ")
    assert "\n" not in sentence
    return sentence


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("error_first.json", 'an error: "Minutely API request limit exceeded. Please try again'),
        ("reason_first.json", 'an error: "The service is overloaded"'),
        ("gateway.html", "not JSON"),
        ("plain_text.txt", 'it begins with "error code: 525"'),
        ("cut_off.json", "not JSON from character"),
        ("three_hourly.json", "3 hours after the one before, expected 1 hour"),
        ("unit_slip.json", "a unit is wrong"),
        ("unknown_unit.json", 'hourly_units.wind_speed_10m: found "furlong", expected one of'),
    ],
)
def test_an_answer_that_is_no_forecast_is_refused_in_its_own_words(name: str, said: str) -> None:
    assert said in refusal(payload(name))


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "empty"),
        (b"[]", "empty list"),
        (b"null", "expected an object"),
        (b"7", "expected an object"),
        (b"[[]]", "expected an object"),
        (b'{"error": true}', "no reason"),
        (b'{"error": true, "reason": 7}', "no reason"),
        (b"{}", "hourly"),
        (b'{"latitude": NaN}', "NaN"),
        (b"[" * 100_000, "nested too deeply"),
        (b"\xff\xfe", "not UTF-8"),
    ],
)
def test_what_is_no_answer_at_all_is_refused(raw: bytes, said: str) -> None:
    assert said in refusal(raw)


@pytest.mark.parametrize("layer", ["temperature_2m", "wind_speed_10m"])
def test_without_temperature_or_wind_there_is_no_forecast(layer: str) -> None:
    assert f"hourly.{layer}: the layer is missing" in refusal(
        changed(lambda a: a["hourly"].pop(layer))
    )
    untold = changed(lambda a: a["hourly"].update({layer: [None] * 48}))
    assert f"hourly.{layer}: not one hour is told" in refusal(untold)


@pytest.mark.parametrize("length", [0, 47, 49])
def test_a_layer_of_another_length_is_refused(length: int) -> None:
    said = refusal(changed(lambda a: a["hourly"].update(cloud_cover=[5] * length)))
    assert "hourly.cloud_cover" in said
    assert str(length) in said


@pytest.mark.parametrize("value", ["7", True, [7], {"v": 7}])
def test_a_value_that_is_no_number_is_refused(value: object) -> None:
    said = refusal(changed(lambda a: a["hourly"]["temperature_2m"].__setitem__(3, value)))
    assert "hourly.temperature_2m[3]" in said


@pytest.mark.parametrize("unit", [None, 7, "°X", ""])
def test_a_unit_that_is_not_known_is_refused(unit: object) -> None:
    said = refusal(changed(lambda a: a["hourly_units"].update(precipitation=unit)))
    assert "hourly_units.precipitation" in said


@pytest.mark.parametrize("key", ["latitude", "longitude"])
@pytest.mark.parametrize("value", [None, "43.6", 181, -181, True])
def test_a_point_that_is_nowhere_is_refused(key: str, value: object) -> None:
    assert f"open_meteo: {key}" in refusal(changed(lambda a: a.update({key: value})))


def stamped(change: Any) -> bytes:
    def apply(a: dict[str, Any]) -> None:
        change(a["hourly"]["time"])

    return changed(apply)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda t: t.__setitem__(5, t[4]), "does not come after"),
        (lambda t: t.reverse(), "does not come after"),
        (lambda t: t.__setitem__(5, t[5] + 60), "not a full hour"),
        (lambda t: t.__setitem__(5, None), "hourly.time[5]"),
        (lambda t: t.__setitem__(5, "2027-01-05T12:00"), "hourly.time[5]"),
        (lambda t: t.__setitem__(5, True), "hourly.time[5]"),
        (lambda t: t.__setitem__(0, -3600), "hourly.time[0]"),
        (lambda t: t.__setitem__(47, 10**12), "hourly.time[47]"),
        (lambda t: t.__setitem__(47, t[47] + 86400 * 300), "span 302 days"),
        (lambda t: t.clear(), "hourly.time: the list is empty"),
    ],
)
def test_stamps_that_make_no_hours_are_refused(change: Any, said: str) -> None:
    assert said in refusal(stamped(change))


@pytest.mark.parametrize("offset", [None, "-25200", 0.5, 10**6])
def test_local_stamps_without_an_offset_are_refused(offset: object) -> None:
    told = {**on_local_clock(answer(), -25200), "utc_offset_seconds": offset}
    assert "utc_offset_seconds" in refusal(body(told))


@pytest.mark.parametrize(
    "stamp", ["2027-01-05", "2027-02-30T00:00", "2027-01-05T00:00Z", "1960-01-01T00:00", "x"]
)
def test_local_stamps_that_no_calendar_has_are_refused(stamp: str) -> None:
    told = on_local_clock(answer(), -25200)
    told["hourly"]["time"][0] = stamp
    assert "hourly.time[0]" in refusal(body(told))


def test_five_wild_values_are_slips_and_six_are_a_wrong_unit() -> None:
    def spoil(count: int) -> bytes:
        return changed(lambda a: a["hourly"].update(cloud_cover=[500] * count + [5] * (48 - count)))

    (point,) = read_forecasts(spoil(5))
    assert "this and 4 more hours count as not told" in point.remarks[0]
    assert "6 of 48 values; a unit is wrong" in refusal(spoil(6))


def test_one_point_that_cannot_be_read_leaves_the_others_readable() -> None:
    spoiled = answer()
    del spoiled["hourly"]["temperature_2m"]
    good, bad = read_points(body([answer(), spoiled]))
    assert isinstance(good, PointForecast)
    assert "open_meteo: [1].hourly.temperature_2m" in str(bad)


def test_an_answer_without_one_good_point_is_refused_as_a_whole() -> None:
    refused = body([{"error": True, "reason": "no"}, {"error": True, "reason": "no"}])
    assert "open_meteo: [0]" in refusal(refused)


def test_every_point_must_be_readable_where_all_are_wanted() -> None:
    assert "open_meteo: [1]" in refusal(body([answer(), {}]))
