"""Settings to what a run needs besides a desk: when, to whom, and through which channels."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, time
from typing import TYPE_CHECKING

from windowcast.daily.errand import Errand
from windowcast.morning import Desk
from windowcast.ports import Channel, Ledger
from windowcast.problems import ConfigProblem, Fault
from windowcast.settings import Settings, password_of, token_of
from windowcast.terms.advice import Morning
from windowcast.terms.delivery import MAIL, POST, Letter, Recipient
from windowcast.terms.kept import Holder

if TYPE_CHECKING:
    from windowcast.channels.post import PostChannel
    from windowcast.channels.smtp import SmtpChannel

_LONG_AGO = datetime(1970, 1, 1, tzinfo=UTC)


def errand_of(
    settings: Settings, desk: Desk, book: Ledger, holder: Holder, clock: Callable[[], datetime]
) -> Errand:
    """What every run of the outfit needs; ConfigProblem where a secret is not in its place."""
    from windowcast.notices.letter import letter_of, no_forecast_letter

    outfit = settings.outfit
    tz = zone_of(settings, book)

    def written(morning: Morning, late: bool) -> Letter:
        return letter_of(morning, outfit.units, late=late)

    def silent(why: str, now: datetime, until: datetime | None) -> Letter:
        return no_forecast_letter(outfit.name, tz, now, why, until)

    return Errand(
        desk=desk,
        book=book,
        holder=holder,
        clock=clock,
        recipients=recipients_of(settings),
        channels={channel.name: channel for channel in channels_of(settings, os.environ)},
        letter_of=written,
        no_forecast_letter=silent,
    )


def recipients_of(settings: Settings) -> tuple[Recipient, ...]:
    """Who gets the morning, in the order of ``outfit.toml``, mail first."""
    outfit = settings.outfit
    people = outfit.mail.to if outfit.mail else ()
    return (
        *(Recipient(channel=MAIL, address=address) for address in people),
        *(Recipient(channel=POST, address=post.name) for post in outfit.posts),
    )


def channels_of(settings: Settings, environ: Mapping[str, str]) -> tuple[Channel, ...]:
    """The channels that the outfit uses; ConfigProblem where a secret is not in its place."""
    built = (_mail(settings, environ), _posts(settings, environ))
    return tuple(channel for channel in built if channel is not None)


def run_times(settings: Settings) -> tuple[tuple[time, ...], str]:
    """When mornings are due and on whose clock; ConfigProblem where that is not written."""
    outfit = settings.outfit
    if outfit.run_at and outfit.tz:
        return outfit.run_at, outfit.tz
    raise ConfigProblem(
        [
            Fault(
                file="outfit.toml",
                field="run_at",
                found="no time is written at which the morning is due",
                cure='write run_at = ["06:00"], and zone = "America/Boise" with yours',
            )
        ]
    )


def zone_of(settings: Settings, book: Ledger) -> str:
    """The clock that says which day it is: the outfit's, else a yard's as far as it is known."""
    if settings.outfit.tz:
        return settings.outfit.tz
    for yard in settings.yards:
        kept = book.outlook_of(yard.key, _LONG_AGO)
        told = yard.tz or (kept.place.tz if kept else None)
        if told:
            return told
    return "UTC"


def _mail(settings: Settings, environ: Mapping[str, str]) -> SmtpChannel | None:
    mail = settings.outfit.mail
    if mail is None:
        return None
    from windowcast.channels.smtp import SmtpChannel  # loads slowly

    return SmtpChannel(
        host=mail.host,
        port=mail.port,
        security=mail.security,
        sender=mail.sender,
        user=mail.user,
        password=password_of(mail, environ),
        ca_file=mail.ca_file,
    )


def _posts(settings: Settings, environ: Mapping[str, str]) -> PostChannel | None:
    posts = settings.outfit.posts
    if not posts:
        return None
    from windowcast.channels.post import PostChannel

    tokens = {post.name: token_of(post, environ) for post in posts}
    return PostChannel(
        posts={post.name: post.url for post in posts},
        tokens={name: token for name, token in tokens.items() if token is not None},
    )
