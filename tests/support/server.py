"""A weather service on a real loopback socket that answers, or misbehaves, as told.

    with WeatherServer({"/points/43.6,-116.2": json_reply({"properties": {}})}) as server:
        service = Service(name="nws", base_url=server.url, home_hosts=("api.weather.gov",))
        ...
        assert server.paths == ["/points/43.6,-116.2"]

A route's key is a path, or a path with its query where both matter. Its value is a ``Reply``, a
function from ``Asked`` to a ``Reply``, or a list of those: taken in turn, the last one for ever.
A path without a route is answered with 404 and problem JSON. ``server.routes`` may be changed
while the server runs.
"""

from __future__ import annotations

import gzip
import json
import socket
import socketserver
import struct
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from http.client import responses as reasons
from types import TracebackType
from typing import Any
from urllib.parse import parse_qsl, urlsplit


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One request as it came in; header names are lower case."""

    method: str
    target: str  # path and query, as sent
    headers: Mapping[str, str]
    body: bytes = b""

    @property
    def path(self) -> str:
        return urlsplit(self.target).path

    @property
    def params(self) -> dict[str, str]:
        return dict(parse_qsl(urlsplit(self.target).query, keep_blank_values=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What goes out. ``content_length`` lies where it is set; the rest are misbehaviours."""

    status: int = 200
    body: bytes = b""
    headers: Mapping[str, str] = field(default_factory=dict)
    content_length: int | None = None
    chunked: bool = False
    zipped: bool = False  # body goes out gzip-coded
    hang_s: float = 0.0  # silence before the first byte
    drip_headers_s: float = 0.0  # pause after every byte of the head
    drip_body_s: float = 0.0  # pause after every byte of the body
    cut_at: int | None = None  # the connection ends after so many bytes of the body
    reset: bool = False  # the connection is reset before the first byte
    raw: bytes | None = None  # these bytes instead of head and body, then the connection ends


Route = Reply | Callable[[Asked], Reply] | list[Any]


def json_reply(value: object, status: int = 200, **headers: str) -> Reply:
    """JSON; ``cache_control="max-age=60"`` becomes the header ``cache-control``."""
    named = {name.replace("_", "-"): text for name, text in headers.items()}
    return Reply(
        status=status,
        body=json.dumps(value).encode(),
        headers={"content-type": "application/json", **named},
    )


def html_reply(text: str = "<html><body>Busy</body></html>", status: int = 200) -> Reply:
    return Reply(status=status, body=text.encode(), headers={"content-type": "text/html"})


def problem_reply(status: int, kind: str, detail: str) -> Reply:
    """The NWS form of an error body."""
    problem = {
        "title": kind,
        "type": f"https://api.weather.gov/problems/{kind}",
        "status": status,
        "detail": detail,
    }
    return replace(
        json_reply(problem, status), headers={"content-type": "application/problem+json"}
    )


def redirect(to: str, status: int = 301) -> Reply:
    return Reply(status=status, headers={"location": to})


def gzip_bomb(size: int) -> Reply:
    """``size`` zero bytes behind a small gzip body."""
    return Reply(body=bytes(size), headers={"content-type": "application/json"}, zipped=True)


def conditional(
    body: bytes,
    *,
    etag: str | None = None,
    last_modified: str | None = None,
    cache_control: str | None = None,
) -> Callable[[Asked], Reply]:
    """A well-behaved route: 304 when a condition repeats what was sent, letter by letter."""
    told = {"etag": etag, "last-modified": last_modified, "cache-control": cache_control}
    headers = {name: text for name, text in told.items() if text is not None}

    def answer(asked: Asked) -> Reply:
        same = (etag is not None and asked.headers.get("if-none-match") == etag) or (
            last_modified is not None and asked.headers.get("if-modified-since") == last_modified
        )
        if same:
            return Reply(status=304, headers=headers)
        return Reply(body=body, headers={"content-type": "application/json", **headers})

    return answer


