"""What is odd about a configuration without being wrong: one sentence each."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import partial

from windowcast.problems import ConfigProblem
from windowcast.settings.load import Settings
from windowcast.settings.outfit import Outfit
from windowcast.settings.secrets import password_of, token_of
from windowcast.settings.sources import FILES, FORECASTING

_EXAMPLE_HOST = re.compile(r"(\.|@|//)(example(\.(com|net|org))?|invalid|test|localhost)(/.*)?$")


def remarks_on(settings: Settings, environment: Mapping[str, str]) -> tuple[str, ...]:
    """Every remark, those of ``yards.csv`` first."""
    return (
        *settings.remarks,
        *_on_sources(settings, environment),
        *_on_ways_out(settings.outfit, environment),
        *_on_contact(settings),
        *_on_colonies(settings),
        *_on_label(settings),
    )


def _on_sources(settings: Settings, environment: Mapping[str, str]) -> Iterator[str]:
    sources = settings.outfit.sources
    if not any(source.name in FORECASTING for source in sources):
        yield "outfit.toml: no source tells a forecast; add nws"
    for source in sources:
        variable = source.api_key_env
        if variable is not None and not environment.get(variable):
            yield f"outfit.toml: {source.name}: the environment variable {variable} is not set here"


def _on_ways_out(outfit: Outfit, environment: Mapping[str, str]) -> Iterator[str]:
    """What a run would miss if it began here and now."""
    if outfit.mail is not None:
        yield from _missing(partial(password_of, outfit.mail, environment))
    for post in outfit.posts:
        yield from _missing(partial(token_of, post, environment))
    if outfit.run_at and outfit.mail is None and not outfit.posts:
        yield "outfit.toml: run_at is there, but neither [mail] nor [[posts]]: nobody is told"


def _missing(read: Callable[[], object]) -> Iterator[str]:
    try:
        read()
    except ConfigProblem as problem:
        yield from map(str, problem.faults)


def _on_contact(settings: Settings) -> Iterator[str]:
    asks = any(source.name != FILES for source in settings.outfit.sources)
    if asks and _EXAMPLE_HOST.search(settings.outfit.contact):
        yield "outfit.toml: contact is an example; write an address at which you can be reached"


def _on_colonies(settings: Settings) -> Iterator[str]:
    empty = [yard.key for yard in settings.yards if yard.colonies == 0]
    if len(empty) == len(settings.yards):
        yield "yards.csv: no yard has colonies; all yards count alike"
    elif empty:
        yield f"yards.csv: no colonies, and no weight in the day's score: {', '.join(empty)}"


def _on_label(settings: Settings) -> Iterator[str]:
    """Yards that lie in another state than the label was read for, where both are two letters."""
    state = (settings.label.state or "").upper()
    other = [y.key for y in settings.yards if len(y.state) == 2 and y.state.upper() != state]
    if len(state) == 2 and other:
        yield f"label.toml: it was read for {state}; these yards lie elsewhere: {', '.join(other)}"
