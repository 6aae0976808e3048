"""The weather that the book keeps: the past hour by hour, and the last outlook."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from support.books import HOUR, NOW
from support.outlooks import outlook

from windowcast.science.weather import join
from windowcast.store.blocks import BLOCK_H, block_hours, block_of
from windowcast.store.book import Book
from windowcast.terms.outlook import PAST, VARIABLES, Hazard, Origin, Outlook
from windowcast.terms.yard import Place
from windowcast.times import as_hour, hour_index

FIRST = datetime(2027, 1, 12, 8, tzinfo=UTC)
FORECAST = Origin(name="nws", issued_at=NOW - 3 * HOUR, detail="grid VLM 53,41")
RECORD = Origin(name="nws", kind=PAST, issued_at=NOW - HOUR, detail="station VLM01")
SPREAD = replace(RECORD, name="station_daily", spread=True)


def temps(book: Book, hours: int = 6) -> list[float]:
    kept = book.hours_of("kiln", hour_index(as_hour(FIRST), hours))
    assert kept is not None
    return [float(t) for t in kept.arrays["temp_c"][0]]


def test_hours_before_that_of_now_are_kept_and_no_others(book: Book) -> None:
    book.keep_hours([outlook(temp_c=[float(n) for n in range(48)])], NOW)
    assert temps(book)[:5] == [0.0, 1.0, 2.0, 3.0, 4.0]
    assert np.isnan(temps(book)[5])


def test_nothing_is_kept_of_another_yard_or_of_other_hours(book: Book) -> None:
    book.keep_hours([outlook()], NOW)
    hours = hour_index(as_hour(FIRST), 6)
    assert book.hours_of("quarry-bench", hours) is None
    assert book.hours_of("kiln", hours + 100) is None
    assert book.hours_of("kiln", hours[:0]) is None


def test_a_span_over_several_blocks_comes_back_whole(book: Book) -> None:
    count = 3 * BLOCK_H + 5
    first = NOW - timedelta(hours=count)
    told = np.arange(count, dtype=float) % 40
    book.keep_hours([outlook(first=first, count=count, temp_c=told)], NOW)
    kept = book.hours_of("kiln", hour_index(as_hour(first), count))
    assert kept is not None
    assert kept.arrays["temp_c"][0].tolist() == told.tolist()
    assert kept.origins == (Origin(name="nws", issued_at=datetime(2027, 1, 12, 10, tzinfo=UTC)),)


def test_a_later_record_replaces_the_forecast_of_its_hours_and_not_the_other_way(
    book: Book,
) -> None:
    book.keep_hours([outlook(origin=FORECAST, temp_c=6.0)], NOW)
    book.keep_hours([outlook(count=2, origin=RECORD, temp_c=4.0)], NOW)
    assert temps(book, 3) == [4.0, 4.0, 6.0]
    book.keep_hours([outlook(origin=FORECAST, temp_c=9.0)], NOW + HOUR)
    assert temps(book, 3) == [4.0, 4.0, 9.0]


def test_an_hourly_record_stands_above_daily_records_spread_over_the_hours(book: Book) -> None:
    book.keep_hours([outlook(count=2, origin=RECORD, temp_c=4.0)], NOW)
    book.keep_hours([outlook(count=4, origin=SPREAD, temp_c=2.0)], NOW)
    assert temps(book, 4) == [4.0, 4.0, 2.0, 2.0]


def test_a_record_without_wind_does_not_replace_a_forecast_that_can_be_judged(book: Book) -> None:
    book.keep_hours([outlook(origin=FORECAST, temp_c=6.0)], NOW)
    book.keep_hours([outlook(origin=RECORD, temp_c=4.0, wind_mps=np.nan)], NOW)
    assert temps(book, 2) == [6.0, 6.0]


def test_a_corrected_record_replaces_the_first_and_one_with_holes_does_not(book: Book) -> None:
    book.keep_hours([outlook(origin=RECORD, temp_c=4.0)], NOW)
    book.keep_hours([outlook(origin=RECORD, temp_c=5.0)], NOW)
    assert temps(book, 1) == [5.0]
    book.keep_hours([outlook(origin=RECORD, temp_c=7.0, rain_mm=np.nan)], NOW)
    assert temps(book, 1) == [5.0]


def test_every_kept_hour_knows_its_origin(book: Book) -> None:
    book.keep_hours([outlook(count=5, origin=FORECAST)], NOW)
    book.keep_hours([outlook(count=2, origin=RECORD)], NOW)
    kept = book.hours_of("kiln", hour_index(as_hour(FIRST), 6))
    assert kept is not None
    told = [kept.origins[n].kind if n >= 0 else None for n in kept.origin_of_hour]
    assert told == ["past", "past", "forecast", "forecast", "forecast", None]
    assert set(kept.origins) == {FORECAST, RECORD}


def test_a_season_of_mornings_is_one_origin_with_the_newest_issue_time(book: Book) -> None:
    days = [NOW + timedelta(days=n) for n in range(200)]
    told = [
        outlook(first=day - 24 * HOUR, count=24, origin=replace(FORECAST, issued_at=day))
        for day in days
    ]
    for day, item in zip(days, told, strict=True):
        book.keep_hours([item], day)
    kept = book.hours_of("kiln", hour_index(as_hour(days[0] - 24 * HOUR), 200 * 24))
    assert kept is not None
    assert kept.told().all()
    assert kept.origins == (replace(FORECAST, issued_at=days[-1]),)


def test_more_origins_than_an_hour_can_name_lose_their_detail(book: Book) -> None:
    for number in range(130):
        origin = replace(RECORD, detail=f"station {number}")
        book.keep_hours([outlook(first=NOW - (131 - number) * HOUR, count=1, origin=origin)], NOW)
    kept = book.hours_of("kiln", hour_index(as_hour(NOW) - 131, 130))
    assert kept is not None
    assert kept.told().all()
    assert "" in {origin.detail for origin in kept.origins}
    assert len(kept.origins) < 127
    assert {origin.name for origin in kept.origins} == {"nws"}


def test_blocks_are_seven_utc_days_without_gap_or_overlap() -> None:
    hours = hour_index(as_hour(FIRST), 3 * BLOCK_H)
    for hour in hours:
        assert hour in block_hours(block_of(hour))
    assert block_of(np.datetime64("1969-12-31T23", "h")) == -1
    assert block_of(np.datetime64("1970-01-01T00", "h")) == 0


def members(count: int) -> Outlook:
    """Several members with not-told values and a hazard, from two origins."""
    rng = np.random.default_rng(3)
    arrays = {name: rng.random((count, 30)).astype(np.float32) for name in VARIABLES}
    arrays["rain_mm"][:, 20:] = np.nan
    hazard = Hazard(phenomenon="WS", significance="W", first=as_hour(NOW), count=6)
    return Outlook(
        yard_key="kiln", hours=hour_index(as_hour(FIRST), 30), arrays=arrays,
        origins=(FORECAST, RECORD), origin_of_hour=np.array([1] * 9 + [0] * 20 + [-1], np.int8),
        hazards=(hazard,),
    )  # fmt: skip


def test_an_outlook_comes_back_bit_for_bit(book: Book) -> None:
    whole, place = members(5), Place(tz="America/Boise", elev_m=812.5)
    book.keep_outlooks([whole], NOW, {"kiln": place})
    kept = book.outlook_of("kiln", NOW - 3 * HOUR)
    assert kept is not None
    assert (kept.place, kept.issued_at, kept.kept_at) == (place, NOW - 3 * HOUR, NOW)
    assert (kept.outlook.origins, kept.outlook.hazards) == (whole.origins, whole.hazards)
    assert kept.outlook.origin_of_hour.tolist() == whole.origin_of_hour.tolist()
    for name in VARIABLES:
        assert kept.outlook.arrays[name].tobytes() == whole.arrays[name].tobytes()


def test_an_outlook_is_given_as_long_as_it_is_young_enough(book: Book) -> None:
    book.keep_outlooks([outlook(origin=FORECAST)], NOW)
    assert book.outlook_of("kiln", NOW - 3 * HOUR) is not None
    assert book.outlook_of("kiln", NOW - 3 * HOUR + timedelta(microseconds=1)) is None
    assert book.outlook_of("quarry-bench", NOW - 3 * HOUR) is None


@pytest.mark.parametrize(("issued_h", "temp_c"), [(4, 6.0), (3, 9.0), (2, 9.0)])
def test_an_older_outlook_never_replaces_a_younger_one(
    book: Book, issued_h: int, temp_c: float
) -> None:
    book.keep_outlooks([outlook(origin=FORECAST, temp_c=6.0)], NOW)
    other = replace(FORECAST, issued_at=NOW - issued_h * HOUR)
    book.keep_outlooks([outlook(origin=other, temp_c=9.0)], NOW + HOUR)
    kept = book.outlook_of("kiln", NOW - 9 * HOUR)
    assert kept is not None
    assert kept.outlook.arrays["temp_c"][0, 0] == temp_c


def test_an_outlook_that_tells_no_issue_time_is_as_old_as_its_keeping(book: Book) -> None:
    book.keep_outlooks([outlook(origin=Origin(name="files"))], NOW)
    assert book.outlook_of("kiln", NOW) is not None
    assert book.outlook_of("kiln", NOW + timedelta(seconds=1)) is None


def test_an_outlook_that_tells_nothing_is_not_kept(book: Book) -> None:
    nothing = {name: np.nan for name in VARIABLES}
    book.keep_outlooks([outlook(count=3, **nothing), outlook(count=0)], NOW)
    assert book.outlook_of("kiln", NOW - 99 * HOUR) is None


HERE = Place(tz="America/Boise", lat_deg=43.9, lon_deg=-119.6)
DAY_LATER = NOW + 24 * HOUR


def learned(book: Book, place: Place, at: datetime, **told: float) -> None:
    item = outlook(first=at - 30 * HOUR, count=60, **told)
    book.keep_outlooks([item], at, {"kiln": place})
    book.keep_hours([item], at)


@pytest.mark.parametrize(("lat_deg", "warmest"), [(43.94, 9.0), (43.95, 1.0)])  # 4.4, 5.6 km
def test_the_past_of_a_yard_that_moved_is_set_aside(
    book: Book, lat_deg: float, warmest: float
) -> None:
    learned(book, HERE, NOW, temp_c=9.0)
    learned(book, replace(HERE, lat_deg=lat_deg), DAY_LATER, temp_c=1.0)
    kept = book.hours_of("kiln", hour_index(as_hour(NOW - 60 * HOUR), 90))
    assert kept is not None
    assert np.nanmax(kept.arrays["temp_c"]) == warmest


def test_a_yard_that_moved_takes_the_outlook_of_its_new_place_however_old(book: Book) -> None:
    young = Origin(name="nws", issued_at=NOW)
    old = Origin(name="open_meteo", issued_at=NOW - 9 * HOUR)
    book.keep_outlooks([outlook(origin=young)], NOW, {"kiln": HERE})
    book.keep_outlooks([outlook(origin=old)], NOW, {"kiln": replace(HERE, lat_deg=45.0)})
    kept = book.outlook_of("kiln", NOW - 48 * HOUR)
    assert kept is not None
    assert (kept.outlook.origins, kept.place.lat_deg) == ((old,), 45.0)


def test_an_outlook_is_as_old_as_what_it_says_of_the_next_hour(book: Book) -> None:
    near = outlook(first=NOW - HOUR, count=30, origin=Origin(name="nws", issued_at=NOW - HOUR))
    tail = outlook(first=NOW, count=90, origin=Origin(name="open_meteo", issued_at=NOW - 27 * HOUR))
    book.keep_outlooks([join([near, tail], [])], NOW)
    kept = book.outlook_of("kiln", NOW - 2 * HOUR)
    assert kept is not None
    assert kept.issued_at == NOW - HOUR


def test_hours_that_came_from_the_book_are_not_kept_as_records(book: Book) -> None:
    book.keep_hours([outlook(origin=FORECAST, temp_c=6.0)], NOW)
    before = book.hours_of("kiln", hour_index(as_hour(FIRST), 5))
    assert before is not None
    again = replace(before, origins=tuple(replace(o, kind=PAST, kept=True) for o in before.origins))
    book.keep_hours([again], NOW)
    after = book.hours_of("kiln", hour_index(as_hour(FIRST), 5))
    assert after is not None
    assert [origin.kind for origin in after.origins] == ["forecast"]
