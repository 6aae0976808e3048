"""How much of the code the tests reached: reads .coverage and fails below the limits.

Overall at least 90 % of lines and branches; in the core at least 95 %, and 95 % of its branches.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from coverage import Coverage

OVERALL, CORE = 90.0, 95.0
CORE_FILES = [
    "windowcast/advise.py",
    "windowcast/explain.py",
    "windowcast/planning/*",
    "windowcast/science/*",
    "windowcast/terms/*",
]


def totals(include: Sequence[str] | None = None) -> dict[str, float]:
    """The totals of coverage's own report over some files, or all."""
    coverage = Coverage()
    coverage.load()
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder, "reach.json")
        coverage.json_report(outfile=str(report), include=include)
        return dict(json.loads(report.read_text("utf-8"))["totals"])


def main() -> int:
    """Print the shares reached; 1 if one is below its limit."""
    core = totals(CORE_FILES)
    shares = [
        ("everything", totals()["percent_covered"], OVERALL),
        ("the core", core["percent_covered"], CORE),
        ("the core's branches", 100 * core["covered_branches"] / core["num_branches"], CORE),
    ]
    print("reached: " + ", ".join(f"{share:.1f} % of {what}" for what, share, _ in shares))
    short = [what for what, share, limit in shares if share < limit]
    if short:
        print(f"below the limit: {', '.join(short)}; see: coverage report", file=sys.stderr)
    return 1 if short else 0


if __name__ == "__main__":
    sys.exit(main())
