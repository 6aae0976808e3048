"""Whatever is typed after ``seen YARD`` is a sight or one sentence, and so is every time."""

from __future__ import annotations

from datetime import UTC, datetime

from hypothesis import example, given
from hypothesis import strategies as st
from support.outcomes import value_or_refusal

from windowcast.cli.moments import moment_of
from windowcast.cli.sights import FORMS, OPTIONS, sight_of
from windowcast.terms.report import Seen

NOW = datetime(2027, 1, 12, 16, 40, tzinfo=UTC)
ZONES = st.sampled_from(["America/Los_Angeles", "Pacific/Kiritimati", None])

WORDS = st.one_of(
    st.sampled_from(
        [
            "none",
            "capped",
            "yes",
            "firm",
            "first",
            "over",
            "hazel",
            "6",
            "0.8in",
            "20",
            "mm",
            "0,8in",
        ]
    ),
    st.text(max_size=8),
)
COUNTS = st.integers(-5, 10**7)
FLOATS = st.floats()
GIVEN = st.fixed_dictionaries(
    {},
    optional={
        "colonies": COUNTS, "of": COUNTS, "bees": COUNTS, "board_days": FLOATS, "days": FLOATS,
        "colony": st.text(max_size=5), "plant": st.text(max_size=5),
    },
)  # fmt: skip


@given(st.sampled_from(list(FORMS)) | st.text(max_size=6), st.lists(WORDS, max_size=4), GIVEN)
def test_what_is_typed_is_a_sight_or_one_sentence(kind, words, told):
    own = {name: value for name, value in told.items() if name in OPTIONS.get(kind, ())}
    for some in (told, own):
        found, refusal = value_or_refusal(sight_of, kind, words, some)
        assert refusal or isinstance(found, Seen)


@given(
    st.text(max_size=24) | st.from_regex(r"\S{0,11}[ T]?[0-9]{1,3}:[0-9]{1,3}", fullmatch=True),
    ZONES,
)
@example("0001-01-01T00:00+14:00", None)
@example("9999-12-31T23:59-12:00", None)
@example("1900-01-01 00:00", "Pacific/Kiritimati")
def test_a_time_is_an_instant_gone_by_or_one_sentence(text, tz):
    found, refusal = value_or_refusal(moment_of, text, NOW, tz)
    assert refusal or (found is not None and found.tzinfo is not None)
