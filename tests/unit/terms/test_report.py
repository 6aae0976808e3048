"""Reports, and what they refuse to be."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest

from windowcast.terms.report import (
    BloomSeen,
    BroodSeen,
    MiteBoard,
    MiteWash,
    PollenSeen,
    RainMeasured,
    Report,
    RoadSeen,
    Seen,
)

NOW = datetime(2027, 1, 12, 13, 40, tzinfo=UTC)
FIRM = RoadSeen(footing="firm")


@pytest.mark.parametrize(
    ("build", "sentence"),
    [
        (lambda: BroodSeen(stage="some"), "brood 'some' is not known; use none, eggs"),
        (lambda: BroodSeen(stage="open", colonies=3), "write both numbers or neither"),
        (lambda: BroodSeen(stage="open", looked_into=3), "write both numbers or neither"),
        (lambda: BroodSeen(stage="open", colonies=4, looked_into=3), "colonies 4 is not a whole"),
        (lambda: BroodSeen(stage="open", colonies=0, looked_into=0), "looked into 0 is not a"),
        (lambda: PollenSeen(coming="no"), "pollen 'no' is neither yes nor no"),  # type: ignore[arg-type]
        (lambda: PollenSeen(coming=True, plant="\n"), "plant '\\n' is no name"),
        (lambda: MiteWash(mites=-1, bees=300), "mites -1 is not a whole number from 0"),
        (lambda: MiteWash(mites=1, bees=0), "bees 0 is not a whole number from 1"),
        (lambda: MiteBoard(mites=1, over_d=0.0), "0.0 days are not more than 0 and at most 60"),
        (lambda: MiteBoard(mites=1, over_d=60.1), "60.1 days are not more than 0"),
        (lambda: MiteBoard(mites=1, over_d=float("nan")), "nan days are not more than 0"),
        (lambda: RoadSeen(footing="wet"), "road 'wet' is not known; use firm, soft, rutted, stuck"),
        (lambda: RainMeasured(rain_mm=-0.1), "rain -0.1 mm is not from 0 to 2000 mm"),
        (lambda: RainMeasured(rain_mm=float("inf")), "rain inf mm is not from 0 to 2000 mm"),
        (lambda: BloomSeen(plant="", stage="first"), "plant '' is no name"),
        (lambda: BloomSeen(plant="maple", stage="half"), "bloom 'half' is not known; use first"),
    ],
)  # fmt: skip
def test_a_sight_that_cannot_be_is_refused(build: Callable[[], Seen], sentence: str) -> None:
    with pytest.raises(ValueError, match=re.escape(sentence)):
        build()


@pytest.mark.parametrize(
    "seen",
    [
        BroodSeen(stage="none"),
        BroodSeen(stage="capped", colonies=0, looked_into=1),
        BroodSeen(stage="eggs", colonies=10, looked_into=10),
        MiteWash(mites=0, bees=1),
        MiteBoard(mites=0, over_d=60.0),
        RainMeasured(rain_mm=0.0),
        RainMeasured(rain_mm=2000.0, over_d=0.5),
    ],
)
def test_the_ends_of_what_can_be_seen_are_sights(seen: Seen) -> None:
    assert Report(yard_key="kiln", at=NOW, seen=seen, logged_at=NOW).seen == seen


def test_nobody_sees_the_future() -> None:
    late = NOW + timedelta(seconds=1)
    with pytest.raises(ValueError, match="it was seen after it was logged; write a time gone by"):
        Report(yard_key="kiln", at=late, seen=FIRM, logged_at=NOW)


def test_a_report_has_a_yard_and_a_zone() -> None:
    with pytest.raises(ValueError, match="yard '' is no name"):
        Report(yard_key="", at=NOW, seen=FIRM, logged_at=NOW)
    with pytest.raises(ValueError, match="at has no time zone"):
        Report(yard_key="kiln", at=NOW.replace(tzinfo=None), seen=FIRM, logged_at=NOW)
