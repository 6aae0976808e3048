"""The source open_meteo: what it asks, whom it answers, and what it refuses."""

import json
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from support.canned import CannedFetcher
from support.open_meteo_payloads import START, answer, body, payload

from windowcast.problems import ConfigProblem, SourceDown
from windowcast.science.distance import distance_km
from windowcast.sources.open_meteo import CREDIT, CUSTOMER_URL, FREE_URL, OpenMeteo
from windowcast.terms.outlook import FORECAST, Answer
from windowcast.terms.yard import Place, Yard

NOW = datetime(2027, 1, 6, 13, 0, tzinfo=UTC)
PATH = "/v1/forecast"


def yard(key: str, lat_deg: float = 43.61, lon_deg: float = -116.2) -> Yard:
    return Yard(key=key, name=key.title(), lat_deg=lat_deg, lon_deg=lon_deg)


def asked(told: object, *yards: Yard) -> tuple[Answer, CannedFetcher]:
    fetcher = CannedFetcher({PATH: told if isinstance(told, bytes) else body(told)})
    return OpenMeteo(fetcher, noncommercial=True).outlooks(yards, NOW), fetcher


# --- what a yard gets -----------------------------------------------------------------------


def test_a_yard_gets_its_hours_past_and_to_come_with_the_credit_line() -> None:
    told, _ = asked(answer(72), yard("kiln"))
    outlook = told.outlooks["kiln"]
    assert outlook.hours[0] == np.datetime64("2027-01-05T07", "h")
    assert outlook.hours[0] < np.datetime64(NOW.replace(tzinfo=None), "h") < outlook.hours[-1]
    (origin,) = outlook.origins
    assert (origin.name, origin.kind, origin.credit) == ("open_meteo", FORECAST, CREDIT)
    assert CREDIT == "Weather data by Open-Meteo.com (CC BY 4.0)"
    assert told.trouble == {}


def test_on_its_day_the_age_is_that_of_the_asking_and_says_so() -> None:
    told, _ = asked(answer(72, start=START + timedelta(days=1)), yard("kiln"))
    (origin,) = told.outlooks["kiln"].origins
    assert origin.issued_at == NOW
    assert origin.detail == "cell 43.61, -116.20, as fetched: no issue time is told"


def test_after_its_day_the_age_is_that_of_the_end_of_the_day() -> None:
    told, _ = asked(answer(72), yard("kiln"))
    (origin,) = told.outlooks["kiln"].origins
    assert origin.issued_at == START + timedelta(days=1)
    assert origin.detail.endswith(
        ", by its days before 2027-01-06 07:00 UTC: no issue time is told"
    )


def test_an_answer_of_a_day_to_come_is_from_the_future() -> None:
    told, _ = asked(answer(72, start=START + timedelta(days=2)), yard("kiln"))
    (origin,) = told.outlooks["kiln"].origins
    assert origin.issued_at == START + timedelta(days=2)
    assert "by its days from 2027-01-07 07:00 UTC on" in origin.detail


def test_zone_and_height_come_from_the_service() -> None:
    told, _ = asked(answer(), yard("kiln"))
    assert told.places == {"kiln": Place(tz="America/Boise", elev_m=823.0)}


def test_each_yard_gets_the_answer_of_its_own_place() -> None:
    yards = [yard("kiln"), yard("heron-slough", 43.61, -116.199), yard("quarry-bench", 45.5, -121)]
    told, _ = asked(payload("several_points.json"), *yards)
    assert [told.places[y.key].elev_m for y in yards] == [823.0, 838.0, 402.0]
    assert told.places["quarry-bench"].tz == "America/Los_Angeles"
    assert told.outlooks["quarry-bench"].hours[0] == np.datetime64("2027-01-05T08", "h")


def test_a_wild_value_is_remarked_on_with_the_yard() -> None:
    told, _ = asked(payload("wild_value.json"), yard("kiln"))
    (remark,) = told.remarks
    assert "300 °C" in remark
    assert remark.endswith("(yard kiln)")
    assert "kiln" in told.outlooks


# --- what it asks ---------------------------------------------------------------------------


def test_it_asks_for_sixteen_days_seven_back_in_si_and_utc() -> None:
    _, fetcher = asked(answer(), yard("kiln", 43.6123449, -116.2))
    params = fetcher.params[PATH]
    assert params["latitude"] == "43.6123"
    assert params["longitude"] == "-116.2"
    assert (params["forecast_days"], params["past_days"]) == ("16", "7")
    assert (params["timezone"], params["timeformat"]) == ("auto", "unixtime")
    assert (params["temperature_unit"], params["wind_speed_unit"]) == ("celsius", "ms")
    assert params["precipitation_unit"] == "mm"
    assert "apikey" not in params
    assert OpenMeteo.reach_h == 384


