"""The Typer application that every family of commands hangs on, and its exit statuses."""

from __future__ import annotations

from typing import Annotated

import typer

from windowcast import __version__

DONE, OUR_FAULT, WRONG_USE, CONFIG_WRONG, NO_FORECAST, SOMETHING_MISSING, TAKEN = range(7)

app = typer.Typer(
    name="windowcast",
    help="Which winter days and hours suit vaporising oxalic acid, yard by yard.",
    epilog="Example: windowcast demo",
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

ConfigDir = Annotated[
    str,
    typer.Option(
        "--config",
        metavar="DIR",
        envvar="WINDOWCAST_CONFIG",
        help="Folder that holds outfit.toml and yards.csv.",
    ),
]


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"windowcast {__version__}")
        raise typer.Exit


@app.callback()
def root(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_version, is_eager=True, help="Say which version it is."
        ),
    ] = False,
) -> None:
    """Which winter days and hours suit vaporising oxalic acid, yard by yard."""


def say(sentence: str) -> None:
    """Words go to stderr; data goes to stdout."""
    typer.echo(sentence, err=True)
