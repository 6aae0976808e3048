"""``[mail]`` of ``outfit.toml``: through which server the morning is mailed, and to whom."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from windowcast.settings.hosts import is_host, is_loopback
from windowcast.settings.kept_secrets import KEPT, place_slips, variable_of
from windowcast.settings.readings import one_line, path_text, text
from windowcast.settings.sources import missing_paths, resolved
from windowcast.settings.spelling import Slip, choices, cure_for_word, shown

STARTTLS, TLS, NONE = SECURITIES = ("starttls", "tls", "none")
PORTS = {STARTTLS: 587, TLS: 465, NONE: 25}

# Gateways of carriers that turn mail into text messages. Dates as two pages on telephony told
# them in May and June 2026 (sigspan.com, eztalks.com); the carriers themselves were not asked.
GATEWAYS = {
    "tmomail.net": "was shut in December 2024",
    "txt.att.net": "was shut on 17 June 2025",
    "vtext.com": "shuts on 31 March 2027",
}

_EXAMPLE = '"office@vellamoor.example"'
_ATOM = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
_LABEL = r"[A-Za-z0-9]([A-Za-z0-9-]{0,61}[A-Za-z0-9])?"
_ADDRESS = re.compile(rf"(?P<who>{_ATOM}(\.{_ATOM})*)@(?P<where>{_LABEL}(\.{_LABEL})+|localhost)")
_LONGEST_WHO, _LONGEST_WHERE = 64, 190


@dataclass(frozen=True, slots=True, kw_only=True)
class MailSetting:
    """The way of the morning into mailboxes; the password is named, never held.

    ``security`` is one of ``SECURITIES``, ``sender`` what the file calls ``from``.
    """

    host: str
    port: int
    security: str
    sender: str
    to: tuple[str, ...]
    user: str | None = None
    password_env: str | None = None
    password_file: Path | None = None
    ca_file: Path | None = None


def mail_host(value: object) -> str:
    """The name or address of a mail server, without scheme and port."""
    host = text(value, most=253)
    if host.startswith("[") and host.endswith("]"):
        host = host[1:-1]
    if not is_host(host):
        said = "" if "@" in host else f"{shown(host)} "  # a password may stand before it
        found = f"{said}is not the name of a server"
        raise Slip(found, 'write one such as "mail.vellamoor.example"; its port goes under port')
    return host


def mail_address(value: object) -> str:
    """One bare address in plain ASCII, which every server takes and no header can choke on."""
    address = text(value, most=255)
    match = _ADDRESS.fullmatch(address)
    if match is None or _is_long(match):
        raise Slip(
            f"{shown(address)} is not one e-mail address in plain letters",
            f"write the address alone, such as {_EXAMPLE}",
        )
    return address


def mailbox(value: object) -> str:
    """An address that mail can be sent to; the carriers' gateways to text messages are refused."""
    address = mail_address(value)
    where = f".{address.rpartition('@')[2].casefold()}"
    for gateway, fate in GATEWAYS.items():
        if where.endswith(f".{gateway}"):
            raise Slip(
                f"{shown(address)} goes to {gateway}, a carrier's way from mail to text messages"
                f" that {fate}",
                "write an address whose mail is read on the phone",
            )
    return address


def _is_long(match: re.Match[str]) -> bool:
    return len(match["who"]) > _LONGEST_WHO or len(match["where"]) > _LONGEST_WHERE


def _security(value: object) -> str:
    if value in SECURITIES:
        return str(value)
    word = value if isinstance(value, str) else ""
    raise Slip(f"{shown(value)} is not a way to secure mail", cure_for_word(word, SECURITIES))


class MailTable(BaseModel):
    """The mail server, and who gets the morning by mail."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    host: Annotated[str, BeforeValidator(mail_host)] = Field(
        description="name of your mail server", examples=["mail.vellamoor.example"]
    )
    port: int | None = Field(
        None,
        ge=1,
        le=65535,
        description="its port; left out, 587 for starttls, 465 for tls, 25 for none",
        examples=[587],
    )
    security: Annotated[
        str, BeforeValidator(_security), WithJsonSchema({"enum": list(SECURITIES)})
    ] = Field(
        STARTTLS,
        description="starttls, tls, or none, which is for a server on this machine only",
        examples=[STARTTLS],
    )
    user: Annotated[str | None, BeforeValidator(one_line(200))] = Field(
        None,
        description="name to log in with, if the server wants one",
        examples=["office@vellamoor.example"],
    )
    password_env: Annotated[str | None, BeforeValidator(variable_of("MAIL_PASSWORD"))] = Field(
        None,
        description="environment variable that holds the password of user",
        examples=["MAIL_PASSWORD"],
    )
    password_file: Annotated[str | None, BeforeValidator(path_text)] = Field(
        None,
        description="file that holds the password of user and nothing else",
        examples=["mail.password"],
    )
    sender: Annotated[str, BeforeValidator(mail_address)] = Field(
        alias="from",
        description="address that the mail comes from",
        examples=["office@vellamoor.example"],
    )
    to: list[Annotated[str, BeforeValidator(mailbox)]] = Field(
        min_length=1,
        description="who gets the morning, each in a mail of its own",
        examples=[["office@vellamoor.example"]],
    )
    ca_file: Annotated[str | None, BeforeValidator(path_text)] = Field(
        None,
        description="certificates in PEM form to trust besides those that this machine trusts",
        examples=["own_ca.pem"],
    )


def mail_setting(table: MailTable, folder: Path) -> MailSetting:
    """The word of the table; paths are relative to the folder of ``outfit.toml``."""
    return MailSetting(
        host=table.host,
        port=PORTS[table.security] if table.port is None else table.port,
        security=table.security,
        sender=table.sender,
        to=tuple(table.to),
        user=table.user,
        password_env=table.password_env,
        password_file=resolved(table.password_file, folder),
        ca_file=resolved(table.ca_file, folder),
    )


def mail_slips(
    table: Mapping[str, Any], folder: Path
) -> Iterator[tuple[tuple[str | int, ...], Slip]]:
    """What the keys of ``[mail]`` say wrong together; asked of the raw table."""
    told = table.get("mail")
    if not isinstance(told, dict):
        return
    for key, slip in (*_login_slips(told), *missing_paths("ca_file", told, folder)):
        yield ("mail", key), slip
    for number, slip in _doubles(told.get("to")):
        yield ("mail", "to", number), slip
    if told.get("security") == NONE and _is_elsewhere(told.get("host")):
        found = f"{shown(NONE)} is for a server on this machine only"
        yield ("mail", "security"), Slip(found, f"write {choices(map(shown, (STARTTLS, TLS)))}")


def _login_slips(told: Mapping[str, Any]) -> Iterator[tuple[str, Slip]]:
    yield from place_slips("password", told)
    named = [key for key in KEPT["password"] if key in told]
    if named and "user" not in told:
        yield named[0], Slip("stands without user", "write user too, or delete it")
    if "user" in told and not named:
        cure = f"name the place of its password with {choices(KEPT['password'])}"
        yield "user", Slip("stands without its password", cure)


def _doubles(told: object) -> Iterator[tuple[int, Slip]]:
    seen: set[str] = set()
    for number, address in enumerate(told if isinstance(told, list) else ()):
        plain = address.strip().casefold() if isinstance(address, str) else ""
        if plain and plain in seen:
            yield number, Slip(f"{shown(address)} stands twice", "keep one of the two")
        seen.add(plain)


def _is_elsewhere(host: object) -> bool:
    """Whether a host that is right by itself is another machine."""
    try:
        return not is_loopback(mail_host(host))
    except Slip:
        return False
