"""Archives of issued forecasts; the numbers are those of tests/support/open_meteo_archives.py."""

import gzip

import numpy as np
import pytest
from support.open_meteo_archives import archive, csv_of, line, payload, table, usual

from windowcast.problems import SourceGarbled
from windowcast.science.skill.days import highs_by_lead, lead_days
from windowcast.sources.wire.open_meteo_archive import REMARKS_AT_MOST, read_archive


def usual_archive():
    return read_archive(payload("issued.jsonl"), payload("came.csv"))


def changed(change, morning=0):
    """An archive of one line after a change to it."""
    told = line(morning)
    change(told)
    return archive([told])


def test_the_payloads_are_what_the_builder_writes():
    assert payload("issued.jsonl") == usual()
    assert payload("came.csv") == csv_of(table())


def test_each_morning_is_a_case_with_its_hour_of_issue_in_utc():
    told = usual_archive()
    assert [str(hour) for hour in told.issued] == [
        "2027-01-05T13", "2027-01-06T13", "2027-01-07T13",
    ]  # fmt: skip
    assert (told.tz, told.lat_deg, told.lon_deg) == ("America/Boise", 43.61, -116.2)


def test_lead_hours_count_from_the_hour_of_issue_and_hours_that_had_passed_are_below_zero():
    told = usual_archive()
    assert (told.lead_h[0], told.lead_h[-1]) == (-6, 65)
    assert told.hours[1, 0] == np.datetime64("2027-01-06T07", "h")


def test_forecast_and_truth_of_the_same_hour_stand_side_by_side_in_si():
    told = usual_archive()
    hour = int(np.flatnonzero(told.lead_h == 9)[0])  # 15:00 by the clock, the top of the wave
    assert told.forecast["temp_c"][0, hour] == pytest.approx(13.0, abs=0.03)
    assert told.came["temp_c"][0, hour] == pytest.approx(13.0, abs=0.03)
    assert told.forecast["temp_c"][0, hour + 24] == pytest.approx(14.0, abs=0.03)
    assert told.came["wind_mps"][0, hour] == pytest.approx(4 * 0.44704)


def test_rain_told_for_the_hour_before_its_stamp_lies_in_that_hour_on_both_sides():
    told = usual_archive()
    wet = np.datetime64("2027-01-06T16", "h")  # 09:00 by the clock
    for side in (told.forecast, told.came):
        assert set(told.hours[side["rain_mm"] > 0].tolist()) == {wet.tolist()}
        assert np.nanmax(side["rain_mm"]) == pytest.approx(2.54)


def test_the_errors_by_lead_day_are_those_that_were_written():
    told = usual_archive()
    ahead = lead_days(told.issued, told.hours, told.tz)
    sides = (told.forecast["temp_c"], told.came["temp_c"])
    high, came = (highs_by_lead(side, ahead, 3) for side in sides)
    assert high - came == pytest.approx(np.tile([0.0, 1.0, 2.0], (3, 1)), abs=1e-9)


def test_a_chance_of_rain_is_no_part_of_what_came():
    told = usual_archive()
    assert "rain_prob_frac" in told.forecast
    assert "rain_prob_frac" not in told.came


def test_an_error_in_place_of_a_forecast_is_left_out_with_a_remark():
    told = usual_archive()
    assert told.remarks == (
        'the archive, line 4: the service answers with an error: "The service is busy"; the line'
        " is left out",
    )


def test_packed_files_are_read_like_plain_ones():
    packed = read_archive(
        gzip.compress(payload("issued.jsonl")), gzip.compress(payload("came.csv"))
    )
    assert packed.came["temp_c"] == pytest.approx(usual_archive().came["temp_c"], nan_ok=True)


def test_lines_out_of_order_are_put_in_order():
    told = read_archive(archive([line(2), line(0)]), payload("came.csv"))
    assert [str(hour) for hour in told.issued] == ["2027-01-05T13", "2027-01-07T13"]


def test_of_two_lines_of_one_hour_the_later_counts_and_is_spoken_of():
    later = line(0)
    later["response"]["hourly"]["temperature_2m"][0] = 50.0
    told = read_archive(archive([line(0), later]), payload("came.csv"))
    assert told.issued.size == 1
    assert told.forecast["temp_c"][0, 0] == pytest.approx(10.0)
    assert "line 2: issued in the hour of an earlier line" in told.remarks[0]


