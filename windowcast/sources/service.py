"""One weather service as configured: where it is asked, and which links count as its own."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import SplitResult, parse_qsl, quote, unquote, urlencode, urljoin, urlsplit

from windowcast.problems import SourceGarbled

_SECRET_NAMES = ("apikey", "api_key", "key", "token", "access_token", "appid")
_SECRET = re.compile(rf"(?i)\b({'|'.join(_SECRET_NAMES)})=[^&\s\"']*")
_UNPRINTABLE = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]+")
_BLANK = re.compile(r"[\x00-\x20\x7f\\]")
_SHOWN = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """A weather service: its address is a setting, so a mirror or a recording can stand in.

    ``home_hosts`` are the service's own host names. Links and redirects to them, or to the host
    of ``base_url``, are taken by their path and put on ``base_url``; others are refused.
    """

    name: str
    base_url: str
    home_hosts: tuple[str, ...]
    at_once: int = 3
    per_second: float = 4.0

    def __post_init__(self) -> None:
        """Refuse an address that is none, and a pace at which nothing moves."""
        parts = _split(self.base_url)
        if parts is None or parts.query or parts.fragment or self.base_url.endswith("/"):
            raise ValueError(
                f'"{self.base_url}" is not a base address; write one such as'
                " https://api.weather.gov, without a slash at its end"
            )
        if self.at_once < 1 or not self.per_second > 0:
            raise ValueError("a service needs at least one connection and a rate above 0")

    @property
    def host(self) -> str:
        """Host and port, as sentences name them; never a user name or a password."""
        return urlsplit(self.base_url).netloc.rpartition("@")[2]

    def path_of(self, link: str) -> str:
        """Path and query of a link of the service itself or of ``base_url``.

        A link on the base loses the base's path prefix. SourceGarbled if it leads elsewhere.
        """
        return self.follow(link, self.base_url + "/")

    def follow(self, link: str, seen_at: str) -> str:
        """The same for a link found in the answer of the address ``seen_at``, a URL on the base."""
        parts = None if _odd(link) else _split(link, seen_at)
        if parts is None:
            raise SourceGarbled(
                f'{self.name}: "{shown(link)}" is not a link;'
                f" expected a path of the service or a link to {self._hosts()}"
            )
        base = urlsplit(self.base_url)
        host = _bare(parts.hostname)
        if host not in {_bare(base.hostname), *map(_bare, self.home_hosts)}:
            raise SourceGarbled(
                f"{self.name}: a link leads to another host, {shown(host)};"
                f" expected {self._hosts()}, so it was not followed"
            )
        path = parts.path or "/"
        if host == _bare(base.hostname) and path.startswith(base.path + "/"):
            path = path.removeprefix(base.path)
        return f"{path}?{parts.query}" if parts.query else path

    def _hosts(self) -> str:
        return " or ".join(dict.fromkeys((self.host, *self.home_hosts)))


def _bare(host: str | None) -> str:
    return (host or "").lower().rstrip(".")


def _odd(link: str) -> bool:
    """Whether a link is empty or has what no honest link has: blanks, backslashes, steps up."""
    steps = unquote(re.split("[?#]", link)[0]).split("/")
    return not link or bool(_BLANK.search(link)) or any(step in (".", "..") for step in steps)


def _split(link: str, seen_at: str = "") -> SplitResult | None:
    """The parts of an http or https address, None for anything else."""
    try:
        parts = urlsplit(urljoin(seen_at, link))
        _ = parts.port  # raises where it is not a number
    except ValueError:
        return None
    return parts if parts.scheme in ("http", "https") and parts.hostname else None


def target(path: str, params: Mapping[str, str]) -> str:
    """A path, which may have a query of its own, with further parameters."""
    own = quote(path, safe="/,:;@!$&'()*+=~?%-._")
    if not params:
        return own
    return f"{own}{'&' if '?' in own else '?'}{urlencode(params, safe=',:')}"


def canonical(path: str, params: Mapping[str, str]) -> str:
    """A path with all its parameters in order and without secrets: what the cache goes by."""
    told = sorted(pair for pair in _pairs(path, params) if pair[0].lower() not in _SECRET_NAMES)
    return f"{path.partition('?')[0]}?{urlencode(told)}"


def secret_values(path: str, params: Mapping[str, str]) -> tuple[str, ...]:
    """The values of parameters that nobody may read."""
    pairs = _pairs(path, params)
    return tuple(text for name, text in pairs if name.lower() in _SECRET_NAMES and text)


def _pairs(path: str, params: Mapping[str, str]) -> list[tuple[str, str]]:
    return [*parse_qsl(path.partition("?")[2], keep_blank_values=True), *params.items()]


def masked(text: str) -> str:
    """Text with the values of secret parameters taken out."""
    return _SECRET.sub(r"\1=***", text)


def shown(text: str, most: int = _SHOWN) -> str:
    """A piece of foreign text fit for a sentence: one line, no controls, no secrets, not long."""
    line = " ".join(_UNPRINTABLE.sub(" ", masked(text)).split())
    return line if len(line) <= most else line[: most - 1].rstrip() + "…"
