"""One try of one request: headers, redirects, deadline, body; every way to fail is a Failure."""

from __future__ import annotations

import ipaddress
import logging
import threading
import time
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from http.cookiejar import DefaultCookiePolicy
from urllib.parse import urlsplit

import requests

from windowcast.deadline import DeadlinePassed, LeashedAdapter, within
from windowcast.problems import SourceGarbled
from windowcast.sources.body import read_body
from windowcast.sources.failure import Failure, broken
from windowcast.sources.service import Service, canonical, masked, secret_values, shown, target

REDIRECTS = frozenset({301, 302, 303, 307, 308})
_MOST_HOPS = 5
_ERROR_BODY_BYTES = 64 * 1024

# Its lines hold whole addresses, keys included, and some come with a traceback.
logging.getLogger("urllib3").setLevel(logging.CRITICAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How long and how often one ``get`` may try, and how much it may take in.

    ``deadline_s`` bounds one try by the wall clock, redirects, head and body included;
    ``budget_s`` all tries of one get. ``cap_bytes`` holds before and after decompression.
    """

    connect_s: float = 5.0
    read_s: float = 20.0
    deadline_s: float = 30.0
    budget_s: float = 60.0
    tries: int = 3
    waits_s: tuple[float, ...] = (1.0, 4.0)
    retry_after_to_s: float = 30.0
    cap_bytes: int = 16 * 2**20


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What is asked of a service."""

    service: Service
    path: str
    params: Mapping[str, str] = field(default_factory=dict)
    accept: str

    @property
    def target(self) -> str:
        """Path and query as sent."""
        return target(self.path, self.params)

    @property
    def identity(self) -> str:
        """What tells this request from any other; holds no secret parameter."""
        path = canonical(self.path, self.params)
        return "\n".join((self.service.base_url, path, self.accept))

    def url_of(self, path: str) -> str:
        """The address of a path for people: no user name, no secrets."""
        base = urlsplit(self.service.base_url)
        return masked(f"{base.scheme}://{self.service.host}{base.path}{path}")

    def quoted(self, text: str) -> str:
        """Foreign text without the secrets that were sent, whatever it calls them."""
        for secret in secret_values(self.path, self.params):
            text = text.replace(secret, "***")
        return text

    def __str__(self) -> str:
        """Host and path as sentences name them."""
        return f"{self.service.host} for {shown(self.path)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A whole answer; header names are looked up without regard to case."""

    status: int
    headers: Mapping[str, str]
    body: bytes
    path: str


class _Session(requests.Session):
    """A session that leaves redirects alone: requests would read their bodies without a cap."""

    def get_redirect_target(self, resp: requests.Response) -> str | None:
        """Say that there is none."""
        return None


class Transport:
    """Connections to all services of a run, kept alive between requests."""

    def __init__(self, user_agent: str, limits: Limits) -> None:
        self.requests_made = 0
        self._limits = limits
        self._lock = threading.Lock()
        self._session = _Session()
        self._session.headers["User-Agent"] = _header(user_agent)
        self._session.headers["Accept-Encoding"] = "gzip"
        self._session.cookies.set_policy(DefaultCookiePolicy(allowed_domains=[]))
        for scheme in ("http://", "https://"):
            self._session.mount(scheme, LeashedAdapter())

    def close(self) -> None:
        """Close the connections that were kept alive."""
        self._session.close()

    def follow(
        self,
        ask: Ask,
        conditions: Mapping[str, str],
        deadline_s: float,
        passage: Callable[[], AbstractContextManager[None]],
    ) -> Answer:
        """The answer behind all redirects, after at most ``deadline_s`` on the wire.

        Each request goes out within a ``passage``, which may let it wait at no cost.
        """
        headers = {"Accept": ask.accept, **conditions}
        path, seen, left_s = ask.target, {ask.target}, deadline_s
        while True:
            with passage():
                began = time.monotonic()
                answer = self._exchange(ask.service, path, headers, left_s)
                left_s -= time.monotonic() - began
            if answer.status not in REDIRECTS:
                return answer
            path = _next_hop(ask.service, answer)
            if path in seen:
                raise Failure("redirects in a circle")
            if len(seen) > _MOST_HOPS:
                raise Failure(f"more than {_MOST_HOPS} redirects")
            seen.add(path)

    def _exchange(
        self, service: Service, path: str, headers: Mapping[str, str], left_s: float
    ) -> Answer:
        limits = self._limits
        late = Failure(f"timed out after {limits.deadline_s:g} s", again=True, silent=True)
        if left_s <= 0:
            raise late
        timeout = (limits.connect_s, limits.read_s)
        with self._lock:
            self.requests_made += 1
        try:
            return within(left_s, lambda: self._get(service, path, headers, timeout))
        except DeadlinePassed:
            raise late from None
        except requests.RequestException as problem:
            raise broken(problem, *timeout) from None

    def _get(
        self, service: Service, path: str, headers: Mapping[str, str], timeout: tuple[float, float]
    ) -> Answer:
        with self._session.get(
            service.base_url + path,
            headers=dict(headers),
            timeout=timeout,
            stream=True,
            allow_redirects=False,
            proxies=dict(_NO_PROXIES) if _is_loopback(service.base_url) else None,
        ) as response:
            return Answer(
                status=response.status_code,
                headers=response.headers,
                body=self._body_of(response),
                path=path,
            )

    def _body_of(self, response: requests.Response) -> bytes:
        if response.status_code == 200:
            return read_body(response, self._limits.cap_bytes)
        try:
            return read_body(response, _ERROR_BODY_BYTES)
        except Failure:
            return b""  # what an error says about itself is welcome but not needed


def _next_hop(service: Service, answer: Answer) -> str:
    location = answer.headers.get("location", "")
    if not location:
        raise Failure(f"status {answer.status}, a redirect that leads nowhere")
    try:
        return service.follow(location, service.base_url + answer.path)
    except SourceGarbled as problem:
        why = str(problem).removeprefix(f"{service.name}: ")
        raise Failure(f"a redirect was refused: {why}") from None


_NO_PROXIES = {"http": "", "https": "", "all": ""}


def _is_loopback(url: str) -> bool:
    """Whether an address is on this machine, where a proxy of the network cannot reach it."""
    host = urlsplit(url).hostname or ""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost" or host.endswith(".localhost")


def _header(text: str) -> str:
    """Text as a header can carry it: one line of ASCII."""
    return " ".join(text.encode("ascii", "replace").decode().split())
