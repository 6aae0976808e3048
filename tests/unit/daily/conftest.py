"""An outfit with an empty book, at six in the morning; once in a file and once in PostgreSQL."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from support.errands import Outfit, an_outfit

KINDS = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]


@pytest.fixture(params=KINDS)
def outfit(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Outfit]:
    with an_outfit(tmp_path, request.param) as one:
        yield one
