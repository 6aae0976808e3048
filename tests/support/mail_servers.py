"""Mail servers on loopback: one that keeps what it is given, and one that says what a test says.

with MailServer() as server:
    channel = SmtpChannel(host="127.0.0.1", port=server.port, security="none", ...)
    ...
    assert server.inbox[0].mail["Subject"] == "..."
"""

from __future__ import annotations

import asyncio
import socket
import socketserver
import ssl
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from email.message import EmailMessage
from email.parser import BytesParser
from email.policy import default
from types import TracebackType
from typing import Any, BinaryIO

from aiosmtpd.smtp import SMTP, AuthResult


@dataclass(frozen=True, slots=True)
class Received:
    """One mail as it came in: the envelope, the bytes, and what the standard parser makes of it."""

    sender: str
    recipients: tuple[str, ...]
    content: bytes

    @property
    def mail(self) -> EmailMessage:
        return BytesParser(policy=default).parsebytes(self.content)

    def text(self, kind: str) -> str:
        """The part that is "plain" or "html", with the line ends of text."""
        part = self.mail.get_body((kind,))
        assert part is not None
        return str(part.get_content()).replace("\r\n", "\n")


@dataclass(kw_only=True)
class Replies:
    """What the server says. ``logins`` are user and password; None offers no login."""

    rcpt: str = "250 OK"
    content: str = "250 OK"
    logins: dict[str, str] | None = None


@dataclass
class MailServer:
    """aiosmtpd on a loopback socket, in an event loop of its own.

    With a ``context`` it offers STARTTLS, or speaks TLS from the start where ``at_once``.
    """

    replies: Replies = field(default_factory=Replies)
    context: ssl.SSLContext | None = None
    at_once: bool = False
    inbox: list[Received] = field(default_factory=list)
    users: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._socket.getsockname()[1])
        self._ready = threading.Event()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._serve()))

    def __enter__(self) -> MailServer:
        self._thread.start()
        assert self._ready.wait(10)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, e: BaseException | None, t: TracebackType | None
    ) -> None:
        self._loop.call_soon_threadsafe(self._stop.set)
        self._thread.join(10)

    async def _serve(self) -> None:
        self._loop, self._stop = asyncio.get_running_loop(), asyncio.Event()
        secure = self.context if self.at_once else None
        server = await self._loop.create_server(self._protocol, sock=self._socket, ssl=secure)
        self._ready.set()
        await self._stop.wait()
        server.close()

    def _protocol(self) -> SMTP:
        offered = self.replies.logins is not None
        return SMTP(
            self,
            hostname="mail.vellamoor.example",
            tls_context=None if self.at_once else self.context,
            authenticator=self._login if offered else None,
            auth_require_tls=False,
            auth_exclude_mechanism=() if offered else ("LOGIN", "PLAIN"),
            loop=self._loop,
        )

    def _login(self, server: Any, session: Any, envelope: Any, mechanism: str, told: Any) -> Any:
        user, password = told.login.decode(), told.password.decode()
        right = (self.replies.logins or {}).get(user) == password
        self.users += [user] if right else []
        return AuthResult(success=right, handled=right)

    async def handle_RCPT(  # noqa: N802 - the name that aiosmtpd calls
        self, server: Any, session: Any, envelope: Any, address: str, options: list[str]
    ) -> str:
        if self.replies.rcpt.startswith("250"):
            envelope.rcpt_tos.append(address)
        return self.replies.rcpt

    async def handle_DATA(  # noqa: N802 - likewise
        self, server: Any, session: Any, envelope: Any
    ) -> str:
        if self.replies.content.startswith("250"):
            self.inbox.append(
                Received(envelope.mail_from, tuple(envelope.rcpt_tos), envelope.content)
            )
        return self.replies.content


Talk = Callable[[BinaryIO, BinaryIO, threading.Event], None]


class RawServer(socketserver.ThreadingTCPServer):
    """A socket on loopback on which ``talk`` reads and writes what it likes."""

    allow_reuse_address = True
    daemon_threads = True
    block_on_close = False

    def __init__(self, talk: Talk) -> None:
        self.talk, self.over = talk, threading.Event()
        super().__init__(("127.0.0.1", 0), _Talking)
        self.port = int(self.server_address[1])

    def __enter__(self) -> RawServer:
        threading.Thread(target=self.serve_forever, args=(0.05,), daemon=True).start()
        return self

    def __exit__(self, *args: object) -> None:
        self.over.set()
        self.shutdown()
        self.server_close()


class _Talking(socketserver.StreamRequestHandler):
    server: RawServer

    def handle(self) -> None:
        try:
            self.server.talk(self.rfile, self.wfile, self.server.over)
        except OSError:
            return  # the other side had enough


def answering(*replies: str) -> Talk:
    """Says the first reply at once and one more for each line that comes in, then hangs up.

    A reply "" is none. After "354" a whole message is read before the next reply.
    """

    def talk(reads: BinaryIO, writes: BinaryIO, over: threading.Event) -> None:
        for number, reply in enumerate(replies):
            if number and not reads.readline():
                return
            if number and replies[number - 1].startswith("354"):
                while reads.readline().strip() not in (b".", b""):
                    continue
            writes.write(reply.encode("latin-1") + b"\r\n" if reply else b"")
            writes.flush()

    return talk
