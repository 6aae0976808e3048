"""Settings to a desk: the only place where real sources are built."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from windowcast import __version__
from windowcast.morning import Desk
from windowcast.ports import Memory, Source
from windowcast.settings import Settings, SourceSetting, api_key_of
from windowcast.sources.cache import AnswerCache
from windowcast.sources.fetch import Fetcher, Limits, Watch
from windowcast.sources.files import Files
from windowcast.sources.nws import Nws
from windowcast.sources.open_meteo import OpenMeteo
from windowcast.sources.station_daily import StationDaily

if TYPE_CHECKING:
    from windowcast.store.book import Book

# All tries of one request together: a minute, or two whole tries where the outfit is more patient.
BUDGET_S = 60.0
TRIES_WORTH = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Wired:
    """A desk and the fetcher that its sources share."""

    desk: Desk
    fetcher: Fetcher


def wire(settings: Settings, watch: Watch | None = None, memory: Memory | None = None) -> Wired:
    """Build every source that the outfit names, in its order; ``memory`` is its book."""
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
        label=settings.label,
        memory=memory,
        sources=tuple(BUILDERS[setting.name](setting, fetcher) for setting in outfit.sources),
    )
    return Wired(desk=desk, fetcher=fetcher)


def book_of(settings: Settings) -> Book:
    """The outfit's book, made or carried forward if need be; StoreProblem where it cannot be."""
    from windowcast.store.book import open_book  # SQLAlchemy loads slowly

    return open_book(settings.outfit.book)


def memory_of(settings: Settings) -> Book | None:
    """The outfit's book for whoever only reads it, None where there is none yet."""
    from windowcast.store.looking import book_to_read

    if isinstance(settings.outfit.book, Path) and not settings.outfit.book.exists():
        return None  # without loading SQLAlchemy
    return book_to_read(settings.outfit.book)


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
