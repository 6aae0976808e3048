"""``windowcast demo``: a morning of an invented outfit, without network or configuration."""

from __future__ import annotations

from pathlib import Path

import typer

from windowcast.cli.app import DONE, SOMETHING_MISSING, app, say
from windowcast.cli.morning import AsJson, HtmlFile, morning_of, show
from windowcast.cli.now import At, now_or
from windowcast.problems import ConfigProblem, Fault

DEMO_AT = "2027-01-12T06:00-08:00"  # a few hours after the demo's forecasts were issued


@app.command(epilog="Example: windowcast demo --html demo.html")
def demo(at: At = DEMO_AT, as_json: AsJson = False, html: HtmlFile = None) -> None:
    """Run the main job on invented yards and invented weather; no network, nothing changed."""
    from windowcast.settings import load_settings

    settings = load_settings(demo_folder())
    say("This is the demo: invented outfit, invented yards, invented weather.")
    told = morning_of(settings, now_or(at))
    show(told, settings.outfit.units, as_json=as_json, html=html)
    raise typer.Exit(SOMETHING_MISSING if told.blind else DONE)


def demo_folder() -> Path:
    """The demo's configuration: inside the installed package, or at the top of the tree."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "_tree" / "config", package.parent / "config"):
        if (folder / "outfit.toml").is_file():
            return folder
    raise ConfigProblem(
        [
            Fault(
                file=str(package / "_tree" / "config" / "outfit.toml"),
                found="the demo's configuration is missing from this installation",
                cure="install windowcast again",
            )
        ]
    )
