"""Hypothesis strategies for what belongs in a book."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from windowcast.terms.outlook import PLAUSIBLE, VARIABLES, Hazard, Origin, Outlook
from windowcast.terms.report import (
    BLOOM_STAGES,
    BROOD_STAGES,
    FOOTINGS,
    BloomSeen,
    BroodSeen,
    MiteBoard,
    MiteWash,
    PollenSeen,
    RainMeasured,
    Report,
    RoadSeen,
)
from windowcast.terms.visit import HIVE_KINDS, WEATHER_NAMES, Treated, Visit, VisitWeather
from windowcast.times import hour_index

LETTERS = st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\u2028\u2029\x85")
TEXTS = st.text(st.one_of(LETTERS, st.sampled_from("\n\t\r")), max_size=40)
KEYS = st.text(LETTERS, min_size=1, max_size=20).filter(lambda key: key == key.strip())
COUNTS = st.integers(0, 100_000)
INSTANTS = st.datetimes(
    datetime(1990, 1, 1),  # noqa: DTZ001  (Hypothesis adds the zone)
    datetime(2150, 1, 1),  # noqa: DTZ001
    timezones=st.just(UTC),
)


@st.composite
def visits(draw: st.DrawFn) -> Visit:
    logged_at = draw(INSTANTS)
    kinds = draw(st.lists(st.sampled_from(HIVE_KINDS), unique=True))
    grams = st.none() | st.floats(1e-3, 1e6)
    day = (logged_at - timedelta(days=draw(st.integers(1, 400)))).date()
    hour = logged_at.replace(minute=0, second=0, microsecond=0)
    told = {name: st.none() | st.floats(*PLAUSIBLE[name]) for name in WEATHER_NAMES}
    weather = st.none() | st.builds(VisitWeather, hour=st.just(hour), source=TEXTS, **told)
    return Visit(
        yard_key=draw(KEYS),
        day=day,
        round_no=draw(st.integers(1, 99)),
        logged_at=logged_at,
        treated=tuple(
            Treated(kind=kind, colonies=draw(st.integers(1, 1000)), acid_g=draw(grams))
            for kind in kinds
        ),
        of_colonies=draw(st.none() | st.integers(1, 100_000)),
        whole=draw(st.booleans()),
        began_at=draw(st.none() | st.just(datetime(day.year, day.month, day.day, 9, tzinfo=UTC))),
        **{name: draw(TEXTS) for name in ("yard_name", "state", "crew", "person", "note")},
        weather=draw(weather),
    )


@st.composite
def brood(draw: st.DrawFn) -> BroodSeen:
    of = draw(st.none() | st.integers(1, 500))
    some = None if of is None else draw(st.integers(0, of))
    return BroodSeen(stage=draw(st.sampled_from(BROOD_STAGES)), colonies=some, looked_into=of)


SIGHTS = st.one_of(
    brood(),
    st.builds(PollenSeen, coming=st.booleans(), plant=st.just("") | KEYS),
    st.builds(MiteWash, mites=COUNTS, bees=st.integers(1, 100_000), colony=st.just("") | KEYS),
    st.builds(MiteBoard, mites=COUNTS, over_d=st.floats(1e-3, 60), colony=st.just("") | KEYS),
    st.builds(RoadSeen, footing=st.sampled_from(FOOTINGS)),
    st.builds(RainMeasured, rain_mm=st.floats(0, 2000), over_d=st.floats(1e-3, 60)),
    st.builds(BloomSeen, plant=KEYS, stage=st.sampled_from(BLOOM_STAGES)),
)


@st.composite
def reports(draw: st.DrawFn) -> Report:
    logged_at = draw(INSTANTS)
    return Report(
        yard_key=draw(KEYS),
        at=logged_at - draw(st.timedeltas(timedelta(0), timedelta(days=99))),
        seen=draw(SIGHTS),
        logged_at=logged_at,
        person=draw(TEXTS),
        note=draw(TEXTS),
    )


ORIGINS = st.builds(
    Origin,
    name=KEYS,
    kind=st.sampled_from(["forecast", "past"]),
    issued_at=st.none() | INSTANTS,
    detail=TEXTS,
    derived=st.frozensets(st.sampled_from(VARIABLES)),
    spread=st.booleans(),
    credit=st.none() | TEXTS,
)


@st.composite
def outlooks(draw: st.DrawFn, key: str = "kiln") -> Outlook:
    """Any floats of 32 bits, NaN of every kind among them; some hours told by nobody."""
    members, count = draw(st.integers(1, 3)), draw(st.integers(1, 60))
    first = np.datetime64(draw(st.integers(200_000, 1_500_000)), "h")
    whole = hnp.arrays(np.uint32, (len(VARIABLES), members, count))
    arrays = draw(whole).view(np.float32)
    origins = draw(st.lists(ORIGINS, max_size=4))
    number = hnp.arrays(np.int8, count, elements=st.integers(-1, len(origins) - 1))
    hazards = st.builds(
        Hazard, phenomenon=KEYS, significance=KEYS, first=st.just(first), count=st.integers(1, 99)
    )
    return Outlook(
        yard_key=key,
        hours=hour_index(first, count),
        arrays=dict(zip(VARIABLES, arrays, strict=True)),
        origins=tuple(origins),
        origin_of_hour=draw(number),
        hazards=tuple(draw(st.lists(hazards, max_size=2))),
    )


def any_day() -> st.SearchStrategy[date]:
    return st.dates(date(1990, 1, 1), date(2150, 1, 1))
