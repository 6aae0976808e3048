"""Open-Meteo: sixteen days ahead and seven back, many yards in one call.

Its free host is for non-commercial use; a customer's key opens the other host. Whoever shows the
weather shows the credit line with it (licence CC BY 4.0).

We ask for ``timezone=auto``, so that the service tells each yard's zone, and for
``timeformat=unixtime``: by its documentation such stamps are in UTC whatever the zone, which then
only moves the first hour to the place's midnight.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import TypeVar
from urllib.parse import urlsplit

from windowcast.problems import ConfigProblem, Fault, SourceGarbled, SourceProblem
from windowcast.science.distance import distance_km
from windowcast.sources.fetch import Fetched, Fetcher, Service
from windowcast.sources.wire.open_meteo import PointForecast, read_points
from windowcast.sources.wire.open_meteo_issue import (
    FORECAST_DAYS,
    PAST_DAYS,
    Issue,
    issue_of,
)
from windowcast.sources.wire.open_meteo_layers import ASKED
from windowcast.terms.outlook import FORECAST, Answer, Origin, Outlook, outlook_of
from windowcast.terms.yard import Place, Yard

FREE_URL = "https://api.open-meteo.com"
CUSTOMER_URL = "https://customer-api.open-meteo.com"
HOME_HOSTS = tuple(str(urlsplit(url).hostname) for url in (FREE_URL, CUSTOMER_URL))
CREDIT = "Weather data by Open-Meteo.com (CC BY 4.0)"

BATCH = 50  # places in one call; keeps the address under 8 kB
NEAR_KM = 50.0  # its coarsest cells are 25 km wide; a cell further off is not the one asked for
SURE_KM = 10.0  # so near, an answer is the spot's own whatever other spots are near to it
SHARED_KM = 18.0  # half the diagonal of the coarsest cell: two spots may lie in one
_SAME_CELL_KM = 0.1
_NAMED = 3  # yards that a remark names
KEEP_H = 1.0  # its models are renewed hourly at most

# The free host counts a place as variables / 10 * days / 14 calls and allows 600 a minute (its
# pricing page); 500 leave room for whoever else asks from the same address.
CALLS_PER_PLACE = len(ASKED) / 10 * (FORECAST_DAYS + PAST_DAYS) / 14
PER_SECOND = 500 / 60 / (BATCH * CALLS_PER_PLACE)
CUSTOMER_PER_SECOND = 1.0

T = TypeVar("T")
Spot = tuple[str, str]  # latitude and longitude as asked, to 4 decimals
_Point = PointForecast | SourceGarbled


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """The yards at one spot."""

    spot: Spot
    yards: tuple[Yard, ...]


class OpenMeteo:
    """Forecasts of Open-Meteo, from its free host or with a customer's key."""

    name = "open_meteo"
    reach_h = FORECAST_DAYS * 24

    def __init__(
        self,
        fetcher: Fetcher,
        *,
        base_url: str | None = None,
        noncommercial: bool = False,
        api_key: str | None = None,
    ) -> None:
        url = base_url or (CUSTOMER_URL if api_key else FREE_URL)
        if _host_of(url) == _host_of(FREE_URL) and not (noncommercial or api_key):
            raise ConfigProblem([_TERMS])
        self._fetcher = fetcher
        self._api_key = api_key
        self._service = Service(
            name=self.name,
            base_url=url.rstrip("/"),
            home_hosts=HOME_HOSTS,
            at_once=1,
            per_second=CUSTOMER_PER_SECOND if api_key else PER_SECOND,
        )

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        """Forecasts with seven past days; a failed call blinds only the yards of that call."""
        groups = _grouped(yards)
        batches = [groups[start : start + BATCH] for start in range(0, len(groups), BATCH)]
        jobs = [partial(self._ask, batch, now) for batch in batches]
        told = self._fetcher.all(self._service, jobs)
        return joined(
            _answer_of(batch, result, now, self.name)
            for batch, result in zip(batches, told, strict=True)
        )

    def _ask(self, batch: Sequence[_Group], now: datetime) -> Fetched[tuple[_Point, ...]]:
        return self._fetcher.get(
            self._service,
            "/v1/forecast",
            params=query([group.spot for group in batch], self._api_key),
            now=now,
            read=partial(_read_all, len(batch)),
            keep_h=KEEP_H,
        )


def _host_of(url: str) -> str:
    """The host that an address leads to, in whatever spelling a resolver takes for it."""
    told = unicodedata.normalize("NFKC", urlsplit(url).hostname or "")
    return told.replace("\u3002", ".").lower().rstrip(".")


_TERMS = Fault(
    file="outfit.toml",
    field="sources.open_meteo",
    found="the free host of Open-Meteo is for non-commercial use only",
    cure="write noncommercial = true if yours is, or name a customer key with api_key_env",
)


def query(spots: Sequence[Spot], api_key: str | None = None) -> dict[str, str]:
    """The parameters of one call."""
    asked = {
        "latitude": ",".join(lat for lat, _ in spots),
        "longitude": ",".join(lon for _, lon in spots),
        "hourly": ",".join(ASKED),
        "forecast_days": str(FORECAST_DAYS),
        "past_days": str(PAST_DAYS),
        "timezone": "auto",
        "timeformat": "unixtime",
        "temperature_unit": "celsius",
        "wind_speed_unit": "ms",
        "precipitation_unit": "mm",
    }
    return asked | ({"apikey": api_key} if api_key else {})


