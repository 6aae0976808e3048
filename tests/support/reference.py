"""Published numbers of fixtures/reference, whose header lines begin with #."""

from __future__ import annotations

import pandas as pd
from support.tree import ROOT

FOLDER = ROOT / "fixtures" / "reference"


def rows(name: str) -> list[tuple]:
    """The rows of a table as plain tuples, for parametrize."""
    table = pd.read_csv(FOLDER / name, comment="#")
    return list(table.itertuples(index=False, name=None))
