"""``windowcast schema``: JSON Schema of the files and of the printed documents."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Any

import typer

from windowcast.cli.app import app, say
from windowcast.cli.morning import put, write_whole
from windowcast.problems import NoticeProblem

Out = Annotated[
    str | None,
    typer.Option("--out", metavar="DIR", help="Write one file for each instead of printing."),
]


@app.command(epilog="Example: windowcast schema --out config/schema")
def schema(out: Out = None) -> None:
    """Print the JSON Schema of every file that windowcast reads and document that it prints."""
    texts = {
        name: json.dumps(content, indent=2, sort_keys=True) + "\n"
        for name, content in schemas().items()
    }
    if out is None:
        put(json.dumps({name: json.loads(text) for name, text in texts.items()}, indent=2) + "\n")
        return
    _make(Path(out))
    for name, text in texts.items():
        write_whole(Path(out) / f"{name}.schema.json", text)
    say(f"{len(texts)} schemas written to {out}")


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise NoticeProblem(
            f"{folder}: is not a folder and cannot be made ({error.strerror or error});"
            " choose another place"
        ) from error


def schemas() -> dict[str, dict[str, Any]]:
    """Name to JSON Schema."""
    from windowcast.settings import settings_schemas
    from windowcast.wording.document import morning_schema
    from windowcast.wording.mites_document import mites_schema
    from windowcast.wording.reports_document import reports_schema
    from windowcast.wording.silence import no_forecast_schema
    from windowcast.wording.visit_document import visit_schemas
    from windowcast.wording.why import why_schema

    return {
        **settings_schemas(),
        "morning": morning_schema(),
        "no_forecast": no_forecast_schema(),
        "why": why_schema(),
        **visit_schemas(),
        "reports": reports_schema(),
        "mites": mites_schema(),
    }