def test_two_yards_at_one_spot_are_asked_for_once() -> None:
    told, fetcher = asked(answer(), yard("kiln"), yard("kiln-two"))
    assert fetcher.params[PATH]["latitude"] == "43.61"
    assert set(told.outlooks) == {"kiln", "kiln-two"}


def test_fifty_one_places_are_two_calls() -> None:
    yards = [yard(f"y{n}", 43.0 + n / 1000) for n in range(51)]
    first = body([answer(3, lat=y.lat_deg) for y in yards[:50]])
    fetcher = CannedFetcher({PATH: [first, body(answer(3, lat=43.05))]})
    told = OpenMeteo(fetcher, noncommercial=True).outlooks(yards, NOW)
    assert len(fetcher.asked) == 2
    assert set(told.outlooks) == {y.key for y in yards}


def test_no_yards_are_no_call() -> None:
    told, fetcher = asked(answer())
    assert (dict(told.outlooks), fetcher.asked) == ({}, [])


# --- what fails -----------------------------------------------------------------------------


def test_a_failed_call_blinds_only_the_yards_of_that_call() -> None:
    yards = [yard(f"y{n}", 43.0 + n / 1000) for n in range(51)]
    down = SourceDown("open_meteo: no answer in 3 tries")
    fetcher = CannedFetcher({PATH: [down, body(answer(3, lat=43.05))]})
    told = OpenMeteo(fetcher, noncommercial=True).outlooks(yards, NOW)
    assert set(told.outlooks) == {"y50"}
    assert set(told.trouble) == {f"y{n}" for n in range(50)}
    assert told.trouble["y0"] == "open_meteo: no answer in 3 tries"


@pytest.mark.parametrize("count", [1, 3])
def test_another_number_of_points_than_asked_for_is_refused(count: int) -> None:
    fetcher = CannedFetcher({PATH: body([answer(3)] * count)})
    told = OpenMeteo(fetcher, noncommercial=True).outlooks(
        [yard("kiln"), yard("mill-ditch", 43.7)], NOW
    )
    assert told.outlooks == {}
    assert f"{count} points where 2 were asked for" in told.trouble["mill-ditch"]


def test_a_bad_point_blinds_only_its_own_yards() -> None:
    spoiled = answer(3, lat=43.7)
    del spoiled["hourly"]["wind_speed_10m"]
    told, _ = asked([answer(3), spoiled], yard("kiln"), yard("mill-ditch", 43.7))
    assert set(told.outlooks) == {"kiln"}
    assert "wind_speed_10m" in told.trouble["mill-ditch"]


@pytest.mark.parametrize(("off_deg", "is_used"), [(0.449, True), (0.451, False)])
def test_an_answer_about_a_place_more_than_50_km_away_is_refused(
    off_deg: float, is_used: bool
) -> None:
    told, _ = asked(answer(3, lat=43.61 + off_deg), yard("kiln"))
    assert ("kiln" in told.outlooks) is is_used
    assert ("kiln" in told.trouble) is not is_used


def test_the_answer_for_another_yard_is_not_taken_for_ones_own() -> None:
    swapped = [answer(3, lat=45.5), answer(3, lat=43.61)]
    told, _ = asked(swapped, yard("kiln"), yard("quarry-bench", 45.5))
    assert told.outlooks == {}
    assert "km away" in told.trouble["kiln"]


@pytest.mark.parametrize(
    ("lat", "is_used"),
    [
        (43.699, True),  # 9.9 km off: whatever lies near, so far may a cell's middle be
        (43.7, False),  # 10.01 km off, and 4.9 from the other spot
        (43.703, False),
    ],
)
def test_an_answer_much_nearer_to_another_spot_of_the_call_is_refused(
    lat: float, is_used: bool
) -> None:
    told, _ = asked([answer(3, lat=lat), answer(3, lat=43.61)], yard("a"), yard("b", 43.744))
    assert ("a" in told.outlooks) is is_used
    assert is_used or "km from 43.744, -116.2 of the same call" in told.trouble["a"]