def test_minutes_of_the_issue_do_not_move_the_hours():
    body = changed(lambda told: told.update(issued_local="2027-01-05T06:59"))
    assert str(read_archive(body, payload("came.csv")).issued[0]) == "2027-01-05T13"


def test_an_issue_with_an_offset_of_its_own_is_taken_at_its_word():
    body = changed(lambda told: told.update(issued_local="2027-01-05T08:00-05:00"))
    assert str(read_archive(body, payload("came.csv")).issued[0]) == "2027-01-05T13"


def test_hours_that_the_table_lacks_are_not_told():
    told = read_archive(payload("issued.jsonl"), csv_of(table(days=4)))
    missing = told.hours >= np.datetime64("2027-01-09T07", "h")
    assert np.isnan(told.came["temp_c"][missing]).all()
    assert not np.isnan(told.came["temp_c"][~missing]).any()


def unix_without_offset(told):
    """Stamps that need no offset, so that only the time of asking lacks one."""
    del told["response"]["utc_offset_seconds"]
    told["response"]["hourly"]["time"] = [1799132400 + 3600 * n for n in range(72)]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda told: told.pop("response"), "line 1: response: found null, expected an object"),
        (lambda told: told.update(issued_local="dawn"), 'found "dawn", expected a time such as'),
        (lambda told: told.update(issued_local="2027-02-05T06:00"), "a time within its hours"),
        (lambda told: told.update(issued_local=6), "issued_local: found 6, expected text"),
        (lambda told: told["response"].pop("timezone"), "expected the zone of the place"),
        (lambda told: told["response"].pop("utc_offset_seconds"), "utc_offset_seconds: found null"),
        (unix_without_offset, "utc_offset_seconds: found null, expected seconds"),
        (lambda told: told["response"].pop("hourly"), "hourly: found null, expected an object"),
    ],
)
def test_an_archive_without_one_good_line_is_refused_by_its_first_fault(change, says):
    with pytest.raises(SourceGarbled, match="no forecast is in the archive") as caught:
        read_archive(changed(change), payload("came.csv"))
    assert says in str(caught.value)


@pytest.mark.parametrize("body", [b"", b"\n \n", gzip.compress(b"")])
def test_an_empty_archive_is_refused(body):
    with pytest.raises(SourceGarbled, match=r"^the archive: it is empty; no forecast"):
        read_archive(body, payload("came.csv"))


def test_a_line_about_another_place_is_left_out():
    away = line(1)
    away["response"]["latitude"] += 0.06
    near = line(2)
    near["response"]["latitude"] += 0.04
    told = read_archive(archive([line(0), away, near]), payload("came.csv"))
    assert told.issued.size == 2
    assert "line 2: it is about 43.67, -116.2" in told.remarks[0]


def test_forecasts_in_different_units_are_refused_since_the_table_names_none():
    other = line(1)
    other["response"]["hourly_units"] = {
        **other["response"]["hourly_units"], "temperature_2m": "°C",
    }  # fmt: skip
    other["response"]["hourly"]["temperature_2m"] = [8.0] * 72
    with pytest.raises(SourceGarbled, match=r"line 2: hourly_units.temperature_2m: found °C"):
        read_archive(archive([line(0), other]), payload("came.csv"))


def test_a_table_of_another_year_is_refused_with_both_spans():
    rows = [[cell.replace("2027-", "2026-") for cell in row] for row in table()]
    with pytest.raises(SourceGarbled, match=r"it tells of 2026-01-05T07 to .* no forecast"):
        read_archive(payload("issued.jsonl"), csv_of(rows))


@pytest.mark.parametrize(("lines", "remarks"), [(20, 20), (21, 21), (40, 21)])
def test_many_remarks_are_cut_short(lines, remarks):
    told = read_archive(archive([line(0), *[{}] * lines]), payload("came.csv"))
    assert len(told.remarks) == remarks
    assert (
        told.remarks[-1] == f"the archive: {lines - REMARKS_AT_MOST} more remarks like these"
    ) is (lines > REMARKS_AT_MOST)
