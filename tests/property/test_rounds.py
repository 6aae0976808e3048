"""What must always hold for rounds by the calendar."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from windowcast.planning.rounds import round_due, season_totals
from windowcast.terms.rounds import RoundPractice, Treatment
from windowcast.terms.yard import Label
from windowcast.times import season_of

FIRST = date(2025, 9, 1)
DAYS = st.integers(0, 560).map(lambda days: FIRST + timedelta(days=days))
TREATMENTS = st.lists(
    st.builds(
        Treatment, yard_key=st.just("kiln"), day=DAYS, round_no=st.integers(1, 4),
        done_frac=st.sampled_from([0.25, 1 / 3, 0.5, 1.0]),
    ),
    max_size=8,
)  # fmt: skip
LIMITS = st.tuples(st.integers(1, 40), st.integers(0, 30), st.integers(1, 4)).map(
    lambda told: RoundPractice(
        min_gap_h=24.0 * told[0], max_gap_h=24.0 * (told[0] + told[1]), rounds=float(told[2])
    )
)
LABELS = st.builds(
    Label,
    min_days_between=st.none() | st.integers(0, 60),
    max_applications_per_year=st.none() | st.integers(1, 5),
)


def ask(treatments, today, practice, label):
    return round_due("kiln", treatments, today, practice, label)


@given(TREATMENTS, DAYS, LIMITS, LABELS)
def test_no_round_is_earlier_than_any_limit(treatments, today, practice, label):
    found = ask(treatments, today, practice, label)
    others = [
        item for item in treatments
        if (season_of(item.day), item.round_no) != (season_of(today), found.round_no)
    ]  # fmt: skip
    if found.round_no is not None and others:
        last = max(item.day for item in others)
        assert found.earliest >= last + timedelta(days=practice.min_gap_d)
        assert found.earliest >= last + timedelta(days=label.min_days_between or 0)
    assert found.latest is None or found.earliest is None or found.earliest <= found.latest


@given(TREATMENTS, DAYS, LIMITS, LABELS)
def test_a_label_never_brings_a_round_forward(treatments, today, practice, label):
    bare = ask(treatments, today, practice, Label())
    found = ask(treatments, today, practice, label)
    assert found.round_no == bare.round_no
    assert bare.earliest is None or found.earliest >= bare.earliest


@given(TREATMENTS, DAYS, LIMITS, LABELS)
def test_no_twelve_months_hold_more_applications_than_the_label_allows(
    treatments, today, practice, label
):
    found = ask(treatments, today, practice, label)
    if found.earliest is None or label.max_applications_per_year is None:
        return
    applied = {}
    for item in treatments:
        name = season_of(item.day), item.round_no
        if name != (season_of(today), found.round_no):
            applied[name] = max(applied.get(name, item.day), item.day)
    # Some day of the twelve months that end on the earliest day, that day included.
    within = [day for day in applied.values() if (found.earliest - day).days < 365]
    assert len(within) < label.max_applications_per_year


@given(TREATMENTS, DAYS, LIMITS, LABELS, st.randoms(use_true_random=False))
def test_the_order_of_the_book_does_not_matter(treatments, today, practice, label, chance):
    shuffled = chance.sample(treatments, len(treatments))
    ours, theirs = (ask(rows, today, practice, label) for rows in (treatments, shuffled))
    assert abs(ours.done_frac - theirs.done_frac) < 1e-9
    assert replace(ours, done_frac=0.0) == replace(theirs, done_frac=0.0)


@given(TREATMENTS, DAYS, LIMITS, LABELS)
def test_the_states_share_out_the_calendar(treatments, today, practice, label):
    found = ask(treatments, today, practice, label)
    early = found.earliest is not None and today < found.earliest
    late = found.latest is not None and today > found.latest
    assert (found.state == "waiting") == early
    assert (found.state == "overdue") == late == (found.overdue_since is not None)
    assert (found.state == "all_done") == (found.round_no is None)


@given(TREATMENTS, DAYS, LIMITS, LABELS)
def test_finishing_a_round_brings_the_next_or_the_end(treatments, today, practice, label):
    before = ask(treatments, today, practice, label)
    if before.round_no is None:
        return
    whole = Treatment(yard_key="kiln", day=today, round_no=before.round_no, done_frac=1.0)
    after = ask([*treatments, whole], today, practice, label)
    assert after.round_no in (None, before.round_no + 1)


@given(TREATMENTS, LIMITS, st.sampled_from([2024, 2025, 2026]))
def test_totals_count_each_yard_once(treatments, practice, season):
    totals = season_totals(["kiln", "mill-ditch"], treatments, season, practice)
    assert [total.round_no for total in totals] == [*range(1, len(totals) + 1)]
    assert len(totals) >= practice.planned
    assert all(total.done + total.begun <= total.yards == 2 for total in totals)