@pytest.mark.parametrize(("lat", "is_used"), [(43.736, True), (43.737, False)])
def test_an_answer_less_than_half_as_far_from_another_spot_is_refused(
    lat: float, is_used: bool
) -> None:
    # 43.8 less 43.61 is 0.19 degrees, and two thirds of it are 0.1267.
    told, _ = asked([answer(3, lat=lat), answer(3, lat=43.61)], yard("a"), yard("b", 43.8))
    assert ("a" in told.outlooks) is is_used


@pytest.mark.parametrize(("off_km", "is_used"), [(17.9, True), (18.1, False)])
def test_two_spots_may_share_one_coarse_cell(off_km: float, is_used: bool) -> None:
    lat = 43.61 + off_km / 111.195
    told, _ = asked([answer(3, lat=lat)] * 2, yard("a"), yard("b", round(lat + 0.01, 4)))
    assert ("a" in told.outlooks) is is_used
    assert "b" in told.outlooks


def test_two_answers_in_swapped_order_are_both_refused() -> None:
    swapped = [answer(3, lat=43.8), answer(3)]
    told, _ = asked(swapped, yard("kiln"), yard("mill-ditch", 43.8))
    assert told.outlooks == {}
    assert "another order" in told.trouble["kiln"]
    assert "another order" in told.trouble["mill-ditch"]


def test_answers_without_the_code_of_the_sky_are_remarked_on_once() -> None:
    several = [answer(3, lat=43.61 + n / 100) for n in range(5)]
    for told in several[1:]:
        del told["hourly"]["weather_code"]
    told, _ = asked(several, *(yard(f"y{n}", 43.61 + n / 100) for n in range(5)))
    assert told.remarks == (
        "open_meteo: thunder and freezing rain are not told (yard y1, y2, y3 and 1 more)",
    )


# --- terms ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "base_url",
    [
        None, FREE_URL, FREE_URL + "/", FREE_URL + ".", "https://API.open-meteo.com",
        "https://api\u3002open-meteo\uff0ecom", "https://\uff41pi.open-meteo.com:443/",
    ],
)  # fmt: skip
def test_the_free_host_is_refused_to_a_business(base_url: str | None) -> None:
    with pytest.raises(ConfigProblem, match="noncommercial = true"):
        OpenMeteo(CannedFetcher({}), base_url=base_url)


def test_a_customer_key_opens_the_customers_host() -> None:
    fetcher = CannedFetcher({PATH: body(answer(3))})
    source = OpenMeteo(fetcher, api_key="abc123")
    source.outlooks([yard("kiln")], NOW)
    assert fetcher.params[PATH]["apikey"] == "abc123"
    assert CUSTOMER_URL == "https://customer-api.open-meteo.com"


def test_a_server_of_ones_own_needs_neither() -> None:
    fetcher = CannedFetcher({PATH: body(answer(3))})
    told = OpenMeteo(fetcher, base_url="http://localhost:8080").outlooks([yard("kiln")], NOW)
    assert "kiln" in told.outlooks


def test_a_kept_answer_is_used_for_an_hour() -> None:
    _, fetcher = asked(answer(3), yard("kiln"))
    assert fetcher.kept_h[PATH] == 1.0


# --- distance -------------------------------------------------------------------------------


def test_a_degree_of_latitude_is_111_km() -> None:
    # One degree of a great circle of 6371 km: 2 pi 6371 / 360 = 111.195 km.
    assert distance_km(43.0, -116.0, 44.0, -116.0) == pytest.approx(111.195, abs=0.001)
    assert distance_km(0.0, 179.5, 0.0, -179.5) == pytest.approx(111.195, abs=0.001)


def test_the_other_side_of_the_earth_is_half_its_girth_away() -> None:
    assert distance_km(0.0, 0.0, 0.0, 180.0) == pytest.approx(20015.1, abs=0.1)
    assert distance_km(90.0, 0.0, -90.0, 0.0) == pytest.approx(20015.1, abs=0.1)


def test_a_payload_as_large_as_a_batch_of_sixteen_days_is_read() -> None:
    yards = [yard(f"y{n}", 43.0 + n / 1000) for n in range(50)]
    start = datetime(2026, 12, 30, 7, tzinfo=UTC)
    raw = json.dumps([answer(23 * 24, start=start, lat=y.lat_deg) for y in yards]).encode()
    told = OpenMeteo(CannedFetcher({PATH: raw}), noncommercial=True).outlooks(yards, NOW)
    last = told.outlooks["y49"].hours[-1]
    assert last == np.datetime64((start + timedelta(hours=551)).replace(tzinfo=None), "h")
