"""What must always hold for counts of mites."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from windowcast.science.colony.counts import (
    clopper_pearson_interval,
    upper_bound_frac,
    wash_frac,
    wilson_interval,
)
from windowcast.science.colony.sampling import (
    bees_to_detect,
    chance_of_none,
    chance_to_find,
    colonies_for_error,
    relative_error_frac,
)
from windowcast.science.colony.yards import clumping, yard_mean
from windowcast.terms.report import MiteWash

CONFIDENCES = st.floats(0.001, 0.999)
WASHES = st.integers(1, 5000).flatmap(
    lambda bees: st.builds(MiteWash, mites=st.integers(0, bees), bees=st.just(bees))
)
HAIR = 1e-9


@given(wash=WASHES, confidence=CONFIDENCES)
def test_an_interval_holds_the_share_that_was_found(wash, confidence):
    for rule in (wilson_interval, clopper_pearson_interval):
        interval = rule(wash, confidence)
        assert interval.low_frac - HAIR <= wash_frac(wash) <= interval.high_frac + HAIR
    assert upper_bound_frac(wash, confidence) <= 1


@given(wash=WASHES, one=CONFIDENCES, other=CONFIDENCES)
def test_more_confidence_never_narrows(wash, one, other):
    less, more = sorted((one, other))
    for rule in (wilson_interval, clopper_pearson_interval):
        narrow, wide = rule(wash, less), rule(wash, more)
        assert wide.low_frac <= narrow.low_frac + HAIR
        assert wide.high_frac >= narrow.high_frac - HAIR


@given(wash=WASHES, confidence=CONFIDENCES)
def test_free_bees_mirror_bees_with_mites(wash, confidence):
    mirror = MiteWash(mites=wash.bees - wash.mites, bees=wash.bees)
    for rule in (wilson_interval, clopper_pearson_interval):
        ours, theirs = rule(wash, confidence), rule(mirror, confidence)
        assert math.isclose(ours.low_frac, 1 - theirs.high_frac, abs_tol=HAIR)


@given(washes=st.lists(WASHES, min_size=1, max_size=12), more=st.integers(0, 40), data=st.data())
def test_a_yard_mean_lies_in_its_interval_whatever_the_order(washes, more, data):
    mean = yard_mean(washes, len(washes) + more)
    if mean.interval is not None:
        assert mean.interval.low_frac - HAIR <= mean.rate_frac <= mean.interval.high_frac + HAIR
    assert yard_mean(data.draw(st.permutations(washes)), len(washes) + more) == mean


@given(washes=st.lists(WASHES, min_size=2, max_size=12))
def test_clumping_is_never_negative(washes):
    found = clumping(washes)
    assert math.isnan(found) if not any(wash.mites for wash in washes) else found >= 0


@given(share=st.floats(1e-4, 0.99), confidence=CONFIDENCES)
def test_the_sample_is_enough_and_one_bee_less_is_not(share, confidence):
    bees = bees_to_detect(share, confidence)
    assert chance_of_none(share, bees) <= (1 - confidence) * (1 + 1e-6)
    assert bees == 1 or chance_of_none(share, bees - 1) >= (1 - confidence) * (1 - 1e-6)


@given(colonies=st.integers(1, 60), data=st.data())
def test_chances_to_find_are_those_of_counting_the_samples(colonies, data):
    hot, washed = (data.draw(st.integers(0, colonies)) for _ in range(2))
    missed = math.comb(colonies - hot, washed) / math.comb(colonies, washed)
    assert math.isclose(chance_to_find(hot, colonies, washed), 1 - missed, abs_tol=HAIR)


@given(cv=st.floats(0, 5), error=st.floats(0.01, 2), colonies=st.integers(1, 400))
def test_the_colonies_asked_for_are_enough_and_there(cv, error, colonies):
    washed = colonies_for_error(cv, error, colonies)
    assert 1 <= washed <= colonies
    assert relative_error_frac(cv, washed, colonies) <= error * (1 + 1e-6)
