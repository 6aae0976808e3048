"""What went wrong with a mail, in plain words: what the server said, and what to do."""

from __future__ import annotations

import ssl

from aiosmtplib import (
    SMTPAuthenticationError,
    SMTPDataError,
    SMTPException,
    SMTPRecipientRefused,
    SMTPResponseException,
    SMTPSenderRefused,
)

from windowcast.channels.causes import AGAIN, causes_of, is_insecure
from windowcast.wording.plain import clean, cut

NOTHING_SENT = "so nothing was sent"
_QUOTED = 160
_LOGIN_CURE = (
    "check user and password in [mail] of outfit.toml; Gmail takes an app password only, and"
    " Microsoft has turned SMTP with a password off"
)


# To these a server says no for good: the login, the sender, the recipient, the mail itself.
_FOR_GOOD = (SMTPAuthenticationError, SMTPSenderRefused, SMTPRecipientRefused, SMTPDataError)


class Refusal(Exception):
    """Something that this side does not put up with; its text is a clause with a cure."""

    def __init__(self, text: str, *, lasting: bool = True) -> None:
        self.lasting = lasting
        super().__init__(text)


def is_lasting(problem: Exception) -> bool:
    """Whether another try would fail in the same way until a person has mended something."""
    if isinstance(problem, Refusal):
        return problem.lasting
    causes = list(causes_of(problem))
    refused = (cause for cause in causes if isinstance(cause, _FOR_GOOD))
    return (
        any(500 <= cause.code < 600 for cause in refused)
        or any(is_insecure(cause) for cause in causes)
        or _offers_no_login(causes[0])
    )


def clause(problem: Exception, host: str, secrets: tuple[str, ...]) -> str:
    """What happened and what to do, as the end of a sentence that names the recipient."""
    if isinstance(problem, Refusal):
        return str(problem)
    causes = list(causes_of(problem))
    for cause in causes:
        if isinstance(cause, ssl.SSLCertVerificationError):
            return _certificate(cause, host)
    for cause in causes:
        if isinstance(cause, SMTPResponseException):
            return _answered(cause, host, secrets)
    return _broken(causes, host, secrets)


def _certificate(problem: ssl.SSLCertVerificationError, host: str) -> str:
    why = clean(problem.verify_message).rstrip(".")
    return (
        f"the certificate of {host} is not valid ({why}), {NOTHING_SENT}; check host in [mail] of"
        " outfit.toml, or name the authority behind it in ca_file"
    )


def _answered(problem: SMTPResponseException, host: str, secrets: tuple[str, ...]) -> str:
    said = f"({_said(problem, secrets)})"
    if not 400 <= problem.code < 600:
        return f"{host} gave an answer that is none of mail's {said}; check host and port"
    if problem.code < 500:
        return f"{host} put it off {said}; {AGAIN}"
    if isinstance(problem, SMTPAuthenticationError):
        return f"{host} refused the login {said}; {_LOGIN_CURE}"
    if isinstance(problem, SMTPRecipientRefused):
        return f"{host} refused the address {said}; check it in outfit.toml"
    if isinstance(problem, SMTPSenderRefused):
        return f"{host} refused the sender {said}; check from and user in [mail] of outfit.toml"
    return f"{host} refused the mail {said}; ask whoever runs that server"


def _said(problem: SMTPResponseException, secrets: tuple[str, ...]) -> str:
    """Code and first line of an answer, without what was sent in secret."""
    text = problem.message
    for secret in secrets:
        text = text.replace(secret, "***")
    first = next((line for line in text.splitlines() if line.strip()), "")
    if problem.code < 0:
        return f'"{cut(clean(first), _QUOTED)}"'
    return f'{problem.code}, "{cut(clean(first), _QUOTED)}"' if first else str(problem.code)


def _offers_no_login(first: BaseException) -> bool:
    refused = isinstance(first, SMTPException) and not isinstance(first, SMTPResponseException)
    return refused and "AUTH" in str(first)


def _broken(causes: list[BaseException], host: str, secrets: tuple[str, ...]) -> str:
    kinds = tuple(type(cause) for cause in causes)
    if any(issubclass(kind, ConnectionRefusedError) for kind in kinds):
        return f"{host} refused the connection; check host and port in [mail] of outfit.toml"
    if any(issubclass(kind, ssl.SSLError) for kind in kinds):
        return (
            f"no secure connection with {host} came about, {NOTHING_SENT}; security"
            ' "tls" goes with port 465, "starttls" with port 587'
        )
    first = causes[0]
    if isinstance(first, OSError):
        return f"the connection broke off before {host} said yes; {AGAIN}"
    if _offers_no_login(first):
        return (
            f"{host} offers no login, {NOTHING_SENT}; leave user out of [mail] in outfit.toml,"
            " or name another port"
        )
    return f"{host} and this program do not understand each other; check host and port"
