"""Mail: one letter to one person through the outfit's own server, under one hard deadline.

The name is looked up first, in a thread that can be left behind, and the connection goes to an
address that was looked at. From there on everything runs in one event loop under the deadline, so
that a server that drips a byte at a time holds up nothing.
"""

from __future__ import annotations

import asyncio
import base64
import ipaddress
import socket
import ssl
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from aiosmtplib import SMTP, SMTPException

from windowcast.channels.causes import AGAIN
from windowcast.channels.message import bare_address, mail_of, sender_of
from windowcast.channels.trouble import NOTHING_SENT, Refusal, clause, is_lasting
from windowcast.deadline import DeadlinePassed, within
from windowcast.problems import NoticeProblem
from windowcast.terms.delivery import MAIL, Letter, Recipient

STARTTLS, TLS, NONE = SECURITIES = ("starttls", "tls", "none")

_GREETED_AS = "[127.0.0.1]"  # the name of this machine is nobody's business
_GOODBYE_S = 2.0

# Family, kind, protocol and address of a place to connect to, as socket has them.
Place = tuple[int, int, int, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class SmtpChannel:
    """Sends letters through one server. ``security`` is one of ``SECURITIES``."""

    host: str
    port: int
    security: str
    sender: str
    user: str | None = None
    password: str | None = field(default=None, repr=False)
    ca_file: Path | None = None
    deadline_s: float = 60.0

    def __post_init__(self) -> None:
        """Refuse a security that is none of those that are known."""
        if self.security not in SECURITIES:
            raise ValueError(f"{self.security!r} is no security; use {', '.join(SECURITIES)}")

    @property
    def name(self) -> str:
        """The channel's name in the book."""
        return MAIL

    def send(self, letter: Letter, recipient: Recipient, identity: str, now: datetime) -> None:
        """Return once the server has taken the mail for this recipient; NoticeProblem otherwise."""
        to = bare_address(recipient.address)
        content = mail_of(letter, sender=self.sender, recipient=to, identity=identity, now=now)
        try:
            self._send(content, to)
        except (DeadlinePassed, TimeoutError):
            why, lasting = f"{self.host} was not done within {self.deadline_s:g} s; {AGAIN}", False
        except (Refusal, SMTPException, OSError, ValueError) as problem:
            why, lasting = clause(problem, self.host, self._secrets), is_lasting(problem)
        else:
            return
        raise NoticeProblem(f"mail to {to}: {why}", lasting=lasting)

    def _send(self, content: bytes, to: str) -> None:
        ends = time.monotonic() + self.deadline_s
        context = None if self.security == NONE else _context(self.ca_file)
        places = within(self.deadline_s, lambda: _looked_up(self.host, self.port))
        if self.security == NONE and not all(_is_here(place) for place in places):
            raise Refusal(
                f'{self.host} is not on this machine, {NOTHING_SENT}; security = "none" is for'
                ' a server on this machine only, write "starttls" or "tls"'
            )
        asyncio.run(self._deliver(places, context, content, to, ends))

    async def _deliver(
        self,
        places: Sequence[Place],
        context: ssl.SSLContext | None,
        content: bytes,
        to: str,
        ends: float,
    ) -> None:
        wire = None
        try:
            async with asyncio.timeout(ends - time.monotonic()):
                wire = await _connected(places, ends)
                client = self._client(wire, context)
                await self._hand_over(client, content, to)
            with suppress(SMTPException, OSError):  # the mail is taken, whatever comes now
                async with asyncio.timeout(min(_GOODBYE_S, ends - time.monotonic())):
                    await client.quit()
        finally:
            if wire is not None:
                await _hang_up(wire)

    def _client(self, wire: socket.socket, context: ssl.SSLContext | None) -> SMTP:
        return SMTP(
            hostname=self.host,
            sock=wire,
            use_tls=self.security == TLS,
            start_tls=False,  # done by hand below, where it is never optional
            tls_context=context,
            local_hostname=_GREETED_AS,
            timeout=None,
        )

    async def _hand_over(self, client: SMTP, content: bytes, to: str) -> None:
        await client.connect()
        await client.ehlo()
        if self.security == STARTTLS:
            if not client.supports_extension("starttls"):
                raise Refusal(
                    f"{self.host} offers no STARTTLS, {NOTHING_SENT}; write"
                    ' security = "tls" with port 465, or name another server'
                )
            await client.starttls()
            await client.ehlo()
        if self.user is not None:
            await client.login(self.user, self.password or "")
        await client.mail(sender_of(self.sender).addr_spec)
        await client.rcpt(to)
        await client.data(content)

    @property
    def _secrets(self) -> tuple[str, ...]:
        """The password in every form in which a server can say it back."""
        if not self.password:
            return ()
        plain = f"\0{self.user}\0{self.password}"
        coded = [base64.b64encode(text.encode()).decode() for text in (plain, self.password)]
        return (*coded, self.password)


def _context(ca_file: Path | None) -> ssl.SSLContext:
    """Certificates are checked against this machine's authorities, and that of ``ca_file``."""
    context = ssl.create_default_context()
    if ca_file is not None:
        try:
            context.load_verify_locations(ca_file)
        except OSError:  # an SSLError where the file is there but holds no certificate
            raise Refusal(
                f"ca_file {ca_file} cannot be read as certificates, {NOTHING_SENT}; name a file"
                " in PEM form"
            ) from None
    return context


def _looked_up(host: str, port: int) -> list[Place]:
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (socket.gaierror, UnicodeError):
        raise Refusal(
            f"the server {host} was not found; check host in [mail] of outfit.toml", lasting=False
        ) from None
    return [
        (int(family), int(kind), protocol, address) for family, kind, protocol, _, address in found
    ]


def _is_here(place: Place) -> bool:
    address = ipaddress.ip_address(str(place[3][0]).partition("%")[0])
    inner = getattr(address, "ipv4_mapped", None)
    return (inner or address).is_loopback


async def _connected(places: Sequence[Place], ends: float) -> socket.socket:
    """A connection to the first place that takes one, each with its share of the time."""
    refused = OSError()
    for number, place in enumerate(places):
        share_s = (ends - time.monotonic()) / (len(places) - number)
        try:
            return await _wire_to(place, share_s)
        except OSError as problem:
            refused = problem
    raise refused


async def _wire_to(place: Place, within_s: float) -> socket.socket:
    family, kind, protocol, address = place
    wire = socket.socket(family, kind, protocol)
    wire.setblocking(False)
    try:
        async with asyncio.timeout(within_s):
            await asyncio.get_running_loop().sock_connect(wire, address)
    except BaseException:  # whatever ends the try, the socket must not stay open
        wire.close()
        raise
    return wire


async def _hang_up(wire: socket.socket) -> None:
    """End the connection for both sides, and let the transport on it see that."""
    with suppress(OSError):  # it had ended by itself
        wire.shutdown(socket.SHUT_RDWR)
    await asyncio.sleep(0.01)
    wire.close()
