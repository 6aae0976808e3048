"""The daily record of one station (NOAA GHCN-Daily) since 1 September, spread over the hours.

One station stands for all yards of the outfit: the setting names it. Road and bloom need to know
how wet and how warm the season was, and for that the next good station is near enough; where the
file tells its place, yards more than 100 km away go without, and are told so.

Days are those of the yard's zone where that is known, else of the standard time that belongs to
the station's longitude. Wind is not told. Whatever fails here is a remark: a missing past stops
no morning.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path
from urllib.parse import quote

from windowcast.problems import SourceGarbled, SourceProblem
from windowcast.science.distance import distance_km
from windowcast.sources.fetch import Fetcher, Service
from windowcast.sources.wire.ghcn_daily import StationDays, days_between, read_station_daily
from windowcast.sources.wire.ghcn_hours import SpreadHours, spread_over_hours
from windowcast.terms.outlook import PAST, Answer, Origin, Outlook, outlook_of
from windowcast.terms.yard import Yard

# The archive's long files: 1 to 2 MB each as gzip, in documented units. Its wide files are ten
# times as large; a base URL that ends in /access (or in anything else) is asked for those.
ARCHIVE_URL = "https://www.ncei.noaa.gov/pub/data/ghcn/daily/by_station"
HOME_HOSTS = ("www.ncei.noaa.gov",)
LONG_FORM_FOLDER = "/by_station"
NEAR_KM = 100.0
FIRST_MONTH, SEASON_MONTH = 9, 7  # hours since 1 September; a season starts on 1 July
LARGEST_FILE_BYTES = 64 * 2**20
KEEP_H = 20.0  # the archive grows by a day a day
REACHES_TO_D = 8  # station observations cover about the last seven days
MOST_REMARKS = 3

Spot = tuple[float, float, str]  # latitude, longitude, zone


class StationDaily:
    """The past of a season from a station's daily file, downloaded or asked for."""

    name = "station_daily"
    reach_h = 0

    def __init__(
        self,
        fetcher: Fetcher,
        *,
        station: str | None = None,
        base_url: str | None = None,
        file: Path | None = None,
    ) -> None:
        self._fetcher = fetcher
        self._station = station.strip().upper() if station else None
        self._file = file
        self._service = Service(
            name=self.name,
            base_url=(base_url or ARCHIVE_URL).rstrip("/"),
            home_hosts=HOME_HOSTS,
            at_once=1,
        )

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        """The record as past hours of every yard near enough; trouble is only remarked on."""
        first = season_start(now.date())
        if not yards or now.date() < first:
            return Answer()
        try:
            days = days_between(self._days(now), _before(first), now.date(), place=self._place)
        except SourceProblem as problem:
            return Answer(remarks=(str(problem),))
        return self._answer(days, yards, now)

    @property
    def _place(self) -> str:
        """What sentences name: the file, or the station."""
        return f"{self.name}: {self._file.name if self._file else self._station or 'no station'}"

    def _days(self, now: datetime) -> StationDays:
        read = partial(read_station_daily, place=self._place, station=self._station)
        if self._file is not None:
            return read(_bytes_of(self._file, self._place))
        if self._station is None:
            raise SourceGarbled(
                f'{self._place}: name one in outfit.toml, as in station = "USW00094728", or give'
                " a file"
            )
        ending = "csv.gz" if self._service.base_url.endswith(LONG_FORM_FOLDER) else "csv"
        fetched = self._fetcher.get(
            self._service,
            f"/{quote(self._station, safe='')}.{ending}",
            now=now,
            read=read,
            accept="text/csv, */*",
            keep_h=KEEP_H,
        )
        return fetched.value

    def _answer(self, days: StationDays, yards: Sequence[Yard], now: datetime) -> Answer:
        remarks = _few([drop.said for drop in days.dropped])
        far = [yard for yard in yards if not _is_near(days, yard)]
        if far:
            keys = ", ".join(yard.key for yard in far)
            remarks.append(
                f"{self._place}: the station is more than {NEAR_KM:g} km from {keys}; no past hours"
                " from it there"
            )
        near = [yard for yard in yards if yard not in far]
        spreads = self._spreads(days, near, now)
        pasts = {
            yard.key: self._past(yard, days, spread)
            for yard, spread in zip(near, spreads, strict=True)
            if spread is not None
        }
        if near:
            remarks += _about_end(pasts, self._place, now)
        return Answer(pasts=pasts, remarks=tuple(remarks))

    def _spreads(
        self, days: StationDays, yards: Sequence[Yard], now: datetime
    ) -> list[SpreadHours | None]:
        """The hours for each yard; worked out once for each zone, for all yards alike."""
        by_spot: dict[Spot, SpreadHours | None] = {}
        spots = [_spot(days, yards[0], yard) for yard in yards]
        for spot in spots:
            if spot not in by_spot:
                by_spot[spot] = _spread(days, spot, now)
        return [by_spot[spot] for spot in spots]

    def _past(self, yard: Yard, days: StationDays, spread: SpreadHours) -> Outlook:
        station = days.station or (self._file.name if self._file else "unnamed")
        origin = Origin(
            name=self.name,
            kind=PAST,
            issued_at=spread.last_read,
            detail=f"station {station}",
            spread=True,
        )
        return outlook_of(yard.key, spread.hours, spread.arrays, origin)