def closed_port() -> int:
    """A loopback port that refuses connections."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class WeatherServer:
    """The server as a context manager; ``url`` has no trailing slash."""

    def __init__(self, routes: Mapping[str, Route] | None = None) -> None:
        self.routes: dict[str, Route] = dict(routes or {})
        self.asked: list[Asked] = []
        self.most_at_once = 0
        self.connections = 0
        self._at_once = 0
        self._turns: dict[str, int] = {}
        self._lock = threading.Lock()
        self._stopping = threading.Event()
        self._server = _Sockets(self)
        self.port: int = self._server.server_address[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self._thread = threading.Thread(
            target=self._server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True
        )

    def __enter__(self) -> WeatherServer:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._stopping.set()
        self._server.shutdown()
        self._server.hang_up()
        self._server.server_close()  # joins the threads of the connections
        self._thread.join()

    @property
    def paths(self) -> list[str]:
        """Path and query of every request so far, in order of arrival."""
        return [asked.target for asked in self.asked]

    def count(self, start: str = "") -> int:
        """How many requests asked for a path that begins so."""
        return sum(target.startswith(start) for target in self.paths)

    def answer(self, asked: Asked) -> Reply:
        with self._lock:
            self.asked.append(asked)
            key = asked.target if asked.target in self.routes else asked.path
            route = self.routes.get(key)
            if isinstance(route, list):
                turn = self._turns.get(key, 0)
                self._turns[key] = turn + 1
                route = route[min(turn, len(route) - 1)]
        if route is None:
            return problem_reply(404, "NotFound", f"{asked.path} is not here")
        return route if isinstance(route, Reply) else route(asked)

    def enter(self) -> None:
        with self._lock:
            self._at_once += 1
            self.most_at_once = max(self.most_at_once, self._at_once)

    def leave(self) -> None:
        with self._lock:
            self._at_once -= 1

    def pause(self, seconds: float) -> None:
        """Wait, but not past the end of the test."""
        self._stopping.wait(seconds)

    @property
    def stopping(self) -> bool:
        return self._stopping.is_set()

    def greet(self) -> None:
        with self._lock:
            self.connections += 1


class _Sockets(socketserver.ThreadingTCPServer):
    allow_reuse_address = True
    daemon_threads = False
    request_queue_size = 64

    def __init__(self, weather: WeatherServer) -> None:
        self.weather = weather
        self._open: set[socket.socket] = set()
        self._open_lock = threading.Lock()
        super().__init__(("127.0.0.1", 0), _Connection)

    def process_request(self, request: Any, client_address: Any) -> None:
        with self._open_lock:
            self._open.add(request)
        super().process_request(request, client_address)

    def shutdown_request(self, request: Any) -> None:
        with self._open_lock:
            self._open.discard(request)
        super().shutdown_request(request)

    def hang_up(self) -> None:
        with self._open_lock:
            for connection in self._open:
                _end(connection)


class _Connection(socketserver.StreamRequestHandler):
    server: _Sockets

    def handle(self) -> None:
        weather = self.server.weather
        weather.greet()
        try:
            while (asked := self._asked()) is not None:
                weather.enter()
                try:
                    goes_on = self._send(weather.answer(asked))
                finally:
                    weather.leave()
                if not goes_on or weather.stopping:
                    return
        except (ConnectionError, TimeoutError):
            return  # the other side had enough

    def _asked(self) -> Asked | None:
        if self.rfile.peek(1)[:1] == b"\x16":
            return None  # a TLS greeting
        first = self.rfile.readline().decode("latin-1").split()
        if len(first) != 3:
            return None
        headers = {}
        while line := self.rfile.readline().strip():
            name, _, text = line.decode("latin-1").partition(":")
            headers[name.strip().lower()] = text.strip()
        body = self.rfile.read(int(headers.get("content-length", "0")))
        return Asked(method=first[0], target=first[1], headers=headers, body=body)

    def _send(self, reply: Reply) -> bool:
        """Whether the connection may carry another request."""
        weather = self.server.weather
        if reply.hang_s:
            weather.pause(reply.hang_s)
        if reply.reset:
            hard = struct.pack("ii", 1, 0)  # close() sends RST instead of FIN
            self.request.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, hard)
            socket.close(self.request.detach())
            return False
        if reply.raw is not None:
            self._drip(reply.raw, reply.drip_body_s)
            return False
        body = gzip.compress(reply.body) if reply.zipped else reply.body
        self._drip(_head(reply, body), reply.drip_headers_s)
        if reply.chunked and body:
            body = b"%x\r\n%b\r\n0\r\n\r\n" % (len(body), body)
        if reply.cut_at is not None:
            self._drip(body[: reply.cut_at], reply.drip_body_s)
            return False
        self._drip(body, reply.drip_body_s)
        return True

    def _drip(self, what: bytes, every_s: float) -> None:
        if not every_s:
            self.wfile.write(what)
            return
        for at in range(len(what)):
            if self.server.weather.stopping:
                return
            self.wfile.write(what[at : at + 1])
            self.server.weather.pause(every_s)


def _head(reply: Reply, body: bytes) -> bytes:
    reason = reasons.get(reply.status, "Odd")
    lines = [f"HTTP/1.1 {reply.status} {reason}"]
    headers = dict(reply.headers)
    if reply.zipped:
        headers.setdefault("content-encoding", "gzip")
    if reply.chunked:
        headers["transfer-encoding"] = "chunked"
    if reply.content_length is not None or not (reply.chunked or reply.status == 304):
        length = len(body) if reply.content_length is None else reply.content_length
        headers["content-length"] = str(length)
    lines += [f"{name}: {text}" for name, text in headers.items()]
    return ("\r\n".join(lines) + "\r\n\r\n").encode("latin-1")


def _end(connection: socket.socket) -> None:
    try:
        connection.shutdown(socket.SHUT_RDWR)
    except OSError:
        return  # it ended by itself
