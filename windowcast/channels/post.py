"""A post: the document of a letter, sent as JSON to an address of the outfit's."""

from __future__ import annotations

import hashlib
import logging
import re
import socket
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from http import HTTPStatus
from urllib.parse import urlsplit

import requests
from requests import exceptions as http

from windowcast import __version__
from windowcast.channels.causes import AGAIN, causes_of, is_insecure
from windowcast.deadline import DeadlinePassed, LeashedAdapter, within
from windowcast.problems import NoticeProblem
from windowcast.terms.delivery import POST, Letter, Recipient

_TOKEN = re.compile(r"[\x21-\x7e]+")
_CHECK_URL = "check its url in outfit.toml"
_CHECK_TOKEN = "check its token in outfit.toml"
_CURES = {401: _CHECK_TOKEN, 403: _CHECK_TOKEN, 404: _CHECK_URL, 405: _CHECK_URL, 410: _CHECK_URL}
_PASSING = frozenset({408, 425, 429})
_LASTING = frozenset({400, 401, 403, 404, 405, 410, 413, 415, 422})

# Its lines hold whole addresses, and an address may be a secret.
logging.getLogger("urllib3").setLevel(logging.CRITICAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class PostChannel:
    """Posts documents. ``posts`` are addresses by name, ``tokens`` what some of them demand."""

    posts: Mapping[str, str] = field(repr=False)
    tokens: Mapping[str, str] = field(default_factory=dict, repr=False)
    deadline_s: float = 30.0

    @property
    def name(self) -> str:
        """The channel's name in the book."""
        return POST

    def send(self, letter: Letter, recipient: Recipient, identity: str, now: datetime) -> None:
        """Return once the other side has taken the document; NoticeProblem otherwise.

        Its status line decides; what it says beyond that is not read.
        """
        post = recipient.address
        url = self.posts.get(post)
        if url is None:
            raise NoticeProblem(
                f"post {post}: outfit.toml names no such post; add it, or name one", lasting=True
            )
        headers = {
            "Content-Type": "application/json",
            "Idempotency-Key": hashlib.sha256(identity.encode()).hexdigest(),
            **self._authorization(post),
        }
        try:
            status = within(self.deadline_s, lambda: self._status(url, letter.document, headers))
        except DeadlinePassed:
            why, lasting = f"was not done within {self.deadline_s:g} s; {AGAIN}", False
        except requests.RequestException as problem:
            why, lasting = _broken(problem), _is_lasting(problem)
        else:
            if 200 <= status < 300:
                return
            why, lasting = _refused(status), status in _LASTING
        raise NoticeProblem(f"post {post}: {_host(url)} {why}", lasting=lasting)

    def _authorization(self, post: str) -> dict[str, str]:
        token = self.tokens.get(post)
        if token is None:
            return {}
        if not _TOKEN.fullmatch(token):
            raise NoticeProblem(
                f"post {post}: its token has characters that a header cannot carry;"
                " write letters, figures and signs of ASCII without spaces",
                lasting=True,
            )
        return {"Authorization": f"Bearer {token}"}

    def _status(self, url: str, document: str, headers: Mapping[str, str]) -> int:
        with _Session() as session:
            session.trust_env = False  # no proxies, no passwords of this machine's user
            session.headers["User-Agent"] = f"windowcast/{__version__}"
            for scheme in ("http://", "https://"):
                session.mount(scheme, LeashedAdapter())
            with session.post(
                url,
                data=document.encode(),
                headers=dict(headers),
                timeout=self.deadline_s,
                stream=True,
                allow_redirects=False,
            ) as response:
                return response.status_code


class _Session(requests.Session):
    """A session that leaves redirects alone: requests would read their bodies without a cap."""

    def get_redirect_target(self, resp: requests.Response) -> str | None:
        """Say that there is none."""
        return None


def _host(url: str) -> str:
    """The host of an address; the rest of it may be a secret."""
    try:
        return urlsplit(url).hostname or "its host"
    except ValueError:
        return "its host"


def _refused(status: int) -> str:
    told = f"{status}{_meaning(status)}"
    if status in _PASSING or status >= 500:
        return f"put it off ({told}); {AGAIN}"
    if 300 <= status < 400:
        return f"answered that it has moved ({told}); write the new address into url"
    return f"refused the document ({told}); {_CURES.get(status, 'ask whoever runs it')}"


def _meaning(status: int) -> str:
    try:
        return f", {HTTPStatus(status).phrase.lower()}"
    except ValueError:
        return ""


def _is_lasting(problem: requests.RequestException) -> bool:
    wrong = isinstance(problem, (http.InvalidURL, http.InvalidSchema, http.MissingSchema))
    return wrong or any(is_insecure(cause) for cause in causes_of(problem))


def _broken(problem: requests.RequestException) -> str:
    causes = list(causes_of(problem))
    if isinstance(problem, (http.InvalidURL, http.InvalidSchema, http.MissingSchema)):
        return f"cannot be reached by the address that is written; {_CHECK_URL}"
    if any("CERTIFICATE_VERIFY_FAILED" in str(cause) for cause in causes):
        return f"has no valid certificate, so nothing was sent; {_CHECK_URL}"
    said = {
        socket.gaierror: f"was not found; {_CHECK_URL}",
        ConnectionRefusedError: f"refused the connection; {_CHECK_URL}",
        http.SSLError: f"gave no secure connection, so nothing was sent; {_CHECK_URL}",
        http.Timeout: f"gave no answer; {AGAIN}",
    }
    for kind, words in said.items():
        if any(isinstance(cause, kind) for cause in causes):
            return words
    return f"broke off the connection before it said yes; {AGAIN}"
