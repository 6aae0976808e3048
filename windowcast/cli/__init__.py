"""The command line: prints, sets the exit status, nothing else."""

from __future__ import annotations

import os
import sys

from windowcast.cli.app import CONFIG_WRONG, NO_FORECAST, OUR_FAULT, WRONG_USE, app, say
from windowcast.problems import (
    ConfigProblem,
    NoForecast,
    NoticeProblem,
    NotJudged,
    WindowcastError,
)

STATUS = {
    ConfigProblem: CONFIG_WRONG,
    NoForecast: NO_FORECAST,
    NotJudged: WRONG_USE,
    NoticeProblem: WRONG_USE,
}
INTERRUPTED = 130  # 128 + SIGINT, as shells count it


def main() -> None:
    """Run the command line; every fault becomes one sentence and an exit status."""
    from windowcast.cli import commands  # noqa: F401 - importing them hangs them on the app

    try:
        app()
    except WindowcastError as problem:
        say(str(problem))
        sys.exit(STATUS.get(type(problem), OUR_FAULT))
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except BrokenPipeError:  # whoever read stdout has gone; nothing is left to be said
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(OUR_FAULT)
    except Exception as fault:
        if os.environ.get("WINDOWCAST_TRACEBACK"):
            raise
        say(
            f"windowcast has a fault of its own ({type(fault).__name__}: {fault}); what it had in"
            " hand is not finished. Set WINDOWCAST_TRACEBACK=1 and run it again to see where, and"
            " report that."
        )
        sys.exit(OUR_FAULT)
