"""What must hold for every conversion and for every text that claims to be a quantity."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.outcomes import value_or_refusal

from windowcast import units
from windowcast.units import KINDS, quantity

PAIRS = [
    (units.f_to_c, units.c_to_f),
    (units.mph_to_mps, units.mps_to_mph),
    (units.in_to_mm, units.mm_to_in),
    (units.ft_to_m, units.m_to_ft),
]
REASONABLE = st.floats(-1e5, 1e5)
kinds = st.sampled_from([*KINDS, "number"])


@pytest.mark.parametrize(("there", "back"), PAIRS)
@given(value=REASONABLE)
def test_there_and_back_returns(
    there: Callable[[float], float], back: Callable[[float], float], value: float
) -> None:
    assert back(there(value)) == pytest.approx(value, rel=1e-12, abs=1e-9)


@given(low=REASONABLE, step=st.floats(0, 1e5))
def test_a_difference_converts_as_the_temperatures_do(low: float, step: float) -> None:
    difference = units.f_to_c(low + step) - units.f_to_c(low)
    assert units.df_to_dc(step) == pytest.approx(difference, rel=1e-9, abs=1e-8)
    assert units.dd_f_to_dd_c(step) == units.df_to_dc(step)


@pytest.mark.parametrize("kind", KINDS)
@given(low=REASONABLE, step=st.floats(1e-3, 1e5))
def test_every_spelling_keeps_order(kind: str, low: float, step: float) -> None:
    for convert in KINDS[kind].values():
        assert convert(low) < convert(low + step)


@given(text=st.text(), kind=kinds)
def test_any_text_is_a_finite_quantity_or_one_clause(text: str, kind: str) -> None:
    assert_read_or_refused(text, kind)


@given(text=st.from_regex(r"[+-]?[0-9.,eE]{1,12} ?[A-Za-z%°/²2]{0,6}", fullmatch=True), kind=kinds)
def test_any_near_quantity_is_finite_or_one_clause(text: str, kind: str) -> None:
    assert_read_or_refused(text, kind)


@given(value=st.floats(-1e6, 1e6), kind=st.sampled_from(list(KINDS)))
def test_a_number_with_a_known_unit_is_always_read(value: float, kind: str) -> None:
    for spelling, convert in KINDS[kind].items():
        assert quantity(f"{value!r} {spelling}", kind) == convert(value)
        assert quantity(f"{value!r}{spelling}", kind) == convert(value)


def assert_read_or_refused(text: str, kind: str) -> None:
    value, refusal = value_or_refusal(quantity, text, kind)
    if value is None:
        assert any(word in str(refusal) for word in ("; write ", "; use one of "))
    else:
        assert math.isfinite(value)