def season_start(today: date) -> date:
    """1 September of the season (July to June) that holds a day."""
    return date(today.year - (today.month < SEASON_MONTH), FIRST_MONTH, 1)


def _before(day: date) -> date:
    """The day before: its evening falls to the first dawn, and a morning reading covers it."""
    return date.fromordinal(day.toordinal() - 1)


def _is_near(days: StationDays, yard: Yard) -> bool:
    """Whether a yard is within reach of the station; yes where the file tells no place."""
    if days.lat_deg is None or days.lon_deg is None:
        return True
    return distance_km(days.lat_deg, days.lon_deg, yard.lat_deg, yard.lon_deg) <= NEAR_KM


def _spot(days: StationDays, first: Yard, yard: Yard) -> Spot:
    """Where the sun is taken from and whose midnight counts.

    The place is the station's, else that of the outfit's first yard.
    """
    lat_deg = first.lat_deg if days.lat_deg is None else days.lat_deg
    lon_deg = first.lon_deg if days.lon_deg is None else days.lon_deg
    return lat_deg, lon_deg, yard.tz or standard_zone(lon_deg)


def standard_zone(lon_deg: float) -> str:
    """The zone without summer time of a longitude; its IANA name has the sign turned round."""
    ahead_h = round(lon_deg / 15.0)
    return "Etc/GMT" if ahead_h == 0 else f"Etc/GMT{-ahead_h:+d}"


def _spread(days: StationDays, spot: Spot, now: datetime) -> SpreadHours | None:
    if days.table.empty:
        return None
    return spread_over_hours(days.table, spot, season_start(now.date()), now)


def _few(sentences: Sequence[str]) -> list[str]:
    """The first sentences, and how many more there are."""
    shown, more = list(sentences[:MOST_REMARKS]), len(sentences) - MOST_REMARKS
    return [*shown[:-1], f"{shown[-1]} (and {more} more values)"] if more > 0 else shown


def _about_end(pasts: Mapping[str, Outlook], place: str, now: datetime) -> list[str]:
    """What to say where the record does not reach the days that observations cover."""
    ends = [past.origins[0].issued_at for past in pasts.values()]
    last = max((end for end in ends if end is not None), default=None)
    first = season_start(now.date())
    needed_to = (now - timedelta(days=REACHES_TO_D)).date()
    if needed_to < first or (last is not None and last.date() >= needed_to):
        return []
    if last is None:
        return [f"{place}: it tells nothing since {first}"]
    return [
        f"{place}: it ends on {last.date()}, {(now - last).days} days ago; a newer file or another"
        " station would tell the days since"
    ]


def _bytes_of(file: Path, place: str) -> bytes:
    try:
        with file.open("rb") as stream:
            body = stream.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise SourceGarbled(
            f"{place}: there is no such file; download the station's daily file there, or take the"
            " source out of outfit.toml"
        ) from None
    except OSError as problem:
        reason = problem.strerror or type(problem).__name__
        raise SourceGarbled(f"{place}: the file cannot be read: {reason}") from None
    if len(body) > LARGEST_FILE_BYTES:
        raise SourceGarbled(f"{place}: the file is larger than {LARGEST_FILE_BYTES >> 20} MB")
    return body
