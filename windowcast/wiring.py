"""Settings to a desk: the only place where real sources are built."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass

from windowcast import __version__
from windowcast.morning import Desk
from windowcast.ports import Source
from windowcast.settings import Settings, SourceSetting, api_key_of
from windowcast.sources.cache import AnswerCache
from windowcast.sources.fetch import Fetcher, Limits, Watch
from windowcast.sources.files import Files
from windowcast.sources.nws import Nws
from windowcast.sources.open_meteo import OpenMeteo
from windowcast.sources.station_daily import StationDaily

# All tries of one request together: a minute, or two whole tries where the outfit is more patient.
BUDGET_S = 60.0
TRIES_WORTH = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Wired:
    """A desk and the fetcher that its sources share."""

    desk: Desk
    fetcher: Fetcher


def wire(settings: Settings, watch: Watch | None = None) -> Wired:
    """Build every source that the outfit names, in its order."""
    outfit = settings.outfit
    fetcher = Fetcher(
        user_agent=f"windowcast/{__version__} ({outfit.contact})",
        cache=AnswerCache(outfit.state / "cache"),
        limits=Limits(
            deadline_s=outfit.limits.deadline_s,
            tries=outfit.limits.tries,
            budget_s=max(BUDGET_S, TRIES_WORTH * outfit.limits.deadline_s),
        ),
        watch=watch,
    )
    desk = Desk(
        outfit=outfit.name,
        tz=outfit.tz,
        yards=settings.yards,
        crews=outfit.crews,
        practice=settings.practice,
        sources=tuple(BUILDERS[setting.name](setting, fetcher) for setting in outfit.sources),
    )
    return Wired(desk=desk, fetcher=fetcher)


def _nws(setting: SourceSetting, fetcher: Fetcher) -> Source:
    return Nws(fetcher, setting.base_url, setting.observations)


def _open_meteo(setting: SourceSetting, fetcher: Fetcher) -> Source:
    return OpenMeteo(
        fetcher,
        base_url=setting.base_url,
        noncommercial=setting.noncommercial,
        api_key=api_key_of(setting, os.environ),
    )


def _station_daily(setting: SourceSetting, fetcher: Fetcher) -> Source:
    return StationDaily(
        fetcher, station=setting.station, base_url=setting.base_url, file=setting.file
    )


def _files(setting: SourceSetting, fetcher: Fetcher) -> Source:
    if setting.folder is None:
        raise ValueError("settings let no files source through without a folder")
    return Files(setting.folder)


# To add a source: one line here, one in settings/sources.py.
BUILDERS: dict[str, Callable[[SourceSetting, Fetcher], Source]] = {
    "nws": _nws,
    "open_meteo": _open_meteo,
    "station_daily": _station_daily,
    "files": _files,
}