def _grouped(yards: Sequence[Yard]) -> list[_Group]:
    """Yards at the same spot are asked for once; 4 decimals are 11 m."""
    spots: dict[Spot, list[Yard]] = {}
    for yard in yards:
        spots.setdefault((_degrees(yard.lat_deg), _degrees(yard.lon_deg)), []).append(yard)
    return [_Group(spot=spot, yards=tuple(here)) for spot, here in spots.items()]


def _degrees(value: float) -> str:
    return f"{round(value, 4) + 0.0:.4f}".rstrip("0").rstrip(".")


def _read_all(count: int, body: bytes) -> tuple[_Point, ...]:
    """The points of an answer; as many as were asked for, in that order."""
    points = read_points(body)
    if len(points) != count:
        raise SourceGarbled(
            f"open_meteo: the answer has {len(points)} points where {count} were asked for; which"
            " is whose cannot be known"
        )
    return points


def _answer_of(
    batch: Sequence[_Group],
    result: Fetched[tuple[_Point, ...]] | SourceProblem,
    now: datetime,
    name: str,
) -> Answer:
    if isinstance(result, SourceProblem):
        sentence = str(result)
        return Answer(trouble={yard.key: sentence for group in batch for yard in group.yards})
    points = {group.spot: point for group, point in zip(batch, result.value, strict=True)}
    answers: list[Answer] = []
    silent: list[Yard] = []
    for group in batch:
        point = points[group.spot]
        problem = _unusable(group.spot, points, name)
        if problem or isinstance(point, SourceGarbled):
            answers.append(Answer(trouble={yard.key: problem for yard in group.yards}))
            continue
        origin = _origin(point, issue_of(point, now, result.fetched_at), name)
        answers.append(_at_spot(group, point, origin))
        silent += () if point.tells_thunder else group.yards
    return joined([*answers, Answer(remarks=_about_silent(silent, name))])


def _origin(point: PointForecast, issue: Issue, name: str) -> Origin:
    where = f"cell {point.lat_deg:.2f}, {point.lon_deg:.2f}"
    how = issue.clause or "as fetched"
    return Origin(
        name=name,
        kind=FORECAST,
        issued_at=issue.at,
        detail=f"{where}, {how}: no issue time is told",
        credit=CREDIT,
    )


def _at_spot(group: _Group, point: PointForecast, origin: Origin) -> Answer:
    keys = ", ".join(yard.key for yard in group.yards)
    return Answer(
        outlooks={yard.key: _outlook(yard, point, origin) for yard in group.yards},
        places={yard.key: Place(tz=point.tz, elev_m=point.elev_m) for yard in group.yards},
        remarks=tuple(f"{remark} (yard {keys})" for remark in point.remarks),
    )


def _outlook(yard: Yard, point: PointForecast, origin: Origin) -> Outlook:
    return outlook_of(yard.key, point.hours, point.arrays, origin)


def _about_silent(yards: Sequence[Yard], name: str) -> tuple[str, ...]:
    """The remark on answers without the code of the sky, one for all of them."""
    if not yards:
        return ()
    keys = ", ".join(yard.key for yard in yards[:_NAMED])
    more = f" and {len(yards) - _NAMED} more" if len(yards) > _NAMED else ""
    return (f"{name}: thunder and freezing rain are not told (yard {keys}{more})",)


def _unusable(spot: Spot, told: Mapping[Spot, _Point], name: str) -> str:
    """What is wrong with the point of a spot, or why it must be another's, "" if it is sound."""
    point = told[spot]
    if isinstance(point, SourceGarbled):
        return str(point)
    off_km = _off_km(spot, point)
    about = f"{name}: the answer for {', '.join(spot)} is about a place {off_km:.0f} km away"
    if off_km > NEAR_KM:
        return f"{about}; it is not used"
    near_km, other = min((_off_km(other, point), other) for other in told)
    is_doubtful = off_km > SURE_KM and near_km < off_km / 2
    if not is_doubtful or (off_km <= SHARED_KM and _shares(told[other], point)):
        return ""
    return (
        f"{about}, {near_km:.0f} km from {', '.join(other)} of the same call; the places may be in"
        " another order, and it is not used"
    )


def _shares(own: _Point, point: PointForecast) -> bool:
    """Whether a spot's own answer is the same cell, which then is that of both, or not known."""
    if isinstance(own, SourceGarbled):
        return True
    return distance_km(own.lat_deg, own.lon_deg, point.lat_deg, point.lon_deg) < _SAME_CELL_KM


def _off_km(spot: Spot, point: PointForecast) -> float:
    lat_deg, lon_deg = (float(text) for text in spot)
    return distance_km(lat_deg, lon_deg, point.lat_deg, point.lon_deg)


def joined(answers: Iterable[Answer]) -> Answer:
    """Several answers about different yards as one."""
    parts = list(answers)
    return Answer(
        outlooks=_merged(part.outlooks for part in parts),
        places=_merged(part.places for part in parts),
        trouble=_merged(part.trouble for part in parts),
        remarks=tuple(remark for part in parts for remark in part.remarks),
    )


def _merged(mappings: Iterable[Mapping[str, T]]) -> dict[str, T]:
    return {key: value for mapping in mappings for key, value in mapping.items()}
