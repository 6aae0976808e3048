"""Sources in order: who is asked, who is used, who is blind and why."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from support.outlooks import outlook, yard

from windowcast.gather import gather
from windowcast.problems import SourceDown
from windowcast.science.weather import join
from windowcast.terms.kept import KeptOutlook
from windowcast.terms.outlook import PAST, Answer, Hazard, Origin
from windowcast.terms.practice import AgePractice
from windowcast.terms.yard import Place
from windowcast.times import as_hour

NOW = datetime(2027, 1, 12, 14, tzinfo=UTC)
KILN, BENCH = yard("kiln", tz=None, elev_m=None), yard("bench", tz=None, elev_m=None)


@dataclass
class Told:
    """A source that answers from what a test hands in, and remembers whom it was asked for."""

    name: str = "nws"
    reach_h: int = 192
    answer: Answer | Exception = field(default_factory=Answer)
    asked: list = field(default_factory=list)

    def outlooks(self, yards, now):
        self.asked.append([y.key for y in yards])
        if isinstance(self.answer, Exception):
            raise self.answer
        return self.answer


def told(
    name="nws", keys=("kiln", "bench"), issued_h_ago=2.0, count=300, tz="America/Boise", **arrays
):
    origin = Origin(name=name, issued_at=NOW - timedelta(hours=issued_h_ago))
    return Answer(
        outlooks={key: outlook(key, count=count, origin=origin, **arrays) for key in keys},
        places={key: Place(tz=tz, elev_m=900.0) for key in keys},
    )


def gathered(*sources, yards=(KILN, BENCH), tz=None):
    return gather(sources, yards, AgePractice(), NOW, tz)


def teller(found, key="kiln"):
    at = [y.key for y in found.yards].index(key)
    outlook_of_yard = found.outlooks[at]
    now_at = int((np.datetime64("2027-01-12T14", "h") - outlook_of_yard.hours[0]).astype(int))
    return outlook_of_yard.origins[outlook_of_yard.origin_of_hour[now_at]].name


def test_zone_and_height_come_from_the_service():
    found = gathered(Told(answer=told()))
    assert {(y.tz, y.elev_m) for y in found.yards} == {("America/Boise", 900.0)}


def test_a_zone_of_the_yards_own_goes_before_the_services_and_that_before_the_outfits():
    own = yard("kiln", tz="America/Denver")
    found = gathered(Told(answer=told()), yards=(own, BENCH), tz="America/New_York")
    assert [y.tz for y in found.yards] == ["America/Denver", "America/Boise"]
    fallback = gathered(Told(answer=told(tz=None)), tz="America/New_York")
    assert {y.tz for y in fallback.yards} == {"America/New_York"}


def test_without_any_zone_a_yard_is_blind_and_told_the_cure():
    found = gathered(Told(answer=told(tz=None)))
    assert found.yards == ()
    assert "set zone" in found.blind[0].why


def test_a_zone_that_does_not_exist_is_not_believed():
    found = gathered(Told(answer=told(tz="Mars/Olympus")), tz="America/Boise")
    assert {y.tz for y in found.yards} == {"America/Boise"}


def test_the_second_source_is_asked_only_for_yards_that_need_it():
    second = Told("open_meteo", 384, told("open_meteo"))
    found = gathered(Told(answer=told(keys=("kiln",))), second)
    assert second.asked == [["bench"]]
    assert (teller(found), teller(found, "bench")) == ("nws", "open_meteo")


def test_a_source_that_reaches_further_continues_a_shorter_one():
    second = Told("open_meteo", 384, told("open_meteo", temp_c=9.0))
    found = gathered(Told(answer=told(count=180)), second)
    assert second.asked == [["kiln", "bench"]]
    temps = found.outlooks[0].arrays["temp_c"][0]
    assert (temps[179], temps[180]) == (6.0, 9.0)


def test_a_source_that_reaches_no_further_is_not_asked_again():
    second = Told("files", 150, told("files"))
    gathered(Told(answer=told(count=180)), second)
    assert second.asked == []


@pytest.mark.parametrize(
    ("hours", "used"), [(23.9, "nws"), (24.1, "open_meteo"), (47.9, "open_meteo")]
)
def test_beyond_24_h_the_next_source_goes_first(hours, used):
    found = gathered(
        Told(answer=told(issued_h_ago=hours)), Told("open_meteo", 384, told("open_meteo"))
    )
    assert teller(found) == used


@pytest.mark.parametrize(("hours", "blind"), [(24.1, 0), (47.9, 0), (48.0, 0), (48.1, 2)])
def test_an_old_forecast_serves_alone_up_to_48_h(hours, blind):
    found = gathered(Told(answer=told(issued_h_ago=hours)))
    assert len(found.blind) == blind
    assert all("48 h" in b.why for b in found.blind)


@pytest.mark.parametrize(("minutes", "blind"), [(9, 0), (11, 2)])
def test_a_forecast_from_the_future_is_refused(minutes, blind):
    found = gathered(Told(answer=told(issued_h_ago=-minutes / 60)))
    assert len(found.blind) == blind
    assert all("clock" in b.why for b in found.blind)


def test_a_forecast_that_ended_before_now_is_refused():
    found = gathered(Told(answer=told(count=4)))
    assert "no hour" in found.blind[0].why


def test_a_source_that_fails_makes_way_for_the_next_and_is_named():
    down = Told(answer=SourceDown("nws: no answer in 3 tries"))
    found = gathered(down, Told("open_meteo", 384, told("open_meteo")))
    assert teller(found) == "open_meteo"
    assert found.remarks == ("nws: no answer in 3 tries",)
    assert found.blind == ()


def test_a_blind_yard_says_what_every_source_said():
    found = gathered(
        Told(answer=SourceDown("nws: no answer")),
        Told("open_meteo", 384, Answer(trouble={"kiln": "open_meteo: over the limit"})),
    )
    assert {b.key: b.why for b in found.blind} == {
        "kiln": "nws: no answer; open_meteo: over the limit",
        "bench": "nws: no answer",
    }


def test_a_yard_that_nobody_mentions_is_blind_all_the_same():
    found = gathered(Told(answer=told(keys=("kiln",))))
    assert [b.key for b in found.blind] == ["bench"]
    assert found.blind[0].why


def test_without_sources_every_yard_is_blind():
    assert [b.key for b in gathered().blind] == ["kiln", "bench"]


def test_a_record_of_the_past_comes_before_the_forecast_and_is_asked_for_every_yard():
    early = NOW - timedelta(hours=30)
    record = outlook("kiln", first=early, count=30, temp_c=1.0,
                     origin=Origin(name="station_daily", kind=PAST))  # fmt: skip
    past = Told("station_daily", 0, Answer(pasts={"kiln": record}))
    found = gathered(Told(answer=told()), past)
    assert past.asked == [["kiln", "bench"]]
    assert found.outlooks[0].arrays["temp_c"][0, 0] == 1.0


def test_a_record_of_the_past_alone_leaves_a_yard_blind():
    record = outlook("kiln", origin=Origin(name="station_daily", kind=PAST))
    found = gathered(Told("station_daily", 0, Answer(pasts={"kiln": record})), tz="America/Boise")
    assert len(found.blind) == 2


def test_what_a_source_remarks_is_said_once():
    answer = Answer(
        outlooks=told().outlooks, places=told().places, remarks=("past is missing",) * 2
    )
    assert gathered(Told(answer=answer)).remarks == ("past is missing",)


def test_sunshine_is_derived_for_every_yard():
    found = gathered(Told(answer=told()))
    assert all("sun_wm2" in o.derived for item in found.outlooks for o in item.origins)


def test_an_old_forecast_that_stands_back_is_named_and_its_warnings_stay():
    storm = Hazard(phenomenon="WS", significance="W", first=as_hour(NOW), count=30)
    old = told(issued_h_ago=25)
    old = replace(old, outlooks={k: replace(o, hazards=(storm,)) for k, o in old.outlooks.items()})
    found = gathered(Told(answer=old), Told("open_meteo", 384, told("open_meteo")))
    assert teller(found) == "open_meteo"
    assert found.outlooks[0].hazards == (storm,)
    assert any("nws" in remark and "old" in remark for remark in found.remarks)


def test_a_gap_in_the_first_forecast_calls_the_next_source_and_is_filled():
    wind = np.ones(300)
    wind[30:54] = np.nan
    second = Told("open_meteo", 384, told("open_meteo", count=300, temp_c=9.0))
    found = gathered(Told(answer=told(wind_mps=wind)), second)
    assert second.asked == [["kiln", "bench"]]
    temps = found.outlooks[0].arrays["temp_c"][0]
    assert (temps[29], temps[30], temps[53], temps[54]) == (6.0, 9.0, 9.0, 6.0)


@dataclass
class Remembered:
    """A book that holds what a test hands in."""

    outlooks: dict = field(default_factory=dict)
    pasts: dict = field(default_factory=dict)

    def visits(self, season=None):
        return ()

    def hours_of(self, yard_key, hours):
        return self.pasts.get(yard_key)

    def outlook_of(self, yard_key, issued_from):
        kept = self.outlooks.get(yard_key)
        return kept if kept is not None and kept.issued_at >= issued_from else None


BOISE = Place(tz="America/Boise", elev_m=900.0)


def kept(key="kiln", h_ago=20.0, place=BOISE, **arrays):
    then = NOW - timedelta(hours=h_ago)
    origin = Origin(name="nws", issued_at=then)
    told_then = outlook(key, first=then - timedelta(hours=24), count=300, origin=origin, **arrays)
    return KeptOutlook(outlook=told_then, place=place, issued_at=then, kept_at=then)


def remembering(*sources, memory, yards=(KILN, BENCH), tz=None):
    return gather(sources, yards, AgePractice(), NOW, tz, memory)


DOWN = Told(answer=SourceDown("nws: no answer in 3 tries"))


def test_a_yard_whose_sources_fail_falls_back_on_the_book_and_says_how_old():
    found = remembering(DOWN, memory=Remembered(outlooks={"kiln": kept()}))
    assert (found.kept_keys, [b.key for b in found.blind]) == ({"kiln"}, ["bench"])
    assert {o.kept for o in found.outlooks[0].origins} == {True}
    assert found.yards[0].tz == "America/Boise"
    assert any("issued 20 h ago" in remark for remark in found.remarks)
    assert "nws: no answer in 3 tries" in found.remarks


@pytest.mark.parametrize(("hours", "blind"), [(35.9, 0), (36.0, 0), (36.1, 1)])
def test_a_kept_outlook_stands_in_up_to_stale_after(hours, blind):
    memory = Remembered(outlooks={"kiln": kept(h_ago=hours)})
    assert len(remembering(DOWN, memory=memory, yards=(KILN,)).blind) == blind


def test_a_fresh_forecast_goes_before_the_book():
    memory = Remembered(outlooks={"kiln": kept(h_ago=3.0, temp_c=9.0)})
    found = remembering(Told(answer=told()), memory=memory)
    assert (found.kept_keys, teller(found)) == (frozenset(), "nws")
    assert not any(o.kept for item in found.outlooks for o in item.origins)


def test_an_old_forecast_of_a_source_goes_before_the_book():
    memory = Remembered(outlooks={"kiln": kept(h_ago=3.0)})
    found = remembering(Told(answer=told(issued_h_ago=30)), memory=memory)
    assert found.kept_keys == frozenset()


def test_the_books_past_fills_what_the_sources_past_lacks():
    early, late = NOW - timedelta(hours=80), NOW - timedelta(hours=60)
    nws = Origin(name="nws", kind=PAST)
    booked = outlook("kiln", first=early, count=70, temp_c=2.0, origin=nws)
    measured = outlook("kiln", first=late, count=20, temp_c=1.0, origin=nws)
    past = Told("station_daily", 0, Answer(pasts={"kiln": measured}))
    memory = Remembered(outlooks={"kiln": kept()}, pasts={"kiln": booked})
    found = remembering(Told(answer=told()), past, memory=memory)
    temps = found.outlooks[0].arrays["temp_c"][0]
    assert (temps[0], temps[19], temps[20], temps[39], temps[40]) == (2.0, 2.0, 1.0, 1.0, 2.0)


def test_the_past_of_a_kept_outlook_is_left_to_the_kept_hours():
    memory = Remembered(outlooks={"kiln": kept(h_ago=20)})
    found = remembering(DOWN, memory=memory, yards=(KILN,))
    assert found.outlooks[0].hours[0] == as_hour(NOW - timedelta(hours=20))


@pytest.mark.parametrize(("lat_deg", "blind"), [(43.94, 0), (43.95, 1)])
def test_the_weather_kept_of_another_place_is_not_used(lat_deg, blind):
    place = Place(tz="America/Boise", lat_deg=lat_deg, lon_deg=-119.6)  # 4.4 and 5.6 km away
    memory = Remembered(outlooks={"kiln": kept(place=place)})
    assert len(remembering(DOWN, memory=memory, yards=(KILN,)).blind) == blind


def test_what_is_gathered_can_be_kept_with_its_places():
    found = gathered(Told(answer=told()))
    assert found.places["kiln"] == Place(
        tz="America/Boise", elev_m=900.0, lat_deg=KILN.lat_deg, lon_deg=KILN.lon_deg
    )


def test_the_far_end_of_a_kept_outlook_falls_away_when_it_grows_too_old():
    then = NOW - timedelta(hours=20)
    near = outlook("kiln", first=then, count=60, origin=Origin(name="nws", issued_at=then))
    aged = Origin(name="open_meteo", issued_at=NOW - timedelta(hours=49))
    both = join([near, outlook("kiln", first=then, count=200, origin=aged)], [])
    remembered = KeptOutlook(outlook=both, place=BOISE, issued_at=then, kept_at=then)
    found = remembering(DOWN, memory=Remembered(outlooks={"kiln": remembered}), yards=(KILN,))
    told_h = int(found.outlooks[0].told().sum())
    assert (found.kept_keys, told_h) == ({"kiln"}, 60)
