"""Efficacy against worked examples; fixtures/reference/treatment_efficacy.csv names each."""

from __future__ import annotations

import pytest
from support.reference import rows

from windowcast.science.colony.efficacy import (
    abbott_frac,
    fallen_frac,
    henderson_tilton_frac,
    total_count_frac,
    untreated_frac,
)

EXAMPLES = rows("treatment_efficacy.csv")


@pytest.mark.parametrize("row", [row for row in EXAMPLES if row[0] == "henderson_tilton"])
def test_henderson_and_tilton(row):
    _, _, treated_before, treated_after, control_before, control_after, percent = row
    found = henderson_tilton_frac(
        treated_before=treated_before, treated_after=treated_after,
        control_before=control_before, control_after=control_after,
    )  # fmt: skip
    assert 100 * found == pytest.approx(percent, abs=0.005)


@pytest.mark.parametrize("row", [row for row in EXAMPLES if row[0] == "abbott"])
def test_abbott(row):
    _, _, _, treated_after, _, control_after, percent = row
    found = abbott_frac(control_after=control_after, treated_after=treated_after)
    assert 100 * found == pytest.approx(percent, abs=0.005)


def test_every_example_is_one_of_the_two():
    assert sorted(row[0] for row in EXAMPLES) == ["abbott", "abbott", "henderson_tilton"]


def test_mites_per_hundred_bees_work_as_well():
    """1 - (0.4 / 4.0) (3.5 / 3.2) = 0.890625, by hand."""
    found = henderson_tilton_frac(
        treated_before=4.0, treated_after=0.4, control_before=3.5, control_after=3.2
    )
    assert found == pytest.approx(0.890625, abs=1e-12)


def test_a_round_that_killed_380_of_400():
    assert total_count_frac(killed=380, killed_by_follow_up=20) == 0.95


@pytest.mark.parametrize(("rate", "left"), [(0.002, 0.887), (0.003, 0.835), (0.0053, 0.728)])
def test_sixty_days_without_treatment(rate, left):
    """exp(-60 mu), by hand."""
    assert untreated_frac(60, rate) == pytest.approx(left, abs=0.0005)


@pytest.mark.parametrize(
    ("days", "fallen"), [(0, 0), (2, 0.369), (3, 0.498), (7, 0.8), (14, 0.96), (28, 0.998)]
)
def test_most_killed_mites_fall_within_a_fortnight(days, fallen):
    """1 - 0.2^(t / 7), by hand."""
    assert fallen_frac(days) == pytest.approx(fallen, abs=0.0005)
