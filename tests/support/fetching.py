"""A fetcher with small limits and a service on the loopback server, for tests of sources."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from support.server import WeatherServer

from windowcast.problems import SourceGarbled, SourceProblem
from windowcast.sources.fetch import AnswerCache, Fetched, Fetcher, Limits, Service, Watch

NOW = datetime(2027, 1, 12, 13, 0, tzinfo=UTC)
CONTACT = "windowcast tests (office@vellamoor.example)"
QUICK = Limits(
    connect_s=0.4, read_s=0.4, deadline_s=0.4, budget_s=3.0, waits_s=(0.0,), cap_bytes=2**20
)
# For tests in which nothing is slow: a busy machine must not look like a slow service.
PATIENT = replace(QUICK, connect_s=10.0, read_s=10.0, deadline_s=10.0, budget_s=30.0)
PATH = "/gridpoints/BOI/59,84"
GRID = {"properties": {"gridId": "BOI"}}
BODY = json.dumps(GRID).encode()


def read_json(body: bytes) -> Any:
    """The smallest honest parser."""
    try:
        return json.loads(body)
    except ValueError:
        raise SourceGarbled("nws: the answer is not JSON") from None


def no_wait(seconds: float) -> None:
    """Waiting that takes no time."""


def quick_fetcher(
    cache: AnswerCache | None = None,
    *,
    limits: Limits = QUICK,
    watch: Watch | None = None,
    wait: Callable[[float], None] = no_wait,
) -> Fetcher:
    return Fetcher(user_agent=CONTACT, cache=cache, limits=limits, watch=watch, wait=wait)


def nws_at(server: WeatherServer | str, *, at_once: int = 3, per_second: float = 1e6) -> Service:
    """The NWS as a service on a loopback server, or at an address."""
    return Service(
        name="nws",
        base_url=server if isinstance(server, str) else server.url,
        home_hosts=("api.weather.gov",),
        at_once=at_once,
        per_second=per_second,
    )


def ask(fetcher: Fetcher, service: Service, path: str = PATH, **more: Any) -> Fetched[Any]:
    """One get with the smallest parser."""
    return fetcher.get(service, path, now=NOW, read=read_json, **more)


def problem_of(fetcher: Fetcher, service: Service, path: str = PATH) -> SourceProblem:
    """The one problem that a get ends in: one line that names the service."""
    with pytest.raises(SourceProblem) as caught:
        ask(fetcher, service, path)
    assert "\n" not in str(caught.value)
    assert str(caught.value).startswith("nws: ")
    return caught.value
