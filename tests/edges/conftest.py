"""A weather service on a loopback socket, and fetchers with small limits."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from support.fetching import PATIENT, QUICK, quick_fetcher
from support.server import WeatherServer

from windowcast.sources.fetch import Fetcher


@pytest.fixture
def server() -> Iterator[WeatherServer]:
    with WeatherServer() as running:
        yield running


@pytest.fixture
def fetcher() -> Iterator[Fetcher]:
    with quick_fetcher(limits=PATIENT) as one:
        yield one


@pytest.fixture
def once() -> Iterator[Fetcher]:
    with quick_fetcher(limits=replace(PATIENT, tries=1)) as one:
        yield one


@pytest.fixture
def hasty() -> Iterator[Fetcher]:
    """One that waits 0.4 s, once."""
    with quick_fetcher(limits=replace(QUICK, tries=1)) as one:
        yield one
